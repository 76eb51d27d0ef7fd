"""Who changed what on a dog's record, and when."""

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from patients.activity_queries import events_of
from patients.models import Patient

EVENTS_A_PAGE = 50


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def activity(request, pk):
    patient = get_object_or_404(Patient.objects.select_related("owner"), pk=pk)
    page = Paginator(events_of(patient), EVENTS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "patients/activity.html", {"place": "patients", "patient": patient, "page": page})
