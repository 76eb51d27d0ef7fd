"""What changes in the answers of a recipe when something in it is swapped. Pure calculation.

Both recipes were judged in full against the same profile; here the two judgements are laid side by side. A
nutrient whose answer stays is still told of when its amount moves far.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import pandas as pd

from nutrients.adequacy import CRITICAL
from nutrients.composition import RATIOS

MINIMUM, MAXIMUM = "minimum", "maximum"
BELOW, ABOVE, UNCONFIRMED, CLOSED, MOVED = "below", "above", "cannot_confirm", "closed", "moved"
ORDER = (BELOW, ABOVE, UNCONFIRMED, CLOSED, MOVED)
OFF = (BELOW, ABOVE)
# Common practice, no source: from here on a move is told, and from here on it is no equal swap.
TOLD_RATIO, TOLD_OF_LIMIT = 1.2, 0.2
LARGE_RATIO, LARGE_OF_LIMIT = 2.0, 1.0
FURTHER_OF_LIMIT = 0.01  # common practice, no source: less is no worse than it was
# Minerals have to stay where they were; most vitamins are far above their minimum, and harmless there.
MINERALS = "Minerals"

NEAR_EQUAL, ANSWERS_KEPT, NOT_EQUAL = "near equal", "every answer kept", "not an equal swap"


class Line(NamedTuple):
    """What is looked at of one limit's row: columns of `nutrients.adequacy.judge`."""

    key: str
    name: str
    group: str
    unit: str
    decimals: int
    amount: float
    minimum: float
    maximum: float
    maximum_kind: str
    minimum_answer: str
    maximum_answer: str
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Difference:
    """One nutrient that does not stay as it was.

    kind: of ORDER. ratio: amount after / before, None when one of them is not known or nothing. large: so far
    that nobody would call the two recipes equal.
    """

    key: str
    name: str
    group: str
    kind: str
    sentence: str
    ratio: float | None = None
    large: bool = False

    @property
    def raises_mineral(self) -> bool:
        return self.group == MINERALS and self.kind in (ABOVE, MOVED) and (self.ratio or 0) > 1


@dataclass(frozen=True)
class Differences:
    """all: the worst first. distance: how far all judged amounts moved, to tell like from like."""

    all: tuple[Difference, ...]
    distance: float

    @cached_property
    def newly_off(self) -> tuple[Difference, ...]:
        """Limits that are below or above now and were not before, or not as far."""
        return tuple(each for each in self.all if each.kind in OFF)

    @cached_property
    def newly_unconfirmed(self) -> tuple[Difference, ...]:
        return tuple(each for each in self.all if each.kind == UNCONFIRMED)

    @cached_property
    def keep_from_offering(self) -> tuple[Difference, ...]:
        """Limits that are off, and critical ones that cannot be confirmed: nobody signed those off."""
        critical = (each for each in self.newly_unconfirmed if each.key in CRITICAL)
        return (*self.newly_off, *critical)

    @property
    def harm(self) -> tuple[int, int, int, float]:
        """Sorts by least harm: limits newly off, newly not confirmed, large moves, then the distance."""
        large = sum(each.large for each in self.all)
        return (len(self.newly_off), len(self.newly_unconfirmed), large, self.distance)

    @property
    def verdict(self) -> str:
        if self.newly_off or self.newly_unconfirmed or any(each.large for each in self.all):
            return NOT_EQUAL
        return ANSWERS_KEPT if any(each.kind == MOVED for each in self.all) else NEAR_EQUAL


def lines_of(judgement: pd.DataFrame) -> list[Line]:
    columns = [judgement[column].tolist() for column in Line._fields[1:]]
    return [Line(*row) for row in zip(judgement.index, *columns, strict=True)]


def differences(before: pd.DataFrame, after: pd.DataFrame) -> Differences:
    """before, after: of `nutrients.adequacy.judge`, against the same profile."""
    return compared(lines_of(before), lines_of(after))


def compared(before: Sequence[Line], after: Sequence[Line]) -> Differences:
    """The same of lines, for a recipe that is compared with many."""
    found, distance = [], 0.0
    for was, now in zip(before, after, strict=True):
        found += _answers_changed(was, now) or _moved(was, now)
        distance += _distance(was, now)
    return Differences(tuple(sorted(found, key=_weight)), distance)


def _weight(found: Difference) -> tuple[int, bool, float]:
    far = abs(math.log(found.ratio)) if found.ratio else 0.0
    return (ORDER.index(found.kind), not found.large, -far)


def _answers_changed(was: Line, now: Line) -> list[Difference]:
    """Of both sides of a limit; data that are missing for both are told once."""
    sides = [found for side in (MINIMUM, MAXIMUM) if (found := _answer_changed(was, now, side))]
    return sides[:1] if {found.kind for found in sides} == {UNCONFIRMED} else sides


def _answer_changed(was: Line, now: Line, side: str) -> Difference | None:
    before, after = getattr(was, f"{side}_answer"), getattr(now, f"{side}_answer")
    if before == after:
        return _further_off(was, now, side) if after in OFF else None
    kind = CLOSED if after == "meets" else after
    said = {
        BELOW: f"falls below minimum: {_of(now, now.minimum)}",
        ABOVE: f"rises above maximum{f' ({now.maximum_kind})' if now.maximum_kind else ''}: "
        f"{_of(now, now.maximum)}",
        UNCONFIRMED: f"cannot be confirmed: no value in {_newly_missing(was, now)}",
        CLOSED: f"meets its {side} now: {_of(now, now.minimum if side == MINIMUM else now.maximum)}",
    }[kind]
    large = kind == CLOSED and _is_large(was, now)
    return Difference(now.key, now.name, now.group, kind, f"{now.name} {said}", _ratio(was, now), large)


def _further_off(was: Line, now: Line, side: str) -> Difference | None:
    """What was accepted of a limit that was off already was accepted of that amount, not of a worse one."""
    limit = getattr(now, side)
    worse = was.amount - now.amount if side == MINIMUM else now.amount - was.amount
    if not worse >= FURTHER_OF_LIMIT * limit:
        return None
    kind, said = (BELOW, "falls further below") if side == MINIMUM else (ABOVE, "rises further above")
    sentence = f"{now.name} {said} {side}: {_of(now, limit)}"
    return Difference(now.key, now.name, now.group, kind, sentence, _ratio(was, now))


def _newly_missing(was: Line, now: Line) -> str:
    """The foods whose missing value makes the difference; all of them when it is the amount that does."""
    return ", ".join([food for food in now.missing if food not in was.missing] or now.missing) or "the data"


def _of(line: Line, limit: float) -> str:
    """Such as `1.21 of 1.83 mg per 1000 kcal`."""
    places = int(line.decimals)
    amount = "unknown" if math.isnan(line.amount) else f"{line.amount:,.{places}f}"
    unit = "" if line.key in RATIOS else f" {line.unit} per 1000 kcal"
    return f"{amount} of {limit:,.{places}f}{unit}"


def _ratio(was: Line, now: Line) -> float | None:
    return now.amount / was.amount if was.amount > 0 and now.amount > 0 else None


def _limit(line: Line) -> float:
    """What a move is measured by: the minimum, else the maximum."""
    return line.maximum if math.isnan(line.minimum) else line.minimum


def _passes(was: Line, now: Line, times: float, share: float) -> bool:
    """Did the amount grow or shrink so many times, and by so much of its limit?"""
    far = was.amount <= 0 or not 1 / times < now.amount / was.amount < times
    return far and abs(now.amount - was.amount) >= share * _limit(now)


def _moved(was: Line, now: Line) -> list[Difference]:
    if math.isnan(was.amount) or math.isnan(now.amount) or not _passes(was, now, TOLD_RATIO, TOLD_OF_LIMIT):
        return []
    sentence = f"{now.name} {_how_far(was, now)}"
    return [Difference(now.key, now.name, now.group, MOVED, sentence, _ratio(was, now), _is_large(was, now))]


def _is_large(was: Line, now: Line) -> bool:
    counts = now.group == MINERALS or not math.isnan(now.maximum)
    return counts and _passes(was, now, LARGE_RATIO, LARGE_OF_LIMIT)


def _how_far(was: Line, now: Line) -> str:
    """Such as `up 40 %` or, where a percentage says little, `3.2 g more per 1000 kcal`."""
    ratio, more = _ratio(was, now), now.amount - was.amount
    if ratio is not None and ratio < LARGE_RATIO:
        return f"{'up' if ratio > 1 else 'down'} {abs(ratio - 1) * 100:.0f} %"
    unit, basis = ("", "") if now.key in RATIOS else (f" {now.unit}", " per 1000 kcal")
    return f"{abs(more):,.{int(now.decimals)}f}{unit} {'more' if more > 0 else 'less'}{basis}"


def _distance(was: Line, now: Line) -> float:
    """|ln(after / before)|, where what lies far below the limit counts as a tenth of it."""
    floor = 0.1 * _limit(now)
    if math.isnan(was.amount) or math.isnan(now.amount) or not floor > 0:
        return 0.0
    return abs(math.log(max(now.amount, floor) / max(was.amount, floor)))
