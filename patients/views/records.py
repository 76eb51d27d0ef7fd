"""The dogs' records: the list, a dog's page, intake, re-checks and the weight chart."""

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.forms import model_to_dict
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from patients import intake, queries
from patients.forms import (
    DietItemFormSet,
    IntakeForms,
    OwnerForm,
    PatientForm,
    RecheckForm,
    Together,
    VisitForm,
)
from patients.models import Owner, Patient, Visit
from patients.overview import patient_page
from patients.sentences import describe_change, describe_weights, introduce, wanted_kg

DOGS_A_PAGE = 50
# What the next visit starts from; weight, BCS and faecal score are taken anew.
CARRIED_OVER = ("mcs", "activity", "appetite")


def _posted(request):
    return request.POST if request.method == "POST" else None


def _next_recheck(request):
    """The day the practice would choose."""
    return timezone.localdate() + timedelta(days=request.practice.recheck_days)


def search_words(request) -> str:
    """What the list of dogs is asked for."""
    return request.GET.get("q", "").replace("\0", "").strip()[:100]


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_list(request):
    words = search_words(request)
    page = Paginator(queries.patients_matching(words), DOGS_A_PAGE).get_page(request.GET.get("page"))
    context = {"place": "patients", "words": words, "page": page, "day": timezone.localdate()}
    context["listed"] = queries.listed(page.object_list)
    template = "patients/_patient_table.html" if request.htmx else "patients/patient_list.html"
    return render(request, template, context)


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_detail(request, pk):
    patient = get_object_or_404(Patient.objects.select_related("owner"), pk=pk)
    day = timezone.localdate()
    found = patient_page(patient, day)
    entries = [weighed.entry for weighed in reversed(found.weights)]
    context = {
        "place": "patients",
        "patient": patient,
        "found": found,
        "day": day,
        "sentence": introduce(patient, day, found.visit, found.plan),
        "chart_words": describe_weights(entries),
    }
    return render(request, "patients/patient_detail.html", context)


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def weight_chart(request, pk):
    from patients.charts import weight_chart as draw  # drawing takes a second to load: not at start-up

    patient = get_object_or_404(Patient, pk=pk)
    weights = list(patient.visits.values_list("date", "weight_kg"))
    if not weights:
        raise Http404("This dog was never weighed.")
    plan = queries.present_plan(patient)
    return HttpResponse(draw(weights, wanted_kg(plan) if plan else None), content_type="image/svg+xml")


@permission_required(["patients.add_patient", "patients.add_visit"], raise_exception=True)
def patient_new(request):
    owner = request.GET.get("owner", "")
    chosen = Owner.objects.filter(pk=owner).first() if owner.isdecimal() else None
    forms = IntakeForms(_posted(request), owner=chosen, next_recheck=_next_recheck(request))
    if request.method == "POST" and forms.is_valid():
        patient = forms.saved(
            intake.admit,
            owner=forms.owner.owner(),
            patient=forms.patient.instance,
            conditions=forms.patient.cleaned_data["conditions"],
            avoids=forms.patient.cleaned_data["avoids"],
            visit=forms.visit.instance,
            diet_items=forms.diet.items(),
        )
        if patient:
            messages.success(request, f"{patient.name} was taken on.")
            return redirect(patient)
    return render(request, "patients/patient_new.html", {"place": "patients", "forms": forms})


@permission_required("patients.change_patient", raise_exception=True)
def patient_edit(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    name = patient.name  # as saved: the form writes what was typed into the patient
    form = PatientForm(_posted(request), instance=patient)
    if request.method == "POST" and form.is_valid():
        found = form.cleaned_data
        intake.amend(patient=patient, conditions=found["conditions"], avoids=found["avoids"])
        messages.success(request, f"{patient.name}'s record was saved.")
        return redirect(patient)
    return render(
        request,
        "patients/patient_edit.html",
        {"place": "patients", "form": form, "patient": patient, "name": name},
    )


@permission_required("patients.change_owner", raise_exception=True)
def owner_edit(request, pk):
    owner = get_object_or_404(Owner, pk=pk)
    form = OwnerForm(_posted(request), instance=owner)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{owner.name}'s particulars were saved.")
        return redirect(owner.patients.first() or "patients:patient-list")
    context = {"place": "patients", "form": form, "owner": owner, "dogs": owner.patients.all()}
    return render(request, "patients/owner_edit.html", context)


@permission_required("patients.add_visit", raise_exception=True)
def visit_new(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    last = patient.visits.first()
    found = {name: getattr(last, name) for name in CARRIED_OVER} if last else {}
    form = RecheckForm(
        _posted(request),
        instance=Visit(patient=patient, **found),
        initial={"next_recheck": _next_recheck(request)},
    )
    eaten = None if request.method == "POST" else _rows(queries.last_diet(patient))
    diet = DietItemFormSet(_posted(request), prefix="diet", initial=eaten)
    forms = Together(form, diet)
    if request.method == "POST" and forms.is_valid():
        due = form.cleaned_data["next_recheck"]
        visit = forms.saved(
            intake.record_recheck, visit=form.instance, diet_items=diet.items(), next_recheck=due
        )
        if visit:
            messages.success(request, _since_last_time(visit))
            return redirect(patient)
    context = {
        "place": "patients",
        "patient": patient,
        "last": last,
        "forms": forms,
        "form": form,
        "diet": diet,
    }
    return render(request, "patients/visit_form.html", context)


def _rows(items) -> list[dict]:
    """Diet items as rows of the form."""
    return [model_to_dict(item, fields=("what", "kcal_per_day", "is_extra")) for item in items]


def _since_last_time(visit: Visit) -> str:
    weighed = next(w for w in queries.weights_of(visit.patient) if w.visit.pk == visit.pk)
    return f"{visit.patient.name}'s visit was saved: {describe_change(weighed.entry)}."


@permission_required("patients.change_visit", raise_exception=True)
def visit_edit(request, pk):
    visit = get_object_or_404(Visit.objects.select_related("patient"), pk=pk)
    patient = visit.patient
    form = VisitForm(_posted(request), instance=visit)
    eaten = None if request.method == "POST" else _rows(visit.diet_items.all())
    diet = DietItemFormSet(_posted(request), prefix="diet", initial=eaten)
    forms = Together(form, diet)
    valid = request.method == "POST" and forms.is_valid()
    if valid and forms.saved(intake.record_visit, visit=visit, diet_items=diet.items()):
        messages.success(request, _since_last_time(visit))
        return redirect(patient)
    context = {
        "place": "patients",
        "patient": patient,
        "visit": visit,
        "forms": forms,
        "form": form,
        "diet": diet,
    }
    return render(request, "patients/visit_form.html", context)
