"""What rounding does to a batch: nutrients that move, and batches that need no rounding. Pure calculation."""

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from nutrients.composition import RATIOS
from recipes.analysis import Analysis

TOLD_FROM_PERCENT = 5  # common practice, no source: smaller moves are lost in weighing
NEAR_WHOLE_PERCENT = 5  # common practice, no source
MOST_OFFERS = 3


def moved_nutrients(exact: Analysis, rounded: Analysis) -> list[tuple[str, float]]:
    """(name, percent) of the judged nutrients whose amount per 1000 kcal rounding moves by more than 5 %.

    The furthest first. A nutrient whose amount is not known moves by an unknown amount: it is left out.
    """
    before, after = _per_1000_kcal(exact), _per_1000_kcal(rounded)
    names = rounded.judgement["name"]
    keys = [key for key in names.index if key not in RATIOS and before.get(key, 0) > 0]
    percent = {key: (after[key] / before[key] - 1) * 100 for key in keys}
    told = [(names[key], moved) for key, moved in percent.items() if abs(moved) > TOLD_FROM_PERCENT]
    return sorted(told, key=lambda each: -abs(each[1]))


def _per_1000_kcal(analysis: Analysis) -> pd.Series:
    return analysis.composition.totals * 1000 / analysis.energy.kcal


@dataclass(frozen=True)
class WholeBatch:
    """A batch of so many days in which every counted piece comes out whole: name -> pieces."""

    days: int
    pieces: Mapping[str, int]


def whole_batches(per_day: Mapping[str, float], days: int, most_days: int) -> list[WholeBatch]:
    """The batch sizes nearest to `days` in which every piece comes within 5 % of a whole number.

    per_day: name -> pieces a day, not rounded: tablets, or packs. None for a batch that has no pieces.
    """
    if not per_day:
        return []
    found = [
        WholeBatch(size, {name: round(pieces * size) for name, pieces in per_day.items()})
        for size in range(1, most_days + 1)
        if all(_is_near_whole(pieces * size) for pieces in per_day.values())
    ]
    return sorted(found, key=lambda batch: (abs(batch.days - days), batch.days))[:MOST_OFFERS]


def _is_near_whole(pieces: float) -> bool:
    whole = round(pieces)
    return whole > 0 and abs(whole / pieces - 1) * 100 <= NEAR_WHOLE_PERCENT
