"""What to know of a recipe where its figures call for it. Pure.

The thresholds are common practice, no source.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from nutrients.composition import SUMS
from nutrients.energy_density import me_atwater
from nutrients.units import IU_PER_MG_BETA_CAROTENE
from recipes.analysis import Analysis, Portion

PHYTATE_GROUPS = ("grain & starch", "legume", "seed & nut")
ZINC_BARELY_MET_PERCENT = 120  # of the minimum
MUCH_CALCIUM_PERCENT = 150  # of the minimum
PHYTATE_ENERGY_PERCENT = 25  # of the energy from grain, legumes and seeds
NO_SOURCE = "Common practice, no source for the thresholds."


@dataclass(frozen=True)
class Note:
    title: str
    text: str
    source: str


def notes(analysis: Analysis, portions: Sequence[Portion]) -> list[Note]:
    """portions: those that were analysed, in the same order."""
    found = (_phytate(analysis, portions), _carotene(analysis))
    return [note for note in found if note is not None]


def _phytate(analysis: Analysis, portions: Sequence[Portion]) -> Note | None:
    zinc, calcium = (_percent_of_minimum(analysis.judgement, key) for key in ("zinc", "calcium"))
    plants = _energy_percent(analysis, portions)
    if not (
        100 <= zinc < ZINC_BARELY_MET_PERCENT
        and calcium >= MUCH_CALCIUM_PERCENT
        and plants >= PHYTATE_ENERGY_PERCENT
    ):
        return None
    return Note(
        "Zinc and phytate",
        f"Zinc is barely met ({zinc:.0f} % of the minimum) while grain, legumes and seeds bring "
        f"{plants:.0f} % of the energy and calcium stands at {calcium:.0f} % of its minimum. Their phytate "
        "binds zinc, the more so with much calcium: the dog takes up less than the figure says. Aim higher "
        "with zinc, or lower with calcium.",
        NO_SOURCE,
    )


def _percent_of_minimum(judgement: pd.DataFrame, key: str) -> float:
    """NaN when the profile has no such minimum or nothing is known."""
    return judgement.at[key, "percent_of_minimum"] if key in judgement.index else math.nan


def _energy_percent(analysis: Analysis, portions: Sequence[Portion]) -> float:
    """What is known of the energy from groups with phytate, in percent of the whole."""
    from_plants = [portion.group in PHYTATE_GROUPS for portion in portions]
    parts = analysis.composition.contributions.reindex(columns=["protein", "fat", "nfe"])
    return 100 * me_atwater(*parts[from_plants].sum()) / analysis.energy.kcal


def retinol_share(analysis: Analysis) -> float:
    """How much of the known vitamin A is retinol (0..1), which alone counts towards its maximum.

    NaN while no retinol is known; 1 where there is no vitamin A at all.
    """
    totals = analysis.composition.totals
    retinol = totals.get("retinol", math.nan) * SUMS["vitamin_a"]["retinol"]
    return retinol / totals["vitamin_a"] if totals["vitamin_a"] else 1.0


def _carotene(analysis: Analysis) -> Note | None:
    if "vitamin_a" not in analysis.judgement.index:
        return None
    line = analysis.judgement.loc["vitamin_a"]
    retinol = line["amount"] * retinol_share(analysis)
    if line["minimum_answer"] != "meets" or retinol >= line["minimum"]:
        return None
    alone = "retinol is not known" if math.isnan(retinol) else f"retinol alone is {retinol:,.0f}"
    return Note(
        "Vitamin A met by carotene",
        f"The minimum is met only because beta-carotene is counted ({IU_PER_MG_BETA_CAROTENE} IU per mg): "
        f"with it {line['amount']:,.0f} {line['unit']} per 1000 kcal, {alone}, and {line['minimum']:,.0f} "
        "are needed. The maximum goes by retinol alone.",
        "FEDIAF, vitamin conversion table, dogs.",
    )
