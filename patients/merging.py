"""Merges two records of one dog, or of one owner, into one of them. The other is kept and leads on to it."""

from collections.abc import Mapping

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone

from patients.life_stage import stage_problems
from patients.merge_preview import BOTH, KEPT, OTHER, Clash, Preview, Record
from patients.models import Owner, Patient, Plan
from patients.reproduction import reproduction_problems

LONGEST_REASON = 60  # what the history's line holds beside which record it was


@transaction.atomic
def merge(*, kept: Record, other: Record, state: str, answers: Mapping[str, str], reason: str) -> Record:
    """answers: of each difference, clash and pair of fed plans of the preview, by its key, which side stays.

    state: of the preview that was looked at. Raises ValidationError when the records were changed since, or
    would not be in order together; nothing is written then.
    """
    model = type(kept)
    locked = model.objects.select_for_update().in_bulk([kept.pk, other.pk])
    preview = Preview(locked[kept.pk], locked[other.pk])
    _refuse_unless_apart(preview)
    if preview.state != state:
        raise ValidationError("One of the two records was changed in the meantime: look at both again.")
    kept, other = preview.kept, preview.other
    why = f"merged with record {other.pk}: {reason}"
    _end_one_plan(preview, answers, why)
    _move(preview, answers, why)
    _take_over(preview, answers)
    kept._change_reason = why
    kept.full_clean()
    _refuse_contradictions(kept)
    kept.save()
    other.merged_into = kept
    other._change_reason = f"merged into record {kept.pk}: {reason}"
    other.save(update_fields=["merged_into"])
    return kept


def _refuse_unless_apart(preview: Preview) -> None:
    if preview.kept == preview.other:
        raise ValidationError("This is one and the same record: choose another one.")
    if preview.kept.merged_into_id or preview.other.merged_into_id:
        raise ValidationError("One of the two was merged already: open the record that was kept.")


def _move(preview: Preview, answers: Mapping[str, str], why: str) -> None:
    for belonging, rows in preview.moving:
        for row in rows:
            _give(row, belonging.path, preview.kept, why)
    swapped = [clash for clash in preview.clashes if answers[clash.key] == OTHER]
    if swapped:
        _swap(swapped, preview, why)


def _give(row: models.Model, path: str, to: Record, why: str) -> None:
    setattr(row, path, to)
    row._change_reason = why
    row.save(update_fields=[path])


def _swap(clashes: list[Clash], preview: Preview, why: str) -> None:
    """By way of a third record, as neither can have both even for a moment."""
    between = Patient(owner=preview.kept.owner, name="between", breed="", sex="", born=timezone.localdate())
    between.save_without_historical_record()
    for clash in clashes:
        type(clash.kept).objects.filter(pk=clash.kept.pk).update(**{clash.path: between})
        _give(clash.other, clash.path, preview.kept, why)
        _give(clash.kept, clash.path, preview.other, why)
    passed = between.pk
    between.delete()
    Patient.history.filter(id=passed).delete()


def _end_one_plan(preview: Preview, answers: Mapping[str, str], why: str) -> None:
    """Of two that are fed."""
    if preview.fed is None:
        return
    of_kept, of_other = preview.fed
    plan = of_other if answers["fed"] == KEPT else of_kept
    plan.state = Plan.State.ENDED
    plan._change_reason = why
    plan.save(update_fields=["state"])


def _take_over(preview: Preview, answers: Mapping[str, str]) -> None:
    kept, other = preview.kept, preview.other
    for difference in preview.differences:
        answer = answers[difference.key]
        for name in difference.names if answer != KEPT else ():
            value = getattr(other, name)
            setattr(kept, name, f"{getattr(kept, name)}\n{value}" if answer == BOTH else value)
    if isinstance(kept, Patient) and kept.status != Patient.Status.ACTIVE:
        kept.next_recheck = None


def _refuse_contradictions(kept: Record) -> None:
    if isinstance(kept, Owner):
        return
    today = timezone.localdate()
    problems = [
        sentence for _, sentence in (*reproduction_problems(kept, today), *stage_problems(kept, today))
    ]
    if kept.visits.filter(date__lt=kept.born).exists():
        problems.append(f"{kept.name} was seen before the birth date that is to stay: choose the other one.")
    if problems:
        raise ValidationError(problems)
