"""Portions from the weighed pot, and how long they keep. Pure calculation."""

import math
from dataclasses import dataclass

from nutrients.language import later, say
from nutrients.owner_units import WHOLE_GRAMS_FROM, heat
from recipes.household import Measured, household, nearest
from recipes.scaling import ScaledLine

POT_SHARES = (0.8, 0.9, 1.0, 1.1, 1.2)  # common practice, no source: how far a batch cooks down or stays wet
POT_STEPS_G = ((200, 5), (1_000, 10), (5_000, 50))  # pots up to 200 g in steps of 5 g and so on
LARGEST_POT_STEP_G = 100
MONTH_DAYS = 30  # common practice, no source: what a month of cooking is reckoned as
MOST_COUNTED = 40  # common practice, no source: cups that someone without a scale will count out
COOKED_CUP_G = 240  # common practice, no source: a US cup of moist cooked food weighs about as much as water


@dataclass(frozen=True)
class Keeping:
    """One rule of keeping cooked food, with its unit, in words, and where it comes from."""

    value: float
    unit: str
    text: str
    source: str
    certainty: str = "memory"

    @property
    def said(self) -> str:
        """In the owner's language and units."""
        return say(self.text).format(temperature=heat(self.value) if self.unit == "°C" else "")


# USDA Food Safety and Inspection Service (FSIS), consumer guidance on leftovers and the danger zone.
KEEPING = {
    "fridge_days": Keeping(
        4,
        "days",
        later("Eat within 4 days from the fridge."),
        "USDA FSIS: 3 to 4 days",
    ),
    "freezer_months": Keeping(
        3, "months", later("Eat within 3 months from the freezer."), "USDA FSIS: 3 to 4 months"
    ),
    "thawed_days": Keeping(
        1, "days", later("Once thawed, eat within a day."), "USDA FSIS allows 3 to 4 days"
    ),
    "cool_within_hours": Keeping(
        2, "hours", later("Into the fridge within 2 hours of cooking."), "USDA FSIS"
    ),
    "fridge_celsius": Keeping(
        4,
        "°C",
        later("Fridge at {temperature} or colder."),
        "USDA FSIS: 40 °F",
    ),
    "freezer_celsius": Keeping(
        -18,
        "°C",
        later("Freezer at {temperature} or colder."),
        "USDA FSIS: 0 °F",
    ),
}
FRIDGE_DAYS = int(KEEPING["fridge_days"].value)


def grams_per_meal(cooked_g: float, days: int, meals_per_day: int) -> float:
    """Weight of a meal [g] = weighed pot / (days x meals). Raises ValueError when one is not above 0."""
    for what, value in (
        ("pot's weight", cooked_g),
        ("number of days", days),
        ("number of meals", meals_per_day),
    ):
        if not value > 0:
            raise ValueError(f"A {what} of {value:g} cannot be portioned: it must be above 0.")
    return cooked_g / (days * meals_per_day)


def as_weighed(grams: float) -> float:
    """A portion as a kitchen scale shows it [g]: to the gram, a small one to the tenth, so that no meal is
    rounded by more than 1 %.
    """
    return round(grams) if grams >= WHOLE_GRAMS_FROM else round(grams, 1)


def without_scale(line: ScaledLine) -> Measured | None:
    """A food for someone who has no scale; None when the food has no measure that comes near."""
    return nearest(line.grams, line.portion.measures, most=MOST_COUNTED)


def cups(grams: float) -> str:
    """Cooked food in US cups, about, such as "1¼ cups"; "" when no quarter comes near."""
    return household(grams, [("cup", COOKED_CUP_G)])


def pot_table(estimate_g: float, days: int, meals_per_day: int) -> list[tuple[float, float]]:
    """(pot [g], meal [g]) for likely weights of the cooked pot: the estimate, 10 and 20 % less and more."""
    step = next((step for up_to, step in POT_STEPS_G if estimate_g <= up_to), LARGEST_POT_STEP_G)
    pots = dict.fromkeys(max(step, round(estimate_g * share / step) * step) for share in POT_SHARES)
    return [(pot, grams_per_meal(pot, days, meals_per_day)) for pot in pots]


def fridge_split(days: int, fridge_days: int = FRIDGE_DAYS) -> tuple[int, int]:
    """Days of a batch that stay in the fridge and days that go into the freezer."""
    if days < 1:
        raise ValueError(f"A batch of {days} days does not exist: enter 1 or more.")
    fresh = min(days, fridge_days)
    return fresh, days - fresh


def batches_a_month(days: int) -> int:
    """How many batches of so many days feed a dog for a month."""
    return math.ceil(MONTH_DAYS / days)
