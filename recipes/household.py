"""Weights in measures that a kitchen has: cups, spoons, pieces, whole eggs. Pure calculation."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from nutrients.language import say_many

QUARTERS = {0.25: "¼", 0.5: "½", 0.75: "¾"}
FEWEST_MEASURES, MOST_MEASURES = 0.25, 8  # common practice, no source: what an owner will count out
WEIGHTS = ("oz", "lb", "cubic")  # how a label begins; weights stand on the sheet as grams
NO_MEASURE = ("yield", "serving", "portion", "unit")  # what a food table counts and no kitchen has
ODD_SIZES = ("jumbo", "extra large")  # what few kitchens have
COUNTED = re.compile(r"^(cup|fillet|can|slice|piece|package|stalk|spear|thigh|breast|tablespoon)\b")
COUNTED_INSIDE = re.compile(r"\([\d.]+ (?!fl|oz)\w")  # "cup (4.86 large eggs)": read as so many eggs
MOST_OFF = 1 / 8  # common practice, no source: from one measure up, the nearest quarter is never further off
EGG_SIZE = "large"  # the size that is in most shops and recipes; common practice, no source


@dataclass(frozen=True)
class Measured:
    """So many of a measure, in quarters, and what they weigh by the food's own table [g]."""

    count: float
    label: str
    grams: float
    off_percent: float

    @property
    def text(self) -> str:
        """Such as `1½ cups`."""
        named = say_many(self.label, many_of(self.label), self.count)
        return f"{in_quarters(self.count)} {named}"


def nearest(
    grams: float, measures: Iterable[tuple[str, float]], most: float = MOST_MEASURES
) -> Measured | None:
    """`grams` in the largest measure that comes near, in quarters from ¼ to `most`, such as 1½ cups.

    measures: (label, grams of one); weights and a food table's servings and yields are passed over. None when
    every measure is more than an eighth off.
    """
    fitting = [
        found
        for label, grams_of_one in measures
        if in_a_kitchen(label)
        for found in [_measured(grams, label, grams_of_one)]
        if FEWEST_MEASURES <= found.count <= most and abs(found.off_percent) <= MOST_OFF * 100
    ]
    return max(fitting, key=lambda found: found.grams / found.count, default=None)


def _measured(grams: float, label: str, grams_of_one: float) -> Measured:
    count = round(grams / grams_of_one * 4) / 4
    return Measured(count, label, count * grams_of_one, (count * grams_of_one / grams - 1) * 100)


def in_a_kitchen(label: str) -> bool:
    """May `nearest` choose this measure?"""
    return (
        is_household(label)
        and not COUNTED_INSIDE.search(label)
        and not any(size in label for size in ODD_SIZES)
    )


def many_of(label: str) -> str:
    """Such as `cups, chopped` of `cup, chopped`."""
    return COUNTED.sub(r"\1s", label)


def household(grams: float, measures: Iterable[tuple[str, float]]) -> str:
    """`grams` in the nearest household measure, or an empty text."""
    found = nearest(grams, measures)
    return found.text if found else ""


def is_household(label: str) -> bool:
    """Is this a measure that a kitchen has, and not a weight, or a food table's serving or yield?"""
    return not label.startswith(WEIGHTS) and not any(word in label for word in NO_MEASURE)


@dataclass(frozen=True)
class Eggs:
    """So many eggs as a weight: those to break, and how many that is exactly. grams: what is weighed out."""

    grams: float
    count: float
    to_break: int

    @property
    def all_used(self) -> bool:
        return math.isclose(self.count, self.to_break)


def eggs(grams: float, measures: Iterable[tuple[str, float]]) -> Eggs | None:
    """`grams` of egg in whole eggs to break and quarters of an egg; None when the food has no egg's size."""
    grams_of_one = dict(measures).get(EGG_SIZE)
    if grams_of_one is None:
        return None
    count = max(0.25, round(grams / grams_of_one * 4) / 4)
    return Eggs(grams, count, math.ceil(count))


def in_quarters(count: float) -> str:
    """Such as `1½`."""
    whole, part = divmod(count, 1)
    return (f"{whole:.0f}" if whole else "") + QUARTERS.get(part, "")
