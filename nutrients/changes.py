"""Changing one row of the reference data with a reason.

A row has no history until the practice changes it for the first time; then what stood before is kept with it.
Loading the reference data leaves rows with a history alone.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django import forms
from django.core.exceptions import ValidationError
from django.db import models, transaction

from nutrients.models.history import AS_LOADED

CHANGED_MEANWHILE = "Somebody changed this after you opened it: look at what stands there now."


def seen_mark(row: models.Model) -> str:
    """Stands for the state of a row; another one after every change."""
    return str(row.history.values_list("pk", flat=True).first() or "") if row.pk else ""


@transaction.atomic
def change(*, row: models.Model, reason: str, seen: str | None = None) -> None:
    """Save a changed row with the reason; who did it comes from the request.

    seen: the mark of the row as it was seen, None when it need not be compared.
    Raises ValidationError when the row is not in order or somebody changed it meanwhile.
    """
    type(row).objects.select_for_update().get(pk=row.pk)
    if seen is not None and seen != seen_mark(row):
        raise ValidationError(CHANGED_MEANWHILE)
    row.full_clean()
    row._change_reason = reason
    row.save()


def written(form: forms.BaseForm, write: Callable, **given):
    """What `write` returns, True for nothing; False when it refuses, which the form then says."""
    try:
        return write(**given) or True
    except ValidationError as problem:
        form.add_error(None, problem.messages)
        return False


@dataclass(frozen=True)
class Difference:
    """One field before and after; empty where nothing stood."""

    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Change:
    """One change of a row. who: empty when it was not made on a page."""

    when: datetime
    who: str
    why: str
    differences: tuple[Difference, ...]


def changes_of(row: models.Model, fields: Sequence[str]) -> list[Change]:
    """The changes of the row's fields, newest first."""
    states = list(row.history.select_related("history_user").order_by("history_date", "history_id"))
    pairs = zip([None, *states], states, strict=False)
    changes = [_change(before, after, fields) for before, after in pairs]
    return [change for change in reversed(changes) if change.why != AS_LOADED]


def _change(before, after, fields: Sequence[str]) -> Change:
    rows = [
        Difference(_label(after, name), _spoken(before, name) if before else "", _spoken(after, name))
        for name in fields
    ]
    return Change(
        when=after.history_date,
        who=said_by(after),
        why=after.history_change_reason or "",
        differences=tuple(row for row in rows if row.before != row.after),
    )


def said_by(state) -> str:
    """Who made a state of a row."""
    user = state.history_user
    return (user.get_full_name() or user.username) if user else ""


def _label(state, name: str) -> str:
    return str(state._meta.get_field(name).verbose_name)


def _spoken(state, name: str) -> str:
    value = getattr(state, name)
    return f"{value:.10g}" if isinstance(value, float) else str(value or "")
