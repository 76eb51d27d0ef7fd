"""The dogs' records: the list, a dog's page, and mending them."""

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from patients import intake, queries
from patients.clinical_forms import with_a_row_more
from patients.intake_forms import OwnerForm, RecordForms
from patients.models import Owner, Patient
from patients.overview import patient_page
from patients.search import filtered, patients_matching
from patients.search_forms import PatientSearchForm
from patients.sentences import describe_weights, introduce

DOGS_A_PAGE = 50


def posted(request):
    return request.POST if request.method == "POST" else None


def next_recheck(request):
    """The day the practice would choose."""
    return timezone.localdate() + timedelta(days=request.practice.recheck_days)


def told_why(request, patient: Patient):
    """Back to the page of a dog that is not in care, with the reason why nothing new is made."""
    messages.warning(request, patient.why_not_fed)
    return redirect(patient)


def dogs_asked_for(form: PatientSearchForm):
    """The dogs of a list, in its order."""
    return filtered(patients_matching(form.words), form.wanted(), timezone.localdate())


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_list(request):
    form = PatientSearchForm(request.GET)
    page = Paginator(dogs_asked_for(form), DOGS_A_PAGE).get_page(request.GET.get("page"))
    context = {"place": "patients", "form": form, "page": page, "day": timezone.localdate()}
    context["listed"] = queries.listed(page.object_list)
    template = "patients/_patient_table.html" if request.htmx else "patients/patient_list.html"
    return render(request, template, context)


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_detail(request, pk):
    patients = Patient.objects.select_related("owner", "photo").defer("photo__jpeg")
    patient = get_object_or_404(patients.prefetch_related("visits", "home_weigh_ins", "conditions"), pk=pk)
    day = patient.last_day or timezone.localdate()
    found = patient_page(patient, day)
    entries = [weighed.entry for weighed in found.curve.weights]
    context = {
        "place": "patients",
        "patient": patient,
        "found": found,
        "day": day,
        "sentence": introduce(patient, day, found.visit, found.plan),
        "chart_words": describe_weights(entries),
    }
    return render(request, "patients/patient_detail.html", context)


@permission_required("patients.change_patient", raise_exception=True)
def patient_edit(request, pk):
    """A press on “add a row” or “work out” saves nothing: the page comes back as it was typed."""
    patient = get_object_or_404(Patient, pk=pk)
    name = patient.name  # as saved: the form writes what was typed into the patient
    saving = request.method == "POST" and not {"add", "work_out"} & request.POST.keys()
    data = posted(request)
    if data is not None:
        data = with_a_row_more(data, data.get("add", ""))
    forms = RecordForms(data, patient=patient, weighed=queries.weighed_young(patient))
    if saving and forms.is_valid() and forms.saved(intake.amend, **forms.record()):
        messages.success(request, f"{patient.name}'s record was saved.")
        return redirect(patient)
    if data is not None and not saving:
        forms.tell_only_of_typed()
    context = {"place": "patients", "forms": forms, "patient": patient, "name": name, "told": saving}
    return render(request, "patients/patient_edit.html", context)


@permission_required("patients.change_owner", raise_exception=True)
def owner_edit(request, pk):
    owner = get_object_or_404(Owner, pk=pk)
    form = OwnerForm(posted(request), instance=owner)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{owner.name}'s particulars were saved.")
        return redirect(owner.patients.first() or "patients:patient-list")
    context = {"place": "patients", "form": form, "owner": owner, "dogs": owner.patients.all()}
    return render(request, "patients/owner_edit.html", context)
