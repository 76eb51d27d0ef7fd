"""A dog's photo: shown, put in place of the one before, taken away."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from patients.intake import save_photo
from patients.intake_forms import PhotoForm
from patients.models import Patient, Photo


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
@cache_control(private=True, max_age=3600)
def photo_file(request, pk):
    """Its address on the page carries when it was saved: a new photo is a new address."""
    photo = get_object_or_404(Photo, patient=pk)
    return HttpResponse(bytes(photo.jpeg), content_type="image/jpeg")


@permission_required("patients.change_patient", raise_exception=True)
def photo_edit(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    if "remove" in request.POST:
        Photo.objects.filter(patient=patient).delete()
        messages.success(request, f"{patient.name}'s photo was taken away.")
        return redirect(patient)
    form = PhotoForm(*((request.POST, request.FILES) if request.method == "POST" else ()))
    form.fields["photo"].required = True
    if request.method == "POST" and form.is_valid():
        save_photo(patient=patient, jpeg=form.cleaned_data["photo"])
        messages.success(request, f"{patient.name}'s photo was saved.")
        return redirect(patient)
    saved = Photo.objects.filter(patient=patient).defer("jpeg").first()
    context = {"place": "patients", "patient": patient, "form": form, "photo": saved}
    return render(request, "patients/photo_edit.html", context)
