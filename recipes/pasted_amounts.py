"""What a pasted amount is of a food: in the units that a line of the recipe's form takes. Pure."""

import re
from dataclasses import dataclass

from recipes.pasted import PastedLine
from recipes.weighing import DOSES, WEIGHTS, Scale

# Household volumes as food labels count them: 21 CFR 101.9(b)(5)(viii).
ML = {"cup": 240, "tbsp": 15, "tsp": 5, "ml": 1}
SPOKEN = {"cup": ("cup",), "tbsp": ("tbsp", "tablespoon"), "tsp": ("tsp", "teaspoon"), "ml": ("ml",)}


@dataclass(frozen=True)
class Measured:
    """amount and unit as they are put into a line; said: what to know of it; sure: nothing was guessed."""

    amount: str
    unit: str
    grams: float | None
    said: str = ""
    sure: bool = True

    @property
    def written(self) -> str:
        """Such as `1 cup = 157 g`."""
        typed = " ".join(part for part in (self.amount, self.unit) if part)
        if self.grams is None or self.unit == "g":
            return typed
        return f"{typed} = {self.grams:,.4g} g"


def measured(line: PastedLine, scale: Scale) -> Measured:
    """A line's amount of the food that `scale` speaks of.

    A unit that this food is not measured in stays as it was typed, and is said.
    """
    amount = number(line)
    if amount is None:
        return Measured(line.amount, line.unit, None, line.unclear, sure=False)
    if line.unit in ML:
        return _by_volume(line, amount, scale)
    unit = line.unit if line.unit in WEIGHTS else _counted(line, scale)
    try:
        return Measured(line.amount, unit, scale.grams(amount, unit))
    except ValueError as problem:
        return Measured(line.amount, unit, None, str(problem), sure=False)


def number(line: PastedLine) -> float | None:
    """The amount, None when it is not clear."""
    return None if line.unclear or not line.amount else float(line.amount.replace(",", "."))


def _by_volume(line: PastedLine, amount: float, scale: Scale) -> Measured:
    labels = _labels(line.unit, scale)
    label = next((label for label in labels if _fits(label, line)), labels[0] if labels else "")
    if label:
        others = [other for other in labels if other != label]
        said = f"“{label}” was taken; also known: {', '.join(others)}." if others else ""
        return Measured(
            line.amount, label, scale.grams(amount, label), said, sure=not others or _fits(label, line)
        )
    if scale.dose_unit == "ml":
        return _in_grams(line, amount, "ml", scale.grams_per_dose_unit)
    for known in ML:
        if labels := _labels(known, scale):
            return _in_grams(line, amount, known, scale.measures[labels[0]])
    said = f"No “{line.unit}” is known of {scale.food}: weigh it."
    return Measured(line.amount, line.unit, None, said, sure=False)


def _in_grams(line: PastedLine, amount: float, known: str, grams_of_one: float) -> Measured:
    """From a volume of which the weight is known."""
    grams = amount * ML[line.unit] / ML[known] * grams_of_one
    said = f"{line.amount} {line.unit} = {grams:.3g} g, from 1 {known} = {grams_of_one:.4g} g."
    return Measured(f"{grams:.4g}", "g", grams, said)


def _labels(unit: str, scale: Scale) -> list[str]:
    """The food's measures of that volume, the plain one first."""
    begun = [label for label in scale.measures if re.match(rf"({'|'.join(SPOKEN[unit])})\b", label)]
    return sorted(begun, key=lambda label: label not in SPOKEN[unit])


def _fits(label: str, line: PastedLine) -> bool:
    """Does the line say all that the label says, such as `cup, chopped`?"""
    words = set(re.findall(r"[a-z]+", f"{line.words} {line.note}".lower()))
    return set(re.findall(r"[a-z]+", label.lower())[1:]) <= words


def _counted(line: PastedLine, scale: Scale) -> str:
    """The unit of what is counted: doses, or the measure of the food that the line names.

    Doses of another kind stay as they were typed: drops are no capsules.
    """
    words = re.findall(r"[a-z]+", line.words.lower())
    named = {word for typed in words for word in (typed, typed.removesuffix("s"))}
    if line.unit:
        return DOSES if line.unit in ("dose", scale.dose_unit) else line.unit
    if scale.dose_unit and scale.dose_unit in named:
        return DOSES
    return next((label for label in scale.measures if label.split()[0].strip(",") in named), "")
