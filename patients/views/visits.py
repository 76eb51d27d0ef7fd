"""Visits: a new one, what it says of the plan, and the next plan that follows from it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from patients import queries, recheck_services
from patients.clinical_forms import with_a_row_more
from patients.diet_forms import DietItemFormSet, rows_of_diet
from patients.fed_plans import fed_before
from patients.forms import Together, VisitForm
from patients.models import Patient, Visit
from patients.recheck_forms import FollowUpForm, RecheckForm, tablet_counts
from patients.recheck_queries import answer_of, tablet_checks
from patients.sentences import describe_change, introduce
from patients.services import work_out
from patients.views.records import next_recheck, posted, told_why
from patients.weight_forms import HomeWeighInsForm

# What the next visit starts from; weight, BCS, faecal score and all that is told are taken anew.
CARRIED_OVER = ("mcs", "activity", "activity_minutes", "activity_kind", "appetite")


@permission_required("patients.add_visit", raise_exception=True)
def visit_new(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    if patient.why_not_fed:
        return told_why(request, patient)
    last = patient.visits.first()
    found = {name: getattr(last, name) for name in CARRIED_OVER} if last else {}
    sent, saving = _sent(request)
    form = RecheckForm(
        sent,
        instance=Visit(patient=patient, **found),
        initial={"next_recheck": next_recheck(request)},
    )
    today = timezone.localdate()
    fed = fed_before(patient, today)
    told = [] if fed else queries.last_diet(patient)  # from before the plan it says nothing of today
    eaten = None if request.method == "POST" else rows_of_diet(told)
    diet = DietItemFormSet(sent, prefix="diet", initial=eaten)
    home = HomeWeighInsForm(sent, patient=patient, prefix="home")
    tablets = tablet_counts(sent, patient, fed and fed.plan, today)
    forms = Together(form, home, tablets, diet)
    if saving and forms.is_valid():
        visit = forms.saved(
            recheck_services.record_recheck,
            visit=form.instance,
            diet_items=diet.items(),
            next_recheck=form.cleaned_data["next_recheck"],
            home_weigh_ins=home.weigh_ins,
            tablet_counts=tablets.counts(),
        )
        if visit:
            messages.success(request, _since_last_time(visit))
            return redirect("patients:visit-detail", visit.pk)
    context = _context(patient, forms, form, diet, tablets)
    return render(
        request, "patients/visit_form.html", context | {"last": last, "home": home, "plan": fed and fed.plan}
    )


def _sent(request):
    """What was sent, with a row more where one is asked for, and whether it is to be saved."""
    data, more = posted(request), request.POST.get("add", "")
    return (with_a_row_more(data, more) if more else data), data is not None and not more


def _context(patient, forms, form, diet, tablets) -> dict:
    shown = {"forms": forms, "form": form, "diet": diet, "tablets": tablets}
    return {"place": "patients", "patient": patient} | shown


def _since_last_time(visit: Visit) -> str:
    if visit.left_out:
        return f"{visit.patient.name}'s visit was saved; its weight is left out of the curve."
    weighed = next(w for w in queries.weighed_visits(visit.patient) if w.visit.pk == visit.pk)
    return f"{visit.patient.name}'s visit was saved: {describe_change(weighed.entry)}."


@permission_required("patients.change_visit", raise_exception=True)
def visit_edit(request, pk):
    visit = get_object_or_404(Visit.objects.select_related("patient"), pk=pk)
    patient = visit.patient
    form_of = VisitForm if visit.kind == Visit.Kind.INTAKE else FollowUpForm
    fed = fed_before(patient, visit.date)
    sent, saving = _sent(request)
    tablets = tablet_counts(sent, patient, fed and fed.plan, visit.date, visit)
    form = form_of(sent, instance=visit)
    eaten = (
        None
        if request.method == "POST"
        else rows_of_diet(visit.diet_items.select_related("food").order_by("pk"))
    )
    diet = DietItemFormSet(sent, prefix="diet", initial=eaten)
    forms = Together(form, tablets, diet)
    valid = saving and forms.is_valid()
    written = {"visit": visit, "diet_items": diet.items() if valid else ()}
    written["tablet_counts"] = tablets.counts() if valid else ()
    if valid and forms.saved(recheck_services.amend_recheck, **written):
        messages.success(request, _since_last_time(visit))
        return redirect(patient)
    context = _context(patient, forms, form, diet, tablets)
    return render(request, "patients/visit_form.html", context | {"visit": visit, "plan": fed and fed.plan})


@require_safe
@permission_required("patients.view_visit", raise_exception=True)
def visit_detail(request, pk):
    """What a visit found and says of the plan that was fed until then."""
    visit = get_object_or_404(Visit.objects.select_related("patient__owner"), pk=pk)
    answer = answer_of(visit)
    workings = work_out(answer.plan) if answer.plan else None
    began = answer.fed.began if answer.fed else None
    context = {
        "place": "patients",
        "patient": visit.patient,
        "visit": visit,
        "sentence": introduce(visit.patient, visit.date, visit, answer.plan),
        "answer": answer,
        "tablets": tablet_checks(visit, workings, began),
        "following": recheck_services.following(visit, answer),
    }
    return render(request, "patients/visit_detail.html", context)


@require_POST
@permission_required("patients.add_plan", raise_exception=True)
def plan_from_visit(request, pk):
    """The next plan, as a draft that the practitioner looks at."""
    visit = get_object_or_404(Visit.objects.select_related("patient"), pk=pk)
    try:
        plan = recheck_services.make_next_plan(visit=visit)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
        return redirect("patients:visit-detail", visit.pk)
    messages.success(request, "The next plan is a draft: look at it, change it, then issue its sheet.")
    return redirect(plan)
