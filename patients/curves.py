"""How a dog's weight goes, and what that suggests. Pure: weights in kg, rates in percent a week.

A loss of 1-2 % a week is the usual corridor (AAHA 2014 Weight Management Guidelines). Every rate is of the
weight at the beginning of the time it is measured over, so that a week's loss shrinks with the dog.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations
from statistics import median

from patients.energy import check_weight
from patients.weigh_ins import SHORTEST_DAYS, UNLIKELY_PERCENT

SLOW_PERCENT, FAST_PERCENT = 1.0, 2.0  # AAHA 2014 Weight Management Guidelines
GENTLE = (0.5, 1.0)  # common practice, no source: for old, small or very heavy dogs
LONGEST_WEEKS = 104  # common practice, no source: a plan that needs longer is looked at anew
KG_PER_LB_RATIO = 1 / 0.45359237  # a weight in pounds typed as kilograms is 2.2 times too much (NIST SP 811)
NEAR_RATIO = 0.08  # common practice, no source: how near to that ratio a slip of unit comes
QUICKEST_GROWTH_PER_WEEK = (
    1.35  # times; common practice, no source: a puppy past its first month grows slower
)
QUICK_PERCENT_PER_WEEK = 5.0  # common practice, no source: faster than any planned change of a grown dog


@dataclass(frozen=True)
class CorridorWeek:
    """A week of a loss corridor: the weight when it goes fast, and when it goes slowly [kg]."""

    day: date
    fast_kg: float
    slow_kg: float


@dataclass(frozen=True)
class GrowthPoint:
    """percent: of the expected adult weight."""

    day: date
    age_weeks: float
    percent: float


def weekly_rate(weigh_ins: Iterable[tuple[date, float]]) -> float | None:
    """Change of weight [percent of the weight at the beginning, a week], negative for loss.

    The slope is the median of the slopes between all pairs of weigh-ins (Theil 1950, Sen 1968), so that one
    wrong scale does not turn it; the beginning is that line's weight on the first day. None until the
    weigh-ins span a week.
    """

    entries = sorted(weigh_ins)
    if not entries or (entries[-1][0] - entries[0][0]).days < SHORTEST_DAYS:
        return None
    points = [((day - entries[0][0]).days, kg) for day, kg in entries]
    slope = median(
        (kg - kg_0) / (day - day_0) for (day_0, kg_0), (day, kg) in combinations(points, 2) if day > day_0
    )
    at_start = median(kg for _, kg in points) - slope * median(day for day, _ in points)
    return 100 * slope * 7 / at_start if at_start > 0 else None


def loss_curve(
    start_kg: float, target_kg: float, start: date, slow: float = SLOW_PERCENT, fast: float = FAST_PERCENT
) -> list[CorridorWeek]:
    """The corridor week by week: weight x (1 - percent / 100) each week, never below the target.

    It ends when the slow side reaches the target, after two years at most. Raises ValueError unless the
    target lies below the start and 0 < slow <= fast < 100.
    """
    check_weight(start_kg)
    check_weight(target_kg, "target weight")
    if target_kg >= start_kg:
        raise ValueError("A loss ends below the weight it begins with: lower the target.")
    if not 0 < slow <= fast < 100:
        raise ValueError("The slow side of the corridor must lie above 0 and not above the fast side.")
    weeks = math.ceil(math.log(target_kg / start_kg) / math.log(1 - slow / 100) - 1e-9)

    return [
        CorridorWeek(
            start + timedelta(weeks=week),
            expected_kg(start_kg, target_kg, week, fast),
            expected_kg(start_kg, target_kg, week, slow),
        )
        for week in range(min(weeks, LONGEST_WEEKS) + 1)
    ]


@dataclass(frozen=True)
class LossCorridor:
    """A loss from a weight to a target [kg], by `slow` to `fast` percent a week, from a day on."""

    start_kg: float
    target_kg: float
    start: date
    slow: float = SLOW_PERCENT
    fast: float = FAST_PERCENT

    def on(self, day: date) -> tuple[float, float] | None:
        """Lowest and highest weight on a day [kg]; None before it begins."""
        weeks = (day - self.start).days / 7
        if weeks < 0:
            return None
        sides = (expected_kg(self.start_kg, self.target_kg, weeks, side) for side in (self.fast, self.slow))
        return tuple(sides)

    def weeks(self) -> list[CorridorWeek]:
        return loss_curve(self.start_kg, self.target_kg, self.start, self.slow, self.fast)


def expected_kg(start_kg: float, target_kg: float, weeks: float, percent: float) -> float:
    """Weight after so many weeks of losing so many percent a week [kg]; it stops at the target."""
    return max(target_kg, start_kg * (1 - percent / 100) ** weeks)


def growth_curve(
    weigh_ins: Iterable[tuple[date, float]], born: date, expected_adult_kg: float
) -> list[GrowthPoint]:
    """Each weigh-in as a share of the expected adult weight, by age; those before the birth are left out."""
    check_weight(expected_adult_kg, "expected adult weight")
    return [
        GrowthPoint(day, (day - born).days / 7, 100 * kg / expected_adult_kg)
        for day, kg in sorted(weigh_ins)
        if day >= born
    ]


def doubt_among(
    day: date,
    kg: float,
    counted: Sequence[tuple[date, float]],
    growing_on: Callable[[date], bool],
    unit: str = "kg",
) -> str:
    """Why a weight is asked about beside the weigh-ins that count, those before it and the next one after."""
    asked = doubt(day, kg, counted, growing_on(day), unit)
    later = [entry for entry in counted if entry[0] > day]
    if asked or not later:
        return asked
    next_day, next_kg = min(later)
    return doubt(next_day, next_kg, [(day, kg)], growing_on(next_day))


def doubt(day: date, kg: float, before: Sequence[tuple[date, float]], growing: bool, unit: str = "kg") -> str:
    """Why a new weight is asked about before it counts; "" when nothing speaks against it.

    before: the weigh-ins that count so far; unit: in which the new one was typed. A growing dog may gain
    fast, up to a pace, but loses nothing.
    """
    earlier = [entry for entry in before if entry[0] <= day]
    if not earlier:
        return ""
    last_day, last_kg = max(earlier)
    change = 100 * (kg / last_kg - 1)
    ratio, days = kg / last_kg, (day - last_day).days
    weeks = max(days, SHORTEST_DAYS) / 7
    if unit == "kg" and abs(ratio / KG_PER_LB_RATIO - 1) <= NEAR_RATIO:
        return f"{kg:.4g} kg after {last_kg:.4g} kg: were these pounds?"
    if abs(ratio * KG_PER_LB_RATIO - 1) <= NEAR_RATIO:
        slip = "was the earlier weight in pounds?" if unit == "kg" else "were these kilograms?"
        return f"{kg:.4g} kg after {last_kg:.4g} kg: {slip}"
    if growing and change >= 0:
        is_quick = ratio > QUICKEST_GROWTH_PER_WEEK**weeks
    else:
        is_quick = abs(change) > min(UNLIKELY_PERCENT, QUICK_PERCENT_PER_WEEK * weeks)
    if is_quick:
        when = f"in {days} day{'' if days == 1 else 's'}" if days else "on the same day"
        moved = f"{last_kg:.4g} to {kg:.4g} kg, {change:+.0f} %, {when}"
        return f"{moved}: weigh again, or say that it is right."
    return ""
