"""Merging two records of one dog or of one owner: find the other, choose what stays, look, and do it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from patients.duplicates import likely_dogs, likely_owners
from patients.merge_forms import MergeForm
from patients.merge_preview import Preview
from patients.merged_records import merged_records
from patients.merging import merge
from patients.models import Owner, Patient
from patients.queries import owners_matching
from patients.search import patients_matching
from patients.search_forms import asked_words
from patients.views.records import posted

MAY_MERGE = "patients.merge_patient"
SHOWN = 12
KINDS = {Patient: "patient", Owner: "owner"}


@require_safe
@permission_required(MAY_MERGE, raise_exception=True)
def duplicates(request):
    context = {"place": "patients", "dogs": likely_dogs(), "owners": likely_owners()}
    return render(request, "patients/duplicates.html", context)


@require_safe
@permission_required(MAY_MERGE, raise_exception=True)
def patient_merge_with(request, pk):
    return _choose(request, get_object_or_404(Patient, pk=pk), patients_matching, likely_dogs)


@require_safe
@permission_required(MAY_MERGE, raise_exception=True)
def owner_merge_with(request, pk):
    return _choose(request, get_object_or_404(Owner, pk=pk), owners_matching, likely_owners)


def _choose(request, record, matching, likely):
    words = asked_words(request.GET)
    context = {
        "place": "patients",
        "record": record,
        "kind": KINDS[type(record)],
        "page_of": f"patients:{KINDS[type(record)]}-merge",
        "likely": likely(record),
        "words": words,
        "found": matching(words).exclude(pk=record.pk)[:SHOWN] if words else [],
    }
    return render(request, "patients/merge_with.html", context)


@permission_required(MAY_MERGE, raise_exception=True)
def patient_merge(request, pk, other):
    return _merge(request, Patient, pk, other)


@permission_required(MAY_MERGE, raise_exception=True)
def owner_merge(request, pk, other):
    return _merge(request, Owner, pk, other)


def _merge(request, model, pk, other):
    """First the questions, then what will happen; `confirmed` does it, `change` asks again."""
    kept = get_object_or_404(model.objects.kept(), pk=pk)
    preview = Preview(kept, get_object_or_404(model.objects.kept().exclude(pk=pk), pk=other))
    form = MergeForm(posted(request), preview=preview)
    sure = request.method == "POST" and form.is_valid()
    if sure and "confirmed" in request.POST and _merged(request, form, preview):
        return redirect(f"patients:{KINDS[model]}-detail", pk)
    asking = not sure or "change" in request.POST or bool(form.errors)
    context = {
        "place": "patients",
        "preview": preview,
        "form": form,
        "outcome": [] if asking else form.outcome(),
        "kind": KINDS[model],
        "back": reverse(f"patients:{KINDS[model]}-detail", args=[pk]),
        "turned_round": reverse(f"patients:{KINDS[model]}-merge", args=[other, pk]),
    }
    return render(request, f"patients/{'merge' if asking else 'merge_confirm'}.html", context)


def _merged(request, form: MergeForm, preview: Preview) -> bool:
    try:
        merge(
            kept=preview.kept,
            other=preview.other,
            state=request.POST.get("state", ""),
            answers=form.answers(),
            reason=form.cleaned_data["reason"],
        )
    except ValidationError as refused:
        form.add_error(None, refused.messages)
        return False
    messages.success(request, f"The two records of {preview.kept} are one now.")
    return True


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_merged(request, pk):
    return _merged_page(request, get_object_or_404(Patient, pk=pk))


@require_safe
@permission_required("patients.view_owner", raise_exception=True)
def owner_merged(request, pk):
    return _merged_page(request, get_object_or_404(Owner, pk=pk))


def _merged_page(request, record):
    context = {"place": "patients", "record": record, "merged": merged_records(record)}
    context["back"] = reverse(f"patients:{KINDS[type(record)]}-detail", args=[record.pk])
    return render(request, "patients/merged_records.html", context)
