"""Amounts of a line as they are typed: a weight, doses, or a household measure of that very food. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from nutrients.units import convert
from recipes.household import is_household

WEIGHTS = ("g", "kg", "oz", "lb")
DOSES = "doses"


@dataclass(frozen=True)
class Scale:
    """What a food can be measured in besides weights; without a name, of a food still to be typed.

    measures: label -> grams of one; dose_unit and grams_per_dose_unit: of a supplement.
    """

    food: str = ""
    measures: dict[str, float] = field(default_factory=dict)
    dose_unit: str = ""
    grams_per_dose_unit: float | None = None

    @property
    def units(self) -> list[tuple[str, str]]:
        """(unit, how it is written) of everything this can be measured in, weights first."""
        written = f"doses ({self.dose_unit})" if self.food else DOSES
        doses = [(DOSES, written)] if self.dose_unit not in ("", "g") or not self.food else []
        return [
            *((weight, weight) for weight in WEIGHTS),
            *doses,
            *((label, label) for label in self.measures),
        ]

    def grams(self, amount: float, unit: str) -> float:
        """Raises ValueError with a sentence for a unit that this food is not measured in."""
        if unit in WEIGHTS:
            return round(convert(amount, unit, "g"), 6)
        if unit == DOSES and self.grams_per_dose_unit is None:
            raise ValueError(f"Only supplements have doses: weigh {self.food} or choose a measure.")
        one = self.grams_per_dose_unit if unit == DOSES else self.measures.get(unit)
        if not unit:
            raise ValueError(f"Of what? Choose g, oz or a measure of {self.food}.")
        if one is None:
            raise ValueError(f"No “{unit}” is known of {self.food}: choose another unit.")
        return round(amount * one, 6)


def household_measures(measures: Iterable[tuple[str, float, float]]) -> dict[str, float]:
    """The measures that a kitchen has, each with the grams of one.

    measures: (label, amount, grams of that amount). Of two under one label the one that was weighed nearer
    to a single piece stands.
    """
    found = sorted((each for each in measures if is_household(each[0])), key=lambda each: abs(each[1] - 1))
    by_label: dict[str, float] = {}
    for label, amount, grams in found:
        by_label.setdefault(label, grams / amount)
    return by_label
