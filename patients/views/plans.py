"""Feeding plans: make one, change it while the consequence is seen, and read it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from nutrients.asked_keys import asked_key
from patients import plan_queries
from patients.alternative_queries import alternatives_of
from patients.energy_forms import handed_over
from patients.issue_forms import IssueForm
from patients.mending import mend_of
from patients.models import Patient, Plan
from patients.newer_versions import with_asked_version
from patients.plan_checks import MOST_DAYS
from patients.plan_forms import PlanForm
from patients.plan_page import consequence
from patients.sentences import introduce
from patients.services import draft_of, gate_of, work_out
from patients.sheet.shopping import cost_sentence
from patients.shopping_queries import compared, shopping_of
from patients.views.records import told_why

PLANS = Plan.objects.select_related(
    "patient__owner", "recipe_version__recipe__profile__standard", "profile__standard"
)


@permission_required("patients.add_plan", raise_exception=True)
def plan_new(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    if patient.why_not_fed:
        return told_why(request, patient)
    chosen = handed_over(request.GET)
    form = PlanForm(request.POST or None, instance=Plan(patient=patient), initial=chosen)
    return _work_on(request, form)


@permission_required("patients.change_plan", raise_exception=True)
def plan_edit(request, pk):
    """A draft is changed; an issued or ended plan is left alone and a new one follows it."""
    plan = draft_of(get_object_or_404(PLANS, pk=pk))
    if plan.patient.why_not_fed:
        return told_why(request, plan.patient)
    plan = with_asked_version(plan, request.GET.get("recipe_version", ""))
    return _work_on(request, PlanForm(request.POST or None, instance=plan))


def _work_on(request, form: PlanForm):
    if request.method == "POST" and form.is_valid() and "work_out" not in request.POST:
        plan = form.save()
        messages.success(request, "The plan was saved.")
        return redirect(plan)
    return render(request, "patients/plan_form.html", _context(form))


@require_POST
@permission_required("patients.add_plan", raise_exception=True)
def plan_preview(request, pk):
    """What follows from the form as it stands; nothing is written."""
    patient = get_object_or_404(Patient, pk=pk)
    plan = patient.plans.filter(pk=asked_key(request.GET.get("plan", ""))).first()
    form = PlanForm(request.POST, instance=draft_of(plan) if plan else Plan(patient=patient))
    form.is_valid()
    return render(request, "patients/_plan_preview.html", _context(form))


def _context(form: PlanForm) -> dict:
    patient, workings = form.patient, form.workings
    return {
        "place": "patients",
        "form": form,
        "patient": patient,
        "sentence": introduce(patient, timezone.localdate(), plan_queries.last_visit(patient)),
        "found": consequence(workings) if workings else None,
    }


@require_safe
@permission_required("patients.view_plan", raise_exception=True)
def plan_detail(request, pk):
    return show_plan(request, get_object_or_404(PLANS, pk=pk))


def show_plan(request, plan: Plan, form: IssueForm | None = None):
    """A plan's page, with the form that issues its sheet."""
    workings = work_out(plan)
    gate = gate_of(plan, workings, request.practice)
    visit = plan_queries.last_visit(plan.patient)
    shop = shopping_of(workings) if workings.batch else None
    alternatives = alternatives_of(plan, workings)
    context = {
        "place": "patients",
        "plan": plan,
        "sentence": introduce(plan.patient, timezone.localdate(), visit, plan),
        "found": consequence(workings),
        "alternatives": alternatives,
        "shop": shop,
        "whole_packs": shop.whole_packs(MOST_DAYS) if shop else [],
        "cost_sentence": cost_sentence(shop, request.practice.currency) if shop else "",
        "costs": compared(workings, alternatives),
        "gate": gate,
        "checks": [(check, mend_of(plan, check)) for check in gate.checks],
        "form": form or IssueForm(gate=gate, patient=plan.patient),
        "sheets": plan.sheets.select_related("issued_by", "withdrawal").defer("pdf", "record"),
    }
    return render(request, "patients/plan_detail.html", context)
