"""Looking into a correction, and keeping which owner was told."""

from dataclasses import asdict

from django.contrib.auth.models import AbstractUser
from django.db import transaction
from django.utils import timezone

from nutrients.corrections import Correction
from patients.models import Recall, RecallCall
from patients.recall_queries import Touched, touched_by


@transaction.atomic
def look_into(*, correction: Correction, by: AbstractUser) -> Recall:
    """Work out what the correction touches and whom to call; again, when it was worked out before.

    Calls that were made stay; a dog that is not touched any more and whose owner was not called drops out.
    """
    now = timezone.now()
    touched = touched_by(correction, timezone.localdate(now))
    found = {
        "entries": [turn.entry.pk for turn in correction.turns],
        "what": correction.what,
        "reason": correction.reason,
        "before": {step.label: step.before for step in correction.steps},
        "after": {step.label: step.since for step in correction.steps},
        "corrected_at": correction.at,
        "corrected_by": correction.by,
        "touched": asdict(touched),
        "worked_out_at": now,
    }
    recall, _ = Recall.objects.update_or_create(
        kind=correction.kind,
        entry=correction.entry,
        defaults=found,
        create_defaults=found | {"created_by": by},
    )
    dogs = dogs_to_call(touched)
    for patient, sheet in dogs.items():
        RecallCall.objects.get_or_create(recall=recall, patient_id=patient, defaults={"sheet_id": sheet})
    untold = recall.calls.filter(status=RecallCall.Status.TO_CALL, note="")
    untold.exclude(patient__in=dogs).delete()
    return recall


def dogs_to_call(touched: Touched) -> dict[int, int | None]:
    """The dogs that are fed by what is touched, each with its touched sheet, if any."""
    fed = [row for row in (*touched.plans, *touched.sheets) if row.fed]
    sheets = {row.patient: row.pk for row in touched.sheets}
    return {row.patient: sheets.get(row.patient) for row in fed}


def record_call(*, call: RecallCall, by: AbstractUser) -> RecallCall:
    """Keep what was entered of a call, by whom and when."""
    call.by, call.at = by, timezone.now()
    call.full_clean()
    call.save()
    return call
