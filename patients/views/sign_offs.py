"""A veterinarian's sign-off for one dog: record it, withdraw it, read its letter."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from patients.caution_page import about, applying_caution
from patients.forms import Together
from patients.letter_files import ENDINGS
from patients.models import Patient, SignOff, SignOffLetter
from patients.plan_queries import dog_of
from patients.sign_off_forms import SignOffForm, WithdrawForm, number_forms
from patients.sign_off_queries import can_be_agreed
from patients.sign_off_services import record_sign_off, withdraw_sign_off
from patients.views.records import told_why


@permission_required("patients.add_signoff", raise_exception=True)
def sign_off_new(request, pk):
    """For the caution of this `subject`."""
    patient = get_object_or_404(Patient, pk=pk)
    if patient.why_not_fed:
        return told_why(request, patient)
    subject = request.GET.get("subject", "")
    if not can_be_agreed(subject):
        raise Http404("There is no such caution that a veterinarian could agree to.")
    posted = request.POST if request.method == "POST" else None
    dog = dog_of(patient, timezone.localdate())
    form = SignOffForm(posted, request.FILES or None, patient=patient, subject=subject, dog=dog)
    numbers = number_forms(posted, about=about(subject))
    forms = Together(form, numbers)
    if posted is not None and forms.is_valid():
        kept = forms.saved(
            record_sign_off,
            sign_off=form.instance,
            numbers=numbers.numbers(),
            letter=form.cleaned_data["letter"],
            by=request.user,
        )
        if kept:
            messages.success(request, f"{kept.veterinarian}'s sign-off was recorded.")
            return redirect(f"{patient.get_absolute_url()}#cautions")
    context = {
        "place": "patients",
        "patient": patient,
        "subject": subject,
        "caution": applying_caution(patient, dog, subject),
        "form": form,
        "numbers": numbers,
        "forms": forms,
    }
    return render(request, "patients/sign_off_form.html", context)


@permission_required("patients.change_signoff", raise_exception=True)
def sign_off_withdraw(request, pk):
    sign_offs = SignOff.objects.standing().select_related("patient")
    sign_off = get_object_or_404(sign_offs, pk=pk)
    form = WithdrawForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            withdraw_sign_off(sign_off=sign_off, by=request.user, reason=form.cleaned_data["reason"])
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, "The sign-off was withdrawn; it is kept with the reason.")
            return redirect(f"{sign_off.patient.get_absolute_url()}#cautions")
    context = {"place": "patients", "sign_off": sign_off, "patient": sign_off.patient, "form": form}
    return render(request, "patients/sign_off_withdraw.html", context)


@require_safe
@permission_required("patients.view_signoffletter", raise_exception=True)
def sign_off_letter(request, pk):
    """The letter of the sign-off `pk`, handed out to be saved and never shown as a page of ours."""
    letters = SignOffLetter.objects.select_related("sign_off__patient")
    letter = get_object_or_404(letters, sign_off=pk)
    sign_off = letter.sign_off
    dog = slugify(sign_off.patient.name) or "dog"
    name = f"{dog}-sign-off-{sign_off.agreed_on:%Y-%m-%d}.{ENDINGS[letter.kind]}"
    headers = {
        "Content-Disposition": f'attachment; filename="{name}"',
        "X-Content-Type-Options": "nosniff",
        "Content-Security-Policy": "default-src 'none'; sandbox",
    }
    return HttpResponse(bytes(letter.content), content_type=letter.kind, headers=headers)
