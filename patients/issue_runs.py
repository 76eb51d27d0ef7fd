"""Sheets of several dogs issued in the background: one run at a time, in a thread of its own.

Each sheet is issued as from its own page, with all that is looked at there; one refused stops no other.
"""

import logging
from collections.abc import Iterable
from datetime import timedelta
from threading import Thread

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connections, transaction
from django.utils import timezone

from patients.models import IssueRun, Plan
from patients.services import issue_sheet
from recipes.printing import PdfUnavailable

log = logging.getLogger(__name__)

SILENT_FOR = timedelta(minutes=1)  # a run says so after every sheet
UNEXPECTED = "Something went wrong that should not have. The program's log says more."


class AlreadyRunning(Exception):
    """Other sheets are being issued; runs come one after the other."""


def settle_stopped() -> None:
    """Say of a run that the program's end cut short that it was interrupted."""
    silent = IssueRun.objects.filter(state=IssueRun.State.RUNNING, seen_at__lt=timezone.now() - SILENT_FOR)
    silent.update(state=IssueRun.State.INTERRUPTED)


def start(*, by: AbstractUser, plans: Iterable[Plan], practice, reason: str = "") -> IssueRun:
    """Raises AlreadyRunning. practice: as `issue_sheet` takes it."""
    settle_stopped()
    try:
        with transaction.atomic():
            run = IssueRun.objects.create(started_by=by, plans=[plan.pk for plan in plans], reason=reason)
    except IntegrityError:
        raise AlreadyRunning from None
    transaction.on_commit(lambda: in_background(run.pk, practice))
    return run


def in_background(pk: int, practice) -> None:
    Thread(target=_carry_out_and_close, args=[pk, practice], name=f"issue run {pk}", daemon=True).start()


def _carry_out_and_close(pk: int, practice) -> None:
    try:
        carry_out(pk, practice)
    finally:
        connections.close_all()


def carry_out(pk: int, practice) -> None:
    """Issue the sheets of a started run, and write down after each what came of it."""
    run = IssueRun.objects.select_related("started_by").get(pk=pk)
    for key in run.plans:
        run.outcomes.append(_outcome(run, key, practice))
        run.seen_at = timezone.now()
        run.save(update_fields=["outcomes", "seen_at"])
    run.state = IssueRun.State.DONE
    run.save(update_fields=["state"])


def _outcome(run: IssueRun, key: int, practice) -> dict:
    plan = Plan.objects.select_related("patient").filter(pk=key).first()
    if plan is None:
        return {"dog": "", "plan": key, "sheet": None, "why": "The plan is gone."}
    row = {"dog": plan.patient.name, "plan": key, "sheet": None, "why": ""}
    try:
        sheet = issue_sheet(plan=plan, by=run.started_by, practice=practice, reason=run.reason)
    except ValidationError as refused:
        return row | {"why": " ".join(refused.messages)}
    except PdfUnavailable as refused:
        return row | {"why": str(refused)}
    except Exception:
        log.exception("Issue run %s, plan %s", run.pk, key)
        return row | {"why": UNEXPECTED}
    return row | {"sheet": sheet.pk}
