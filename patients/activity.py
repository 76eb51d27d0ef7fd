"""What changed between two states of a record, in the words of the screen. Pure: plain values in and out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

NOTHING = "nothing"


@dataclass(frozen=True)
class Change:
    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Event:
    """One thing that was done to a record. did: added, changed or removed; changes: field by field."""

    at: datetime
    who: str
    did: str
    what: str
    changes: Sequence[Change]
    reason: str = ""


def spoken(value) -> str:
    """A value as people say it."""
    if value is None or value == "" or value == []:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{value.day} {value:%B %Y, %H:%M}"
    if isinstance(value, date):
        return f"{value.day} {value:%B %Y}"
    if isinstance(value, float):
        return f"{value:,.10g}"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return str(value)


def changes(before: Mapping[str, object], after: Mapping[str, object]) -> list[Change]:
    """The fields that differ, by their labels; both states hold the same labels."""
    return [
        Change(label, spoken(before[label]), spoken(value))
        for label, value in after.items()
        if before[label] != value
    ]


def told(state: Mapping[str, object]) -> list[Change]:
    """What a new record said at first: every field that holds something."""
    return [
        Change(label, NOTHING, spoken(value)) for label, value in state.items() if spoken(value) != NOTHING
    ]
