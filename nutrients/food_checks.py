"""Checks of what somebody entered for a food, before it is kept. Pure.

What is impossible is refused. What is only unlikely is a warning that can be kept with a reason.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from nutrients.energy_density import me_atwater
from nutrients.labels import Measured, figure, spoken
from nutrients.units import WEIGHTS, convert

MAIN_PARTS = ("water", "protein", "fat", "ash", "carbohydrate")
LEAST_SUM_G, MOST_SUM_G = 95, 105
ENERGY_TOLERANCE = 0.15
LEAST_KCAL = 20  # below it a rounded label is often 15 % off
USUAL_TIMES = 100  # mg typed as g is 1000 times too much, ug typed as mg too
AMINO_ACIDS = (
    "arginine",
    "histidine",
    "isoleucine",
    "leucine",
    "lysine",
    "methionine",
    "cystine",
    "phenylalanine",
    "tyrosine",
    "threonine",
    "tryptophan",
    "valine",
)
# Free amino acids weigh up to a fifth more than in protein, by the water that is bound as it breaks.
AMINO_ACIDS_PER_PROTEIN = 1.2
# Protein is nitrogen x 6.25, which a pure amino acid does not follow.
PURE_AMINO_ACIDS = "amino acid supplement"
SINGLE_FATTY_ACIDS = ("linoleic_acid", "alpha_linolenic_acid", "arachidonic_acid", "epa", "dpa", "dha")
# A whole, its parts [g each], and the factor x the whole that they may reach; half a gram is for rounding.
PARTS_OF = (
    ("fat", ("saturated_fat", "monounsaturated_fat", "polyunsaturated_fat"), 1.0),
    ("fat", SINGLE_FATTY_ACIDS, 1.0),
    ("polyunsaturated_fat", SINGLE_FATTY_ACIDS, 1.0),
    ("protein", AMINO_ACIDS, AMINO_ACIDS_PER_PROTEIN),
    ("carbohydrate", ("fiber",), 1.0),
)
ROUNDING_G = 0.5


@dataclass(frozen=True)
class Finding:
    """Something wrong or unlikely, in words. nutrient: the key it belongs to, empty for the food."""

    message: str
    nutrient: str = ""
    impossible: bool = False


def check(
    values: Mapping[str, float], group: str, medians: pd.DataFrame, nutrients: Mapping[str, Measured]
) -> list[Finding]:
    """What is impossible and what is unlikely about a food.

    values: what is known of 100 g, by nutrient key, in the nutrient's unit. medians: the usual amounts, a row
    per food group and a column per nutrient key, NaN unknown. nutrients: by key.
    """
    wrong = [
        finding for key, value in values.items() if (finding := _impossible_alone(nutrients[key], value))
    ]
    if wrong:
        return wrong
    return [
        *_parts_above_wholes(values, group, nutrients),
        *_sum(values),
        *_energy(values),
        *_unusual(values, group, medians, nutrients),
    ]


def check_bounds(
    bounds: Mapping[str, tuple[float | None, float | None]], nutrients: Mapping[str, Measured]
) -> list[Finding]:
    """What is impossible about the minima and maxima of a guaranteed analysis, in 100 g as fed."""
    wrong = [
        finding
        for key, ends in bounds.items()
        for end in ends
        if end is not None and (finding := _impossible_alone(nutrients[key], end))
    ]
    least = sum(low for key, (low, _) in bounds.items() if key in MAIN_PARTS and low is not None)
    if not wrong and least > 100:
        wrong = [Finding(f"The minima add up to {figure(least)} g in 100 g.", impossible=True)]
    return wrong


def _impossible_alone(nutrient: Measured, value: float) -> Finding | None:
    if not math.isfinite(value) or value < 0:
        return Finding(f"An amount must be a number of 0 or more, not {value:g}.", nutrient.key, True)
    if nutrient.unit in WEIGHTS:
        grams = convert(value, nutrient.unit, "g")
        if grams > 100 * (1 + 1e-9):
            return Finding(
                f"{figure(grams)} g of {spoken(nutrient.name)} cannot be in 100 g: check the unit and what "
                "the amount stands for.",
                nutrient.key,
                True,
            )
    return None


def _parts_above_wholes(values: Mapping[str, float], group: str, nutrients: Mapping[str, Measured]):
    for whole, parts, factor in PARTS_OF:
        known = [part for part in parts if part in values]
        if whole not in values or not known or (whole == "protein" and group == PURE_AMINO_ACIDS):
            continue
        held = sum(values[part] for part in known)
        if held > values[whole] * factor + ROUNDING_G:
            of_whole = spoken(nutrients[whole].name)
            what = nutrients[known[0]].name if len(known) == 1 else f"The parts of the {of_whole} together"
            yield Finding(
                f"{what}: {figure(held)} g, but only {figure(values[whole])} g {of_whole} in all.",
                known[0],
                True,
            )


def _sum(values: Mapping[str, float]):
    known = [part for part in MAIN_PARTS if part in values]
    total = sum(values[part] for part in known)
    if total > MOST_SUM_G or (len(known) == len(MAIN_PARTS) and total < LEAST_SUM_G):
        yield Finding(
            f"{', '.join(known).capitalize()} add up to {figure(total)} g in 100 g: "
            f"usual is {LEAST_SUM_G} to {MOST_SUM_G} g."
        )


def _energy(values: Mapping[str, float]):
    """Labels count fibre at 4 kcal/g, or not at all: both are accepted."""
    if not {"energy", "protein", "fat", "carbohydrate"} <= values.keys():
        return
    protein, fat, carbohydrate = (values[key] for key in ("protein", "fat", "carbohydrate"))
    with_fibre = me_atwater(protein, fat, carbohydrate)
    without = me_atwater(protein, fat, max(0, carbohydrate - values.get("fiber", 0)))
    lowest, highest = without * (1 - ENERGY_TOLERANCE), with_fibre * (1 + ENERGY_TOLERANCE)
    energy = values["energy"]
    if max(energy, with_fibre) > LEAST_KCAL and not lowest <= energy <= highest:
        yield Finding(
            f"{figure(energy)} kcal in 100 g, but protein, fat and carbohydrate make "
            f"{without:.0f} kcal by 4/9/4.",
            "energy",
        )


def _unusual(
    values: Mapping[str, float], group: str, medians: pd.DataFrame, nutrients: Mapping[str, Measured]
):
    if group not in medians.index:
        return
    for key, value in values.items():
        usual = float(medians.loc[group].get(key, math.nan))
        if not usual > 0 or not value > 0 or 1 / USUAL_TIMES < value / usual < USUAL_TIMES:
            continue
        way = f"{value / usual:.0f} times" if value > usual else f"1/{usual / value:.0f} of"
        unit = nutrients[key].unit
        yield Finding(
            f"{nutrients[key].name}: {figure(value)} {unit} is {way} the usual {figure(usual)} {unit} of "
            f"“{group}”. Was another unit meant?",
            key,
        )
