"""A recipe's analysis in the words and figures that its pages write down. Pure."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from nutrients.adequacy import answer_word, counts
from nutrients.energy_density import me_atwater
from nutrients.units import fahrenheit, kj_from_kcal
from recipes.analysis import Analysis, Portion, contributions_to
from recipes.basis import moisture_percent
from recipes.household import household

UNKNOWN = "unknown"


@dataclass(frozen=True)
class EnergyPart:
    """A part of the energy: its share in percent, and where its piece of a bar of 100 begins."""

    key: str
    word: str
    kcal: float
    percent: float
    begins: float


@dataclass(frozen=True)
class Fact:
    """One figure with its name and what to know about it; `known` is False when there is no figure."""

    name: str
    value: str
    note: str = ""
    known: bool = True


@dataclass(frozen=True)
class Watched:
    """A nutrient that is always shown, and whether it passes the level from which a note is due."""

    fact: Fact
    above: bool
    text: str
    source: str


@dataclass(frozen=True)
class Figures:
    """What every page says of an analysed version."""

    kcal: float
    kcal_per_100g: float
    kj_per_100g: float
    about: bool
    energy: tuple[EnergyPart, ...]
    counts: dict[str, int]
    verdict: str
    open: int


@dataclass(frozen=True)
class IngredientRow:
    """One line of a recipe; energy_percent: None while its energy is not known."""

    food: object
    weight: str
    amount: str
    when: str
    energy_percent: float | None
    note: str


@dataclass(frozen=True)
class BroughtRow:
    """What one ingredient brings of a nutrient; amount and percent None when unknown."""

    food: str
    amount: float | None
    percent: float | None
    in_part: bool


def figures(analysis: Analysis) -> Figures:
    kcal = analysis.energy.kcal
    per_100g = 100 * kcal / analysis.fed_g
    counted = counts(analysis.judgement)
    return Figures(
        kcal=kcal,
        kcal_per_100g=per_100g,
        kj_per_100g=kj_from_kcal(per_100g),
        about=analysis.cooked_is_estimate or bool(analysis.energy.missing),
        energy=energy_parts(analysis),
        counts=counted,
        verdict=verdict(counted),
        open=sum(counted.values()) - counted["meets"],
    )


def energy_parts(analysis: Analysis) -> tuple[EnergyPart, ...]:
    energy = analysis.energy
    parts, begins = [], 0.0
    for key, word, kcal in (
        ("protein", "protein", energy.protein_kcal),
        ("fat", "fat", energy.fat_kcal),
        ("carbohydrate", "carbohydrate (NFE)", energy.nfe_kcal),
    ):
        percent = 100 * kcal / energy.kcal
        parts.append(EnergyPart(key, word, kcal, percent, begins))
        begins += percent
    return tuple(parts)


def verdict(counted: dict[str, int]) -> str:
    """Counts of answers in words: "meets 36 of 38, 2 cannot be confirmed"."""
    words = {"below": "below minimum", "above": "above maximum", "cannot_confirm": "cannot be confirmed"}
    found = [f"meets {counted['meets']} of {sum(counted.values())}"]
    found += [f"{counted[answer]} {word}" for answer, word in words.items() if counted[answer]]
    return ", ".join(found)


def sentence(title: str, method: str, found: Figures | None) -> str:
    """What a recipe's page says first."""
    if found is None:
        return f"{title}, {method}: nothing in it yet whose energy could be counted."
    about = "about " if found.about else ""
    protein = found.energy[0].percent
    return (
        f"{title}, {method}: {about}{found.kcal_per_100g:.0f} kcal in 100 g, "
        f"{protein:.0f} % of energy from protein."
    )


def facts(analysis: Analysis, uncooked: bool = False) -> list[Fact]:
    """Moisture, fibre, the two ratios and vitamin E against the fat that it protects.

    uncooked: the batch was analysed as it goes in.
    """
    moisture = moisture_percent(analysis)
    weighed = "cooked weight is an estimate" if analysis.cooked_is_estimate else "cooked weight was weighed"
    if uncooked:
        weighed = "before cooking, without the water added"
    return [
        _fact("Moisture", moisture, 0, "%", weighed),
        per_1000_kcal(analysis, "fiber", "Fibre, total dietary", "g", 1),
        _ratio(analysis, "ca_p_ratio", "Calcium : phosphorus", 2, ": 1"),
        _ratio(analysis, "n6_n3_ratio", "n-6 : n-3 fatty acids", 1, ": 1"),
        _ratio(analysis, "vitamin_e_per_pufa", "Vitamin E per polyunsaturated fat", 2, "IU per g"),
    ]


def _fact(name: str, value: float | None, decimals: int, unit: str, note: str) -> Fact:
    if value is None or math.isnan(value):
        return Fact(name, UNKNOWN, note, known=False)
    return Fact(name, f"{value:,.{decimals}f} {unit}", note)


def per_1000_kcal(analysis: Analysis, key: str, name: str, unit: str, decimals: int) -> Fact:
    """A nutrient per 1000 kcal; "at least" when a food that can carry it has no value."""
    amount = analysis.composition.totals.get(key, math.nan) * 1000 / analysis.energy.kcal
    missing = _missing(analysis, key)
    fact = _fact(name, amount, decimals, f"{unit} per 1000 kcal", _no_value(missing))
    return Fact(name, f"at least {fact.value}", fact.note) if missing and fact.known else fact


def _ratio(analysis: Analysis, key: str, name: str, decimals: int, unit: str) -> Fact:
    ratio = analysis.composition.totals.get(key, math.nan)
    return _fact(name, ratio, decimals, unit, _no_value(_missing(analysis, key)))


def _missing(analysis: Analysis, key: str) -> tuple[str, ...]:
    completeness = analysis.composition.completeness
    return completeness.at[key, "missing_that_matter"] if key in completeness.index else ("every ingredient",)


def _no_value(foods: Sequence[str]) -> str:
    return f"no value in {', '.join(foods)}" if foods else ""


def watched(analysis: Analysis, levels: Iterable) -> list[Watched]:
    """Nutrients that have a watch level, such as copper: always shown, above the level with its note."""
    shown = []
    for level in levels:
        nutrient = level.nutrient
        fact = per_1000_kcal(analysis, nutrient.key, nutrient.name, nutrient.unit, 2)
        amount = analysis.composition.totals.get(nutrient.key, math.nan) * 1000 / analysis.energy.kcal
        note = f"to watch from {level.per_1000_kcal:g} {nutrient.unit}"
        fact = Fact(fact.name, fact.value, "; ".join(filter(None, (fact.note, note))), fact.known)
        shown.append(Watched(fact, bool(amount > level.per_1000_kcal), level.text, level.source))
    return shown


def ingredient_rows(
    ingredients: Sequence, portions: Sequence[Portion], analysis: Analysis | None
) -> list[IngredientRow]:
    """The lines in their order. ingredients: the saved lines that `portions` were made of."""
    rows = []
    for place, (ingredient, portion) in enumerate(zip(ingredients, portions, strict=True)):
        rows.append(
            IngredientRow(
                food=ingredient.food,
                weight=as_written(portion.grams),
                amount=amount_in_words(portion),
                when=ingredient.get_when_display(),
                energy_percent=None if analysis is None else _energy_percent(analysis, place),
                note=portion.note,
            )
        )
    return rows


def _energy_percent(analysis: Analysis, place: int) -> float | None:
    brought = analysis.composition.contributions.iloc[place]
    parts = [float(brought[key]) for key in ("protein", "fat", "nfe")]
    if any(map(math.isnan, parts)):
        return None
    return 100 * me_atwater(*parts) / analysis.energy.kcal


def as_written(grams: float) -> str:
    """Grams without rounding away what a recipe says: "1,250", "12.5", "0.03"."""
    return f"{grams:,.4f}".rstrip("0").rstrip(".")


def amount_in_words(portion: Portion) -> str:
    """A food in household measures, a supplement in its dose units; "" when neither fits."""
    if not portion.is_supplement:
        return household(portion.grams, portion.measures)
    if portion.dose_unit in ("", "g") or not portion.grams_per_dose_unit:
        return ""
    return f"{portion.grams / portion.grams_per_dose_unit:.3g} {portion.dose_unit}"


def brought(analysis: Analysis, nutrient: str) -> list[BroughtRow]:
    """What each ingredient brings of a nutrient, largest first. Raises ValueError for a ratio."""
    return [
        BroughtRow(
            food=each.food,
            amount=each.amount,
            percent=None if each.share is None else 100 * each.share,
            in_part=each.amount is not None and not each.is_complete,
        )
        for each in contributions_to(analysis.composition, nutrient)
    ]


def changed_by_cooking(before: pd.DataFrame, after: pd.DataFrame) -> list[str]:
    """The limits of one profile whose answer cooking changes, each with both answers."""
    changes = []
    for key, raw in before.iterrows():
        fed = after.loc[key]
        for side, kind in (("minimum", "minimum"), ("maximum", raw["maximum_kind"])):
            was, now = raw[f"{side}_answer"], fed[f"{side}_answer"]
            if was != now:
                changes.append(
                    f"{raw['name']}: {answer_word(was, kind)} before, {answer_word(now, kind)} after cooking"
                )
    return changes


def temperature(celsius: float | None) -> str:
    """Both ways of saying a temperature: "74 °C (165 °F)"; "" for none."""
    return "" if celsius is None else f"{celsius:.0f} °C ({fahrenheit(celsius)} °F)"
