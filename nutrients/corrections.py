"""Corrections of the reference data: what a value, a limit or a factor said before, and what it says since.

They are read from the histories. What belongs together (one food, profile or group of foods, changed at once
by one person for one reason) is one correction. Entering a new food or profile corrects nothing.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import NamedTuple

from django.db import models
from django.db.models import Min

from nutrients.changes import said_by
from nutrients.models import Food, FoodValue, Limit, Nutrient, Profile, Retention
from nutrients.models.history import AS_LOADED

AT_ONCE = timedelta(minutes=1)
NOTHING = "none"


class Turn(NamedTuple):
    """One change of a row: the history's entries that say what stood before and since; None for nothing."""

    entry: object
    before: object | None
    since: object | None


class Step(NamedTuple):
    """A change in words, such as `Copper in 100 g`, `9.76 mg`, `11.2 mg`."""

    label: str
    before: str
    since: str


@dataclass(frozen=True)
class Correction:
    """what: whose values, limits or factors; at and by: when and by whom the first of them was changed."""

    kind: str
    what: str
    at: datetime
    by: str
    reason: str
    steps: tuple[Step, ...]
    turns: tuple[Turn, ...]

    @property
    def entry(self) -> int:
        """Its first entry in the history, which tells it from others of its kind."""
        return self.turns[0].entry.pk


@dataclass(frozen=True)
class Kind:
    """A kind of corrected data. owner: the field that says whose row it is; owners: their model, if any.

    told: the labels and texts of a row's numbers, to be compared.
    """

    model: type[models.Model]
    owner: str
    owners: type[models.Model] | None
    told: Callable[[object, Nutrient], dict[str, str]]


def _value_told(entry, nutrient: Nutrient) -> dict[str, str]:
    unknown = entry.per_100g is None
    return {f"{nutrient} in 100 g": "unknown" if unknown else f"{entry.per_100g:,.10g} {nutrient.unit}"}


def _limit_told(entry, nutrient: Nutrient) -> dict[str, str]:
    sides = {"minimum": entry.minimum, "maximum": entry.maximum}
    return {
        f"{nutrient}, {side}": NOTHING if limit is None else f"{limit:,.10g} {entry.unit}"
        for side, limit in sides.items()
    }


def _factor_told(entry, nutrient: Nutrient) -> dict[str, str]:
    return {f"{nutrient}, {entry.get_method_display()}": f"{entry.percent:.10g} % left"}


FOOD_VALUE, LIMIT, RETENTION = "food_value", "limit", "retention"
KINDS = {
    FOOD_VALUE: Kind(FoodValue, "food_id", Food, _value_told),
    LIMIT: Kind(Limit, "profile_id", Profile, _limit_told),
    RETENTION: Kind(Retention, "food_group", None, _factor_told),
}


def corrections() -> list[Correction]:
    """All of them, the newest first."""
    found = (each for kind in KINDS for each in _of_kind(kind))
    return sorted(found, key=lambda correction: (correction.at, correction.entry), reverse=True)


def correction(kind: str, entry: int) -> Correction | None:
    """The correction of a kind with this first entry in the history."""
    return next((each for each in _of_kind(kind) if each.entry == entry), None) if kind in KINDS else None


def _of_kind(kind: str) -> Iterator[Correction]:
    of = KINDS[kind]
    turns = list(_turns(of.model))
    if not turns:
        return
    made, nutrients = _made(of.owners), Nutrient.objects.in_bulk()
    turns = [
        turn
        for turn in turns
        if steps(of, turn, nutrients) and not _is_making(turn, made.get(getattr(turn.entry, of.owner)))
    ]
    names = _names(of.owners, {getattr(turn.entry, of.owner) for turn in turns})
    for together in _at_once(turns, of.owner):
        first = together[0].entry
        whose = getattr(first, of.owner)
        yield Correction(
            kind=kind,
            what=names.get(whose, "what is no longer kept"),
            at=first.history_date,
            by=said_by(first),
            reason=first.history_change_reason or "",
            steps=tuple(step for turn in together for step in steps(of, turn, nutrients)),
            turns=tuple(together),
        )


def _turns(model: type[models.Model]) -> Iterator[Turn]:
    """Every change in a history. A row that was loaded and then taken away says itself what stood before."""
    entries = model.history.filter(id__gt=0).select_related("history_user").order_by("id", "history_id")
    for _, of_row in groupby(entries, key=lambda entry: entry.id):
        before = first = None
        for entry in of_row:
            gone = entry.history_type == "-"
            before = entry if gone and first is None else before
            first = first or entry
            if entry.history_change_reason != AS_LOADED:
                yield Turn(entry, before, None if gone else entry)
            before = None if gone else entry


def steps(of: Kind, turn: Turn, nutrients: dict[int, Nutrient]) -> list[Step]:
    """What differs, in words; nothing when only a source or a note does."""
    before, since = (
        {} if entry is None else of.told(entry, nutrients[entry.nutrient_id])
        for entry in (turn.before, turn.since)
    )
    nothing = "unknown" if of.model is FoodValue else NOTHING
    rows = [
        Step(label, before.get(label, nothing), since.get(label, nothing))
        for label in dict.fromkeys([*before, *since])
    ]
    return [row for row in rows if row.before != row.since]


def _made(owners: type[models.Model] | None) -> dict[int, datetime]:
    """When foods or profiles that the practice made itself were made."""
    if owners is None:
        return {}
    entries = owners.history.filter(history_type="+").order_by()
    return dict(entries.values_list("id").annotate(Min("history_date")))


def _is_making(turn: Turn, made: datetime | None) -> bool:
    """Is it part of entering a new food or profile, or what a copied profile brought along from before?"""
    if made is None:
        return False
    at = turn.entry.history_date
    return at < made or (turn.before is None and at - made < AT_ONCE)


def _names(owners: type[models.Model] | None, keys: Iterable) -> dict[object, str]:
    if owners is None:
        return {key: f"cooking losses of “{key}”" for key in keys}
    rows = owners.objects.filter(pk__in=keys)
    return {row.pk: str(row) for row in (rows.select_related("standard") if owners is Profile else rows)}


def _at_once(turns: list[Turn], owner: str) -> Iterator[list[Turn]]:
    """The changes of one owner's rows that one person made for one reason within a minute."""

    def together(turn: Turn) -> tuple:
        entry = turn.entry
        return str(getattr(entry, owner)), entry.history_user_id or 0, entry.history_change_reason or ""

    ordered = sorted(turns, key=lambda turn: (*together(turn), turn.entry.history_date, turn.entry.pk))
    for _, alike in groupby(ordered, key=together):
        group: list[Turn] = []
        for turn in alike:
            if group and turn.entry.history_date - group[0].entry.history_date > AT_ONCE:
                yield group
                group = []
            group.append(turn)
        yield group
