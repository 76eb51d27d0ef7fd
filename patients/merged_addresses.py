"""The addresses of a record that was merged into another one lead on to that one."""

import re

from django.contrib import messages
from django.shortcuts import redirect
from django.urls import reverse

from patients.models import Owner, Patient

OF_A_RECORD = re.compile(r"^patients/(owners/)?<int:pk>/")


class MergedAddressMiddleware:
    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        """What is sent to a merged record is not saved: the page of the kept one says so."""
        named = OF_A_RECORD.match(request.resolver_match.route)
        kept = _kept(Owner if named[1] else Patient, kwargs["pk"]) if named else None
        if kept is None:
            return None
        if request.method in ("GET", "HEAD"):
            query = f"?{request.META['QUERY_STRING']}" if request.META.get("QUERY_STRING") else ""
            return redirect(
                reverse(request.resolver_match.view_name, kwargs=kwargs | {"pk": kept.pk}) + query
            )
        messages.warning(
            request, "Nothing was saved: the record was merged into this one. Enter it again here."
        )
        return redirect("patients:owner-detail" if named[1] else "patients:patient-detail", kept.pk)


def _kept(model: type[Owner] | type[Patient], pk: int) -> Owner | Patient | None:
    """The record that a merged one was merged into in the end; None for one that was not."""
    kept = model.objects.filter(merged__pk=pk).first()
    while kept is not None and kept.merged_into_id:
        kept = kept.merged_into
    return kept
