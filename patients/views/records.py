"""The dogs' records: the list, a dog's page and intake."""

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from patients import intake, queries
from patients.forms import IntakeForms, OwnerForm, PatientForm
from patients.models import Owner, Patient
from patients.overview import patient_page
from patients.sentences import describe_weights, introduce

DOGS_A_PAGE = 50


def posted(request):
    return request.POST if request.method == "POST" else None


def next_recheck(request):
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
    patients = Patient.objects.select_related("owner")
    patient = get_object_or_404(patients.prefetch_related("visits", "home_weigh_ins", "conditions"), pk=pk)
    day = timezone.localdate()
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


@permission_required(["patients.add_patient", "patients.add_visit"], raise_exception=True)
def patient_new(request):
    owner = request.GET.get("owner", "")
    chosen = Owner.objects.filter(pk=owner).first() if owner.isdecimal() else None
    forms = IntakeForms(posted(request), owner=chosen, next_recheck=next_recheck(request))
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
    form = PatientForm(posted(request), instance=patient)
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
    form = OwnerForm(posted(request), instance=owner)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{owner.name}'s particulars were saved.")
        return redirect(owner.patients.first() or "patients:patient-list")
    context = {"place": "patients", "form": form, "owner": owner, "dogs": owner.patients.all()}
    return render(request, "patients/owner_edit.html", context)
