"""A dog's life stage, and its energy by every method."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from patients.energy_queries import energy_of
from patients.life_stage import life_stage, stage_on
from patients.models import Patient
from patients.plan_queries import last_visit
from patients.queries import present_plan
from patients.sentences import introduce
from patients.stage_forms import StageForm
from patients.views.records import posted


@permission_required("patients.change_patient", raise_exception=True)
def stage_edit(request, pk):
    """What the life stage follows from, and the stage by hand."""
    patient = get_object_or_404(Patient, pk=pk)
    today = timezone.localdate()
    stage = stage_on(patient, today)  # as saved: the form writes what was typed into the patient
    form = StageForm(posted(request), instance=patient)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{patient.name}'s life stage was saved: {stage_on(patient, today).label}.")
        return redirect(patient)
    by_age = life_stage(patient.born, today, patient.expected_adult_kg)
    context = {"place": "patients", "patient": patient, "form": form, "stage": stage, "by_age": by_age}
    return render(request, "patients/stage_form.html", context)


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def energy_page(request, pk):
    """Every method side by side, and what follows from a choice. Nothing is written."""
    patient = get_object_or_404(Patient.objects.select_related("owner"), pk=pk)
    found = energy_of(patient, timezone.localdate(), request.GET)
    visit = last_visit(patient)
    context = {
        "place": "patients",
        "patient": patient,
        "found": found,
        "form": found and found.form,
        "visit": visit,
        "sentence": introduce(patient, timezone.localdate(), visit, present_plan(patient)),
    }
    template = "patients/_energy_answer.html" if request.htmx else "patients/energy_page.html"
    return render(request, template, context)
