"""A recipe scaled to a dog and a number of days, in amounts a kitchen can weigh and dose. Pure calculation.

Rounded amounts are never taken on trust: `ScaledBatch.portions()` goes back into `recipes.analysis`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from recipes.analysis import Portion
from recipes.household import Measured, nearest


@dataclass(frozen=True)
class ScaledLine:
    """One ingredient of a scaled batch.

    exact_g before and grams after rounding; doses: dose units of a supplement, None for a food;
    purchase_g: with refuse, None when the food's refuse is not known; measured: in a household measure that
    comes near, or None.
    """

    portion: Portion
    exact_g: float
    grams: float
    doses: float | None
    purchase_g: float | None
    measured: Measured | None

    @property
    def household(self) -> str:
        """Such as `1½ cups`, or an empty text."""
        return self.measured.text if self.measured else ""

    @property
    def rounded_by_percent(self) -> float:
        """How far rounding moved the amount [percent of the exact amount]."""
        return (self.grams / self.exact_g - 1) * 100

    @property
    def buy_g(self) -> int | None:
        """What to buy [g] where that is more than what is weighed; None where it is not, or not known."""
        more = self.purchase_g is not None and self.purchase_g > self.grams
        return round(self.purchase_g) if more else None


@dataclass(frozen=True)
class ScaledBatch:
    """The scaled lines; kcal is the energy that was asked for, before rounding."""

    factor: float
    lines: tuple[ScaledLine, ...]
    days: int
    kcal: float

    def portions(self) -> list[Portion]:
        """Every portion with its rounded grams, to be analysed again."""
        return [replace(line.portion, grams=line.grams) for line in self.lines]

    def foods(self) -> list[Portion]:
        """The foods with their rounded grams."""
        return [portion for portion in self.portions() if not portion.is_supplement]

    def supplements(self) -> list[Portion]:
        """The supplements with their exact grams: `patients.timing.schedule` rounds them, once."""
        return [replace(x.portion, grams=x.exact_g) for x in self.lines if x.portion.is_supplement]


def scale(portions: Sequence[Portion], recipe_kcal: float, kcal_per_day: float, days: int) -> ScaledBatch:
    """Scale portions that together hold `recipe_kcal` to `days` days of `kcal_per_day` kcal.

    Foods are rounded to their step, supplements to whole smallest steps of their dose unit, nothing to zero.
    Raises ValueError when an energy or the days are not above 0, or a supplement's dose unit is not known.
    """
    for what, value in (("recipe's energy", recipe_kcal), ("daily energy", kcal_per_day), ("batch", days)):
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"A {what} of {value:g} cannot be scaled: it must be above 0.")
    kcal = kcal_per_day * days
    factor = kcal / recipe_kcal
    return ScaledBatch(factor, tuple(_line(portion, factor) for portion in portions), days, kcal)


def _line(portion: Portion, factor: float) -> ScaledLine:
    exact_g = portion.grams * factor
    if portion.is_supplement:
        step, grams_per_unit = dose_step(portion)
        doses = in_whole_steps(exact_g / grams_per_unit, step)
        grams = round(doses * grams_per_unit, 6)
        return ScaledLine(portion, exact_g, grams, doses, grams, None)
    grams = in_whole_steps(exact_g, portion.step_g)
    return ScaledLine(
        portion,
        exact_g,
        grams,
        None,
        purchase_weight(grams, portion.refuse_percent),
        nearest(grams, portion.measures),
    )


def dose_step(supplement: Portion) -> tuple[float, float]:
    """The smallest step [dose units] and the weight of one dose unit [g]; ValueError when not known."""
    if not (supplement.smallest_step and supplement.grams_per_dose_unit):
        raise ValueError(f"{supplement.food} has no dose unit yet: enter its weight and its smallest step.")
    return supplement.smallest_step, supplement.grams_per_dose_unit


def in_whole_steps(amount: float, step: float) -> float:
    """`amount` rounded to the nearest whole number of steps (a half goes up), at least one step."""
    steps = math.floor(amount / step + 0.5 + 1e-9)  # 0.15 / 0.1 falls just short of 1.5 in binary
    return round(max(1, steps) * step, 6)


def purchase_weight(grams: float, refuse_percent: float | None) -> float | None:
    """What to buy [g] for `grams` of the edible part: grams / (1 - refuse / 100). None: refuse not known."""
    return None if refuse_percent is None else grams / (1 - refuse_percent / 100)
