"""A thing that waits, with its one action, and the groups that the page shows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet

from patients.models import Patient

SHOWN_AT_ONCE = 10


@dataclass(frozen=True)
class Waiting:
    """whom: the owner and a phone number. permission: what the action needs; posts: it is a button.

    to_post: what the button sends.
    """

    name: str
    url: str
    why: str
    action: str
    action_url: str
    permission: str
    whom: str = ""
    to_post: dict[str, str] = field(default_factory=dict)


def of_dog(patient: Patient, why: str, action: str, action_url: str, permission: str) -> Waiting:
    owner = patient.owner
    whom = ", ".join(filter(None, (owner.name, owner.phone)))
    return Waiting(patient.name, patient.get_absolute_url(), why, action, action_url, permission, whom)


@dataclass(frozen=True)
class Group:
    """The first of what waits under one title, and how much there is in all."""

    key: str
    title: str
    rows: list[Waiting]
    count: int

    @property
    def more(self) -> int:
        return self.count - len(self.rows)


def group(
    key: str, title: str, found: Sequence | QuerySet, rows: Callable[[Sequence], list[Waiting]], whole: str
) -> Group:
    """rows: makes them of those that are shown. whole: key of the group that is shown to its end."""
    count = found.count() if isinstance(found, QuerySet) else len(found)
    shown = found if whole == key else found[:SHOWN_AT_ONCE]
    return Group(key, title, rows(shown) if count else [], count)


def each(row: Callable[[Any], Waiting]) -> Callable[[Sequence], list[Waiting]]:
    """Rows that are made one by one."""
    return lambda shown: [row(found) for found in shown]
