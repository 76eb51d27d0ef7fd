"""A thing that waits, with its one action, and the groups that the page shows. No reads."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

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
    key: str, title: str, found: Sequence, row: Callable[[Any], Waiting], whole: str, count: int | None = None
) -> Group:
    """found: all that waits, or the first of it beside a `count`. whole: key of the group shown whole."""
    shown = found if whole == key else found[:SHOWN_AT_ONCE]
    return Group(key, title, [row(each) for each in shown], len(found) if count is None else count)
