"""Renewals of the library's figures in the background.

One at a time, in a thread with a database connection of its own; it writes down how far it is.
"""

import logging
from datetime import timedelta
from threading import Thread

from django.contrib.auth.models import AbstractBaseUser
from django.db import IntegrityError, connections, transaction
from django.utils import timezone

from recipes.models import FiguresRenewal, VersionFigures
from recipes.renewal import begin_missing, renew_few, renew_stale

log = logging.getLogger(__name__)

SILENT_FOR = timedelta(minutes=1)  # a running renewal says so after every turn
UNEXPECTED = "Something went wrong that should not have. The program's log says more."
ENDED = "The program was ended."


def keep_up() -> FiguresRenewal | None:
    """Before the library is read: renew what is stale, much of it in the background.

    Returns the renewal that is going on; None when every figure is fresh.
    """
    begin_missing()
    renew_few()
    if not VersionFigures.objects.stale().exists():
        return None
    return start()


def start_all(by: AbstractBaseUser) -> FiguresRenewal:
    """Work out everything anew, in the background."""
    VersionFigures.objects.mark_stale()
    return start(by)


def start(by: AbstractBaseUser | None = None) -> FiguresRenewal:
    """Renew what is stale in the background; the renewal that is going on already, if one is."""
    settle_stopped()
    try:
        with transaction.atomic():
            run = FiguresRenewal.objects.create(started_by=by)
    except IntegrityError:
        return FiguresRenewal.objects.first()
    transaction.on_commit(lambda: in_background(run.pk))
    return run


def settle_stopped() -> None:
    """Say of a renewal that the program's end cut short that it was interrupted."""
    FiguresRenewal.objects.filter(
        state=FiguresRenewal.State.RUNNING, seen_at__lt=timezone.now() - SILENT_FOR
    ).update(state=FiguresRenewal.State.INTERRUPTED, finished_at=timezone.now(), message=ENDED)


def in_background(pk: int) -> None:
    Thread(target=_carry_out_and_close, args=[pk], name=f"figures renewal {pk}", daemon=True).start()


def _carry_out_and_close(pk: int) -> None:
    try:
        carry_out(pk)
    finally:
        connections.close_all()


def carry_out(pk: int) -> None:
    """Do a started renewal, and write down how far it is and what came of it."""

    def said(done: int, left: int) -> None:
        _note(pk, renewed=done, percent=100 * done // (done + left))

    try:
        renew_stale(said)
    except Exception:
        log.exception("Renewal of figures %s", pk)
        _end(pk, FiguresRenewal.State.FAILED, message=UNEXPECTED)
    else:
        _end(pk, FiguresRenewal.State.DONE)


def _note(pk: int, **fields) -> None:
    FiguresRenewal.objects.filter(pk=pk).update(seen_at=timezone.now(), **fields)


def _end(pk: int, state: FiguresRenewal.State, **fields) -> None:
    _note(pk, state=state, finished_at=timezone.now(), **fields)
