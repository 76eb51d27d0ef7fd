"""A file on its way in: begun, matched, looked at, brought in, thrown away."""

from django.contrib.auth.models import AbstractUser
from django.db import transaction
from django.utils import timezone

from patients.bring_in.cells import Order
from patients.bring_in.lines import Reading, read_lines
from patients.bring_in.matching import Found, match
from patients.bring_in.standing import faults, standing_records
from patients.bring_in.table import Table, faulty_lines, read_table
from patients.bring_in.writing import write
from patients.models import BroughtFile


@transaction.atomic
def begin(*, person: AbstractUser, content: bytes) -> BroughtFile:
    """In place of what the same person had begun and not finished."""
    BroughtFile.objects.filter(person=person, done_at=None).delete()
    return BroughtFile.objects.create(person=person, content=content)


def matched_before(person: AbstractUser) -> dict[str, str]:
    """How the columns were matched the last time, by their names."""
    last = BroughtFile.objects.filter(person=person).exclude(columns={}).first()
    return last.columns if last else {}


def table_of(brought: BroughtFile) -> Table:
    return read_table(bytes(brought.content))


def look(brought: BroughtFile) -> Found:
    """What it would bring now; nothing is written."""
    order = Order(brought.order) if brought.order else None
    reading = Reading(brought.columns, order, brought.units)
    lines = read_lines(table_of(brought), reading)
    return match(lines, standing_records(), timezone.localdate(), faults)


def left_out_csv(brought: BroughtFile) -> str:
    return brought.left_out if brought.done_at else _left_out(brought, look(brought))


@transaction.atomic
def bring_in(*, brought: BroughtFile, by: AbstractUser) -> BroughtFile:
    """All or nothing, and once: a second press finds it done."""
    brought = BroughtFile.objects.select_for_update().get(pk=brought.pk)
    if brought.done_at:
        return brought
    found = look(brought)
    write(found, by)
    brought.counts = counts_of(found)
    brought.left_out = _left_out(brought, found)
    brought.content, brought.done_at = b"", timezone.now()
    brought.save()
    return brought


def counts_of(found: Found) -> dict[str, int]:
    return {
        "owners": len(found.owners),
        "dogs": len(found.dogs),
        "weigh_ins": len(found.weigh_ins),
        "here": len(found.here),
        "same": found.same,
        "wrong": len(found.wrong),
    }


def throw_away(brought: BroughtFile) -> None:
    """What it holds; that it brought something stays on record."""
    if brought.done_at:
        brought.left_out = ""
        brought.save(update_fields=["left_out"])
    else:
        brought.delete()


def _left_out(brought: BroughtFile, found: Found) -> str:
    return "".join(faulty_lines(table_of(brought), found.wrong)) if found.wrong else ""
