"""Imports in the background: one at a time, in a thread with a database connection of its own.

While files are read, the run writes down how far it is. While it writes it cannot: on SQLite its one
transaction keeps everything else waiting, its own notes too.
"""

import logging
from pathlib import Path
from threading import Thread
from time import monotonic

from django.contrib.auth.models import AbstractBaseUser
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, connections, transaction
from django.utils import timezone

from nutrients.food_import import import_foods
from nutrients.models import FoodImport
from nutrients.usda import BadFile

log = logging.getLogger(__name__)

SECONDS_BETWEEN_NOTES = 1.0
LONGEST_NAME = FoodImport._meta.get_field("name").max_length
UNEXPECTED = "Something went wrong that should not have; nothing was changed. The program's log says more."


class AlreadyRunning(Exception):
    """Another import is running; they come one after the other."""


def settle_stopped() -> None:
    """Say of every run that the program's end cut short that it was interrupted."""
    FoodImport.objects.stopped_short().update(
        state=FoodImport.State.INTERRUPTED, finished_at=timezone.now(), message="The program was ended."
    )


def start_upload(
    *, by: AbstractBaseUser, upload: UploadedFile, groups: list[str], dry_run: bool
) -> FoodImport:
    """Keep an uploaded zip and import it in the background. Raises AlreadyRunning."""
    run = FoodImport(started_by=by, name=upload.name[:LONGEST_NAME], groups=groups, dry_run=dry_run)
    _take_turn(run)
    run.file.save(upload.name, upload)
    return _begin(run)


def start_again(*, by: AbstractBaseUser, earlier: FoodImport) -> FoodImport:
    """Import the kept file of an earlier run once more, this time for good. Raises AlreadyRunning."""
    run = FoodImport(started_by=by, name=earlier.name, groups=earlier.groups, file=earlier.file.name)
    _take_turn(run)
    return _begin(run)


def _take_turn(run: FoodImport) -> None:
    """Save the run as the one that is running; the database lets there be no other."""
    settle_stopped()
    try:
        with transaction.atomic():
            run.save()
    except IntegrityError:
        raise AlreadyRunning from None


def _begin(run: FoodImport) -> FoodImport:
    for old in FoodImport.objects.exclude(file="").exclude(pk=run.pk):
        forget_file(old, keep=run.file.name)
    transaction.on_commit(lambda: in_background(run.pk))
    return run


def forget_file(run: FoodImport, keep: str = "") -> None:
    """Delete the uploaded file of a run; only the newest run has one, and only while it can be of use."""
    if run.file and run.file.name != keep:
        run.file.storage.delete(run.file.name)
    FoodImport.objects.filter(pk=run.pk).update(file="")


def in_background(pk: int) -> None:
    Thread(target=_carry_out_and_close, args=[pk], name=f"food import {pk}", daemon=True).start()


def _carry_out_and_close(pk: int) -> None:
    try:
        carry_out(pk)
    finally:
        connections.close_all()


def carry_out(pk: int) -> None:
    """Do a started import, and write down how far it is and what came of it."""
    run = FoodImport.objects.get(pk=pk)
    try:
        report = import_foods(
            Path(run.file.path),
            only=run.groups,
            dry_run=run.dry_run,
            reading=Notes(pk),
            writing=lambda: note(pk, step=FoodImport.Step.WRITING, percent=100),
        )
    except BadFile as problem:
        end(pk, FoodImport.State.FAILED, message=f"{problem}. Nothing was changed.")
    except Exception:
        log.exception("Food import %s", pk)
        end(pk, FoodImport.State.FAILED, message=UNEXPECTED)
    else:
        end(pk, FoodImport.State.DONE, report=report.as_record(), rows=report.rows)
    if not (run.dry_run and FoodImport.objects.filter(pk=pk, state=FoodImport.State.DONE).exists()):
        forget_file(run)


class Notes:
    """Writes down how far the reading is, from time to time."""

    def __init__(self, pk: int):
        self._pk = pk
        self._last = monotonic()

    def __call__(self, rows: int, share: float) -> None:
        if monotonic() - self._last >= SECONDS_BETWEEN_NOTES:
            self._last = monotonic()
            note(self._pk, rows=rows, percent=int(share * 100))


def note(pk: int, **fields) -> None:
    FoodImport.objects.filter(pk=pk).update(seen_at=timezone.now(), **fields)


def end(pk: int, state: FoodImport.State, **fields) -> None:
    note(pk, state=state, finished_at=timezone.now(), **fields)
