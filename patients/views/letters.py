"""The letter to the referring veterinarian: made afresh each time from the record, never stored."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from patients.letter_queries import letter_record
from patients.models import Patient
from recipes.printing import PdfUnavailable, printed

PATIENTS = Patient.objects.select_related("owner")


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def letter_detail(request, pk):
    patient = get_object_or_404(PATIENTS, pk=pk)
    letter = letter_record(patient, by=request.user, practice=request.practice)
    return render(
        request, "patients/letter.html", {"place": "patients", "patient": patient, "letter": letter}
    )


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def letter_pdf(request, pk):
    patient = get_object_or_404(PATIENTS, pk=pk)
    letter = letter_record(patient, by=request.user, practice=request.practice)
    try:
        document = printed("patients/letter_print.html", {"letter": letter})
    except PdfUnavailable as missing:
        messages.error(request, str(missing))
        return redirect("patients:letter", pk)
    name = f"{slugify(patient.name) or 'dog'}-letter-{letter['on']}.pdf"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(document, content_type="application/pdf", headers=headers)
