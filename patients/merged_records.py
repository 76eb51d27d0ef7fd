"""What stayed in the records that were merged into another one."""

from dataclasses import dataclass
from datetime import datetime

from django.db import models
from django.urls import reverse
from django.utils.text import capfirst

from patients.belongings import belongings, with_merged
from patients.merge_preview import Difference, Preview, in_words
from patients.models import Owner, Patient, Sheet, Visit


@dataclass(frozen=True)
class Stayed:
    """Something that belongs to a merged record still; url: where it is read, or empty."""

    words: str
    url: str


@dataclass(frozen=True)
class MergedRecord:
    """differences: what it says otherwise than the kept record does now."""

    record: Patient | Owner
    at: datetime | None
    by: str
    why: str
    differences: list[Difference]
    stayed: list[Stayed]


def merged_records(kept: Patient | Owner) -> list[MergedRecord]:
    return [_merged(kept, record) for record in with_merged(kept)[1:]]


def _merged(kept: Patient | Owner, record: Patient | Owner) -> MergedRecord:
    past = record.history.filter(merged_into__isnull=False).order_by("history_date", "history_id").first()
    person = past and past.history_user
    direct = [each for each in belongings(type(record)) if each.is_direct]
    return MergedRecord(
        record=record,
        at=past and past.history_date,
        by=(person.get_full_name() or person.get_username()) if person else "",
        why=past.history_change_reason or "" if past else "",
        differences=Preview(kept, record).differences,
        stayed=[_stayed(row) for each in direct for row in _light(each.model).filter(**{each.path: record})],
    )


def _light(model: type[models.Model]) -> models.QuerySet:
    rows = model._default_manager.all()
    return rows.defer("pdf", "record") if model is Sheet else rows


def _stayed(row: models.Model) -> Stayed:
    if isinstance(row, Visit):
        return Stayed(in_words(row), reverse("patients:visit-detail", args=[row.pk]))
    if isinstance(row, Sheet):
        return Stayed(in_words(row), row.get_absolute_url())
    return Stayed(f"{capfirst(row._meta.verbose_name)}: {in_words(row)}", "")
