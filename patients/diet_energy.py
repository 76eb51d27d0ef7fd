"""The energy of one thing a dog eats in a day: from a label, from a food of the table, from a guaranteed
analysis. Pure: kcal of metabolizable energy. What cannot be worked out raises ValueError with a sentence.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from nutrients.energy_density import me_modified_atwater

# NIST SP 811, appendix B: cup, tablespoon, teaspoon (US), in ml.
ML = {"ml": 1.0, "cup": 236.5882, "tablespoon": 14.78676, "teaspoon": 4.928922}
GRAMS = {"g": 1.0, "oz": 28.349523, "lb": 453.59237}  # NIST SP 811, appendix B
COUNTED = ("piece", "can")
MEASURES = (*GRAMS, *ML, *COUNTED)
PER_GRAMS = {"kg": 1000.0, "100 g": 100.0}
LABEL_PER = ("cup", *PER_GRAMS, *COUNTED)
# Of the dry matter [percent], where a label declares no ash; common practice, no source.
USUAL_ASH_PERCENT = 8.0


@dataclass(frozen=True)
class Amount:
    """So much at a time [the measure's unit], so many times a day."""

    number: float
    measure: str
    times: float = 1.0

    @property
    def a_day(self) -> float:
        return self.number * self.times

    @property
    def words(self) -> str:
        often = "" if self.times == 1 else f" x {self.times:g} a day"
        return f"{self.number:g} {self.measure}{often}"

    def grams(self) -> float | None:
        """A day's weight; None when it was not weighed."""
        return self.a_day * GRAMS[self.measure] if self.measure in GRAMS else None


@dataclass(frozen=True)
class Worked:
    """kcal a day and how they were worked out, in a line. is_bound: from figures that are bounds."""

    kcal: float
    words: str
    is_bound: bool = False


def from_label(amount: Amount, kcal: float, per: str) -> Worked:
    """kcal: as the label declares them, per cup, kg, 100 g, can or piece."""
    _above_zero(amount, kcal)
    if per in PER_GRAMS:
        grams = amount.grams()
        if grams is None:
            raise ValueError(f"The label tells kcal per {per}: enter the amount in grams, oz or lb.")
        units = grams / PER_GRAMS[per]
    elif per == "cup":
        if amount.measure not in ML:
            raise ValueError("The label tells kcal per cup: enter the amount in cups, spoons or ml.")
        units = amount.a_day * ML[amount.measure] / ML["cup"]
    elif per == amount.measure:
        units = amount.a_day
    else:
        raise ValueError(f"The label tells kcal per {per}: enter the amount as {per}s.")
    return Worked(units * kcal, f"{amount.words} at {kcal:g} kcal per {per}")


def from_food(
    amount: Amount, food: str, kcal_per_100g: float, measures: Iterable[tuple[str, float]]
) -> Worked:
    """measures: of the food, (label, grams of one). Raises also for a food whose energy is not known."""
    if not kcal_per_100g >= 0:
        raise ValueError(f"The energy of {food} is not known in the table: use its label instead.")
    _above_zero(amount)
    grams = amount.grams()
    if grams is None:
        grams = amount.a_day * _grams_of_one(amount.measure, food, dict(measures))
    return Worked(grams * kcal_per_100g / 100, f"{amount.words} of {food}: {grams:.0f} g")


def _grams_of_one(measure: str, food: str, measures: Mapping[str, float]) -> float:
    """By a measure of the food whose name begins like it; spoons and ml also by the weight of its cup."""
    own = [grams for label, grams in measures.items() if label.split(",")[0].split(" ")[0] == measure]
    if own:
        return own[0]
    cups = [grams for label, grams in measures.items() if label.split(",")[0].split(" ")[0] == "cup"]
    if measure in ML and cups:
        return cups[0] * ML[measure] / ML["cup"]
    raise ValueError(f"The table has no weight of a {measure} of {food}: enter grams.")


def from_analysis(amount: Amount, percents: Mapping[str, float | None]) -> Worked:
    """By a label's guaranteed analysis: protein, fat, fiber, moisture and ash [percent as fed].

    Modified Atwater factors 3.5, 8.5, 3.5 (AAFCO). The figures are bounds, so the answer is an estimate. Ash
    that is not declared is taken as 8 % of the dry matter.
    """
    _above_zero(amount)
    grams = amount.grams()
    if grams is None:
        raise ValueError("From an analysis the amount is needed as a weight: enter grams, oz or lb.")
    missing = [name for name in ("protein", "fat", "fiber", "moisture") if percents.get(name) is None]
    if missing:
        raise ValueError(f"The analysis lacks {' and '.join(missing)}: enter what the label declares.")
    ash, assumed = percents.get("ash"), ""
    if ash is None:
        ash = (100 - percents["moisture"]) * USUAL_ASH_PERCENT / 100
        assumed = f", ash taken as {ash:.1f} %"
    known = [percents[name] for name in ("protein", "fat", "fiber", "moisture")]
    nfe = 100 - sum(known) - ash
    if nfe < 0:
        raise ValueError(f"These parts make {sum(known) + ash:.0f} % together: check the label.")
    per_100g = me_modified_atwater(percents["protein"], percents["fat"], nfe)
    words = f"{amount.words} at about {per_100g:.0f} kcal per 100 g by its analysis{assumed}"
    return Worked(grams * per_100g / 100, words, is_bound=True)


def _above_zero(amount: Amount, kcal: float = 1.0) -> None:
    for what, value in (("amount", amount.number), ("number of times", amount.times), ("energy", kcal)):
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"The {what} must be above 0.")
