"""Reading a label: what it states, in the nutrient's own unit and in 100 g, with the conversion in words.

What an IU weighs stands in `nutrients.units`; what a form or a compound holds comes from the tables of label
forms and element fractions. Nothing is assumed: an amount that could mean several things is refused.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

import numpy as np

from nutrients.units import ENERGIES, WEIGHTS, convert

PLAIN_UNITS = (*WEIGHTS, *ENERGIES)
LABEL_WEIGHTS = ("g", "mg", "ug")
# A labelled mg of vitamin E may be natural or synthetic alpha-tocopherol or the weight of an ester.
FORM_NEEDED_BY_WEIGHT = frozenset({"vitamin_e"})
# Units of a guaranteed analysis: the unit of the amount and the grams of food that hold it.
GUARANTEE_UNITS = {
    "%": ("g", 100),
    "g/kg": ("g", 1000),
    "mg/kg": ("mg", 1000),
    "ug/kg": ("ug", 1000),
    "IU/kg": ("IU", 1000),
}
LIGHTEST_G_PER_ML, HEAVIEST_G_PER_ML = 0.2, 3.0  # from airy powders to salts


class Measured(Protocol):
    """A nutrient: its key, its name and the unit in which it is kept."""

    key: str
    name: str
    unit: str


@dataclass(frozen=True)
class Form:
    """A form in which labels state a nutrient: `labelled` of `unit` equal `equals` of `to_unit`.

    counts_as: what the result is an amount of. equals None: the form is refused, `note` says why.
    """

    nutrient: str
    name: str
    unit: str
    labelled: float
    equals: float | None
    to_unit: str
    counts_as: str = ""
    note: str = ""


@dataclass(frozen=True)
class Reading:
    """An amount in the nutrient's unit, and how it came about in words."""

    amount: float
    words: str


@dataclass(frozen=True)
class Basis:
    """The weight of food or product [g] that a label's amounts stand in, and its name."""

    grams: float
    words: str


@dataclass(frozen=True)
class Bound:
    """What a guaranteed analysis promises in 100 g as fed [the nutrient's unit]; None: nothing."""

    low: float | None
    high: float | None
    words: str


PER_100_G = Basis(100, "100 g")


def per_serving(grams: float) -> Basis:
    """A serving of so many grams. Raises ValueError unless it weighs something."""
    return Basis(_weight(grams), f"a serving of {figure(grams)} g")


def per_100_ml(grams_per_ml: float) -> Basis:
    """100 ml of so many g/ml. Raises ValueError for a density that no food has."""
    if not LIGHTEST_G_PER_ML <= grams_per_ml <= HEAVIEST_G_PER_ML:
        raise ValueError(
            f"A density of {grams_per_ml:g} g/ml cannot be right: oil has about 0.92, milk 1.03 g/ml."
        )
    grams = 100 * grams_per_ml
    return Basis(grams, f"100 ml x {figure(grams_per_ml)} g/ml = {figure(grams)} g")


def per_dose_unit(dose_unit: str, grams: float) -> Basis:
    """One tablet, capsule, drop, pump, scoop, teaspoon, ml or g that weighs so many grams."""
    weight = "" if dose_unit == "g" else f" of {figure(_weight(grams))} g"
    return Basis(_weight(grams), f"1 {dose_unit}{weight}")


def _weight(grams: float) -> float:
    if not math.isfinite(grams) or grams <= 0:
        raise ValueError(f"A weight must be a number above 0 g, not {grams:g}.")
    return float(grams)


def forms_of(nutrient: Measured, forms: Iterable[Form]) -> list[Form]:
    return [form for form in forms if form.nutrient == nutrient.key]


def units_of(nutrient: Measured, forms: Iterable[Form]) -> list[str]:
    """The units in which a label may state a nutrient, its own first."""
    kin = ENERGIES if nutrient.unit in ENERGIES else LABEL_WEIGHTS
    stated = [form.unit for form in forms_of(nutrient, forms)]
    return list(dict.fromkeys([nutrient.unit, *kin, *stated]))


def needs_form(nutrient: Measured) -> bool:
    """Does even an amount in the nutrient's own unit mean nothing without a form?"""
    return nutrient.unit not in PLAIN_UNITS or nutrient.key in FORM_NEEDED_BY_WEIGHT


def plain_form(nutrient: Measured, forms: Iterable[Form]) -> str:
    """The form under which an amount in the nutrient's own unit is taken as it stands; empty for itself."""
    if not needs_form(nutrient):
        return ""
    same = (nutrient.unit, 1, 1, nutrient.unit)
    known = forms_of(nutrient, forms)
    return next((x.name for x in known if (x.unit, x.labelled, x.equals, x.to_unit) == same), "")


def guarantee_units_of(nutrient: Measured, forms: Iterable[Form]) -> list[str]:
    """The units in which a guaranteed analysis may state a nutrient."""
    possible = units_of(nutrient, forms)
    return [unit for unit, (plain, _) in GUARANTEE_UNITS.items() if plain in possible]


def read(amount: float, unit: str, form_name: str, nutrient: Measured, forms: Iterable[Form]) -> Reading:
    """A labelled amount in the nutrient's own unit.

    form_name: the form or compound that is stated, empty for the nutrient itself. Raises ValueError with a
    sentence for an amount, unit or form that cannot be read, and for one that means nothing without a form.
    """
    if not math.isfinite(amount) or amount < 0:
        raise ValueError(f"An amount must be a number of 0 or more, not {amount:g}.")
    form = _form(unit, form_name, nutrient, forms_of(nutrient, forms))
    steps = [(amount, unit)]
    if form:
        steps.append((convert(amount, unit, form.unit, nutrient.key), form.unit))
        steps.append((steps[-1][0] * form.equals / form.labelled, form.to_unit))
    steps.append((convert(*steps[-1], nutrient.unit, nutrient.key), nutrient.unit))
    return Reading(steps[-1][0], _words(steps, form, nutrient))


def _words(steps: list[tuple[float, str]], form: Form | None, nutrient: Measured) -> str:
    (amount, unit), *_ = steps
    counted = (form.counts_as if form else "") or spoken(nutrient.name)
    made = "".join(_step(*step) for step in pairwise(steps)) if amount else ""
    if not made:
        return f"{figure(amount)} {unit} {counted}, as stated"
    of = f" {form.name}" if form and unit in WEIGHTS else ""
    return f"{figure(amount)} {unit}{of}{made} {counted}"


def _form(unit: str, name: str, nutrient: Measured, known: list[Form]) -> Form | None:
    """The form that is named with this unit; None for the nutrient itself."""
    named = spoken(nutrient.name)
    if not name:
        if unit in PLAIN_UNITS and nutrient.key not in FORM_NEEDED_BY_WEIGHT:
            return None
        fitting = [form.name for form in known if _same_kind(form.unit, unit) and form.equals is not None]
        if not fitting:
            raise ValueError(f"{unit} has no meaning for {named}.")
        raise ValueError(
            f"{unit} of {named} means nothing without its form: choose {'; '.join(dict.fromkeys(fitting))}."
        )
    form = next((form for form in known if form.name == name and _same_kind(form.unit, unit)), None)
    if form is None:
        raise ValueError(f"{nutrient.name} as {name} is not stated in {unit}: choose another unit.")
    if form.equals is None:
        raise ValueError(form.note)
    return form


def _same_kind(one: str, other: str) -> bool:
    return one == other or (one in WEIGHTS and other in WEIGHTS)


def _step(before: tuple[float, str], after: tuple[float, str]) -> str:
    """One step of a conversion, such as ` / 1.49 = 268 mg`; nothing when nothing changes."""
    if before == after:
        return ""
    return f" {times(after[0] / before[0])} = {figure(after[0])} {after[1]}"


def times(factor: float) -> str:
    """A factor as people write it: the shorter of `x 0.3` and `/ 3.333`."""
    multiplied, divided = (
        np.format_float_positional(each, precision=6, unique=False, fractional=False, trim="-")
        for each in (factor, 1 / factor)
    )
    return f"/ {divided}" if len(divided) < len(multiplied) else f"x {multiplied}"


def figure(amount: float) -> str:
    """A number with four digits that count, never rounded before the decimal point."""
    digits = 4 if abs(amount) < 10_000 else 15
    rounded = amount if digits == 4 else round(amount)
    return np.format_float_positional(rounded, precision=digits, unique=False, fractional=False, trim="-")


def spoken(name: str) -> str:
    """A nutrient's name inside a sentence: `zinc`, but `EPA (n-3)`."""
    return name if name[:2].isupper() else name[:1].lower() + name[1:]


def in_100g(reading: Reading, basis: Basis, unit: str) -> Reading:
    """A reading in `unit`, made for the basis, in 100 g."""
    amount = reading.amount * 100 / basis.grams
    if basis == PER_100_G:
        return reading
    return Reading(amount, f"{reading.words}, in {basis.words}: {figure(amount)} {unit} in 100 g")


def guarantee(
    low: float | None,
    high: float | None,
    unit: str,
    form_name: str,
    nutrient: Measured,
    forms: Iterable[Form],
    water: tuple[float, float] | None = None,
) -> Bound:
    """The minimum and maximum of a guaranteed analysis, in 100 g as fed.

    unit: one of GUARANTEE_UNITS. water: None when the analysis is given as fed; the least and the most water
    [g in 100 g] when it is given in dry matter. A minimum is then taken at the most water and a maximum at
    the least: what is promised holds between them. Raises ValueError as `read` does.
    """
    plain, grams = GUARANTEE_UNITS[unit]
    found, said = {}, []
    for word, stated, wet in (("at least", low, 1), ("at most", high, 0)):
        if stated is None:
            found[word] = None
            continue
        reading = in_100g(
            read(stated, plain, form_name, nutrient, forms), Basis(grams, f"{grams} g"), nutrient.unit
        )
        amount, words = reading.amount, f"{word} {figure(reading.amount)} {nutrient.unit}"
        if water is not None:
            dry = (100 - water[wet]) / 100
            amount *= dry
            words += f" in dry matter x {figure(dry)} = {figure(amount)} {nutrient.unit} as fed"
        found[word] = amount
        said.append(words)
    return Bound(found["at least"], found["at most"], "; ".join(said))
