"""A dog leaves the practice's care, comes back, or goes to another owner."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render

from nutrients.asked_keys import asked_key
from patients.forms import Together
from patients.intake_forms import OwnerForm
from patients.leaving import come_back, give_over, leave
from patients.leaving_forms import (
    ARCHIVED,
    DECEASED,
    ComeBackForm,
    GiveOverForm,
    LeaveForm,
)
from patients.models import Owner, Patient
from patients.queries import owners_matching
from patients.search_forms import asked_words
from patients.views.records import posted

OWNERS_SHOWN = 12
KEPT = Patient.objects.kept().select_related("owner")


@permission_required("patients.change_patient", raise_exception=True)
def patient_archive(request, pk):
    return _leave(request, get_object_or_404(Patient.objects.fed(), pk=pk), ARCHIVED, "patient_archive")


@permission_required("patients.change_patient", raise_exception=True)
def patient_deceased(request, pk):
    patient = get_object_or_404(KEPT.exclude(status=DECEASED), pk=pk)
    return _leave(request, patient, DECEASED, "patient_deceased")


def _leave(request, patient, status, page):
    form = LeaveForm(posted(request), patient=patient, status=status)
    if request.method == "POST" and form.is_valid():
        told = form.cleaned_data
        leave(
            patient=patient,
            status=status,
            on=told["on"],
            reason=told["reason"],
            closed_tasks=told.get("closed_tasks", ()),
            by=request.user,
        )
        words = "was archived" if status == ARCHIVED else "is kept in our records"
        messages.success(request, f"{patient.name} {words}.")
        return redirect(patient)
    context = {"place": "patients", "patient": patient, "form": form}
    return render(request, f"patients/{page}.html", context)


@permission_required("patients.change_patient", raise_exception=True)
def patient_come_back(request, pk):
    patient = get_object_or_404(KEPT.exclude(status=Patient.Status.ACTIVE), pk=pk)
    form = ComeBackForm(posted(request))
    if request.method == "POST" and form.is_valid():
        come_back(patient=patient, **form.cleaned_data)
        messages.success(request, f"{patient.name} is in our care again.")
        return redirect(patient)
    return render(
        request, "patients/patient_come_back.html", {"place": "patients", "patient": patient, "form": form}
    )


@permission_required(["patients.change_patient", "patients.add_owner"], raise_exception=True)
def patient_give_over(request, pk):
    """To the owner `to`, or to one that is typed; `q` looks for owners on file."""
    patient = get_object_or_404(KEPT, pk=pk)
    to = _chosen(request.GET.get("to", ""), patient)
    form = GiveOverForm(posted(request), patient=patient)
    owner_form = None if to else OwnerForm(posted(request), prefix="owner")
    checked = [form] if to else [form, owner_form]
    if request.method == "POST" and Together(*checked).is_valid():
        try:
            given = give_over(patient=patient, to=to or owner_form.instance, **form.cleaned_data)
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, f"{given.name} belongs to {given.owner.name} now.")
            return redirect(f"{patient.get_absolute_url()}#people")
    words = asked_words(request.GET)
    found = owners_matching(words).exclude(pk=patient.owner_id)[:OWNERS_SHOWN] if words else []
    context = {"place": "patients", "patient": patient, "to": to, "form": form, "owner_form": owner_form}
    return render(request, "patients/patient_give_over.html", context | {"words": words, "found": found})


def _chosen(asked: str, patient: Patient) -> Owner | None:
    others = Owner.objects.kept().exclude(pk=patient.owner_id)
    return others.filter(pk=asked_key(asked)).first()
