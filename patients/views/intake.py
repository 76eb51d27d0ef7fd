"""Taking a dog on: one page in sections, kept as it is typed until the records are made from it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from nutrients.asked_keys import asked_key
from patients.clinical_forms import LISTS, with_a_row_more
from patients.intake_drafts import data_of, keep_draft, key_of, take_on, throw_away, typed_of
from patients.intake_forms import IntakeForms
from patients.models import IntakeDraft, Owner
from patients.views.records import next_recheck

MAY_TAKE_ON = ["patients.add_patient", "patients.add_visit"]
SECTIONS = ("owner", "dog", "veterinarian", "condition", "medical", "feeding", "goals")
GOING_ON = {"go_on", "add", "work_out"}


@permission_required(MAY_TAKE_ON, raise_exception=True)
def patient_new(request):
    """An empty page, or with `draft` an unfinished one. What is sent is kept, and the dog is taken on."""
    if request.method == "POST":
        return _sent(request)
    mine = IntakeDraft.objects.unfinished().filter(person=request.user)
    key = key_of(request.GET.get("draft", ""))
    draft = mine.filter(key=key).first()
    if draft is None:
        chosen = Owner.objects.filter(pk=asked_key(request.GET.get("owner", ""))).first()
        return _page(request, IntakeForms(owner=chosen, next_recheck=next_recheck(request)), key, others=mine)
    forms = IntakeForms(data_of(draft))
    forms.tell_only_of_typed()
    return _page(request, forms, key, draft, others=mine.exclude(pk=draft.pk))


def _sent(request):
    key = key_of(request.POST.get("draft", ""))
    data = with_a_row_more(request.POST, request.POST.get("add", ""))
    forms = IntakeForms(data, request.FILES)
    going_on = bool(GOING_ON & request.POST.keys())
    photo = forms.photo.cleaned_data.get("photo") if forms.photo.is_valid() else None
    draft = keep_draft(person=request.user, key=key, typed=typed_of(data), photo=photo)
    if draft.patient:
        return redirect(draft.patient)
    if going_on and forms.photo.is_valid():
        return redirect(f"{reverse('patients:patient-new')}?draft={key}{_place(request.POST)}")
    if going_on:
        forms.tell_only_of_typed()
    elif forms.is_valid() and (patient := forms.saved(take_on, draft=draft, **forms.parts())):
        messages.success(request, f"{patient.name} was taken on.")
        return redirect(patient)
    return _page(request, forms, key, draft, told=not going_on)


def _place(sent) -> str:
    """Where the page is opened again."""
    if "work_out" in sent:
        return "#adult-weight"
    place = sent.get("add") or sent.get("go_on")
    return f"#{place}" if place in (*SECTIONS, *LISTS) else ""


def _page(request, forms, key, draft=None, *, others=(), told=False):
    context = {
        "place": "patients",
        "forms": forms,
        "key": key,
        "draft": draft,
        "others": others,
        "told": told,
    }
    return render(request, "patients/patient_new.html", context)


@require_POST
@permission_required(MAY_TAKE_ON, raise_exception=True)
def intake_keep(request):
    """What the page sends by itself while it is filled in: kept, and said so."""
    key = key_of(request.POST.get("draft", ""))
    draft = keep_draft(person=request.user, key=key, typed=typed_of(request.POST))
    return render(request, "patients/_kept.html", {"draft": draft})


@require_POST
@permission_required(MAY_TAKE_ON, raise_exception=True)
def intake_throw_away(request, key):
    throw_away(person=request.user, key=key)
    messages.success(request, "The unfinished intake was thrown away.")
    return redirect("patients:patient-new")
