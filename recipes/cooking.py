"""The same batch cooked in two or more ways, side by side. Pure calculation.

Retention factors are published for a method, not for minutes or a vessel. Where none is published nothing is
counted as lost: that is said of every amount it concerns, with the foods, and never taken for certain.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits, answer_word
from nutrients.composition import PARTS
from nutrients.language import inside
from recipes.analysis import NOT_HEATED, Analysis, Portion, analyse, published_factors, retention_method

# Common practice, no source: amounts differ when they are this share apart.
APART = 0.005


@dataclass(frozen=True)
class Way:
    """The batch cooked by one method.

    no_factor: nutrient -> foods that meet the heat and bring some of it, without a published factor.
    fat_drained_g: fat that is poured off, by what is published.
    """

    method: str
    analysis: Analysis
    no_factor: Mapping[str, tuple[str, ...]]
    fat_drained_g: float

    @property
    def kcal_per_100g(self) -> float:
        return 100 * self.analysis.energy.kcal / self.analysis.fed_g


@dataclass(frozen=True)
class Cell:
    """A nutrient in one way: per 1000 kcal in the limit's unit (a ratio as such), None not known.

    answers: (answer, word) of the minimum and the maximum. no_factor: foods without a published factor.
    """

    amount: float | None
    percent: float | None
    answers: tuple[tuple[str, str], ...]
    no_factor: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """A limit of the profile with a cell per way."""

    key: str
    name: str
    unit: str
    decimals: int
    cells: tuple[Cell, ...]

    @property
    def answer_changes(self) -> bool:
        return len({cell.answers for cell in self.cells}) > 1

    @property
    def differs(self) -> bool:
        return self.answer_changes or self.spread >= APART

    @property
    def gaps(self) -> list[tuple[tuple[int, ...], tuple[str, ...]]]:
        """(places of the ways, foods without a published factor in them), told once for the same."""
        by_foods: dict[tuple[str, ...], list[int]] = {}
        for place, cell in enumerate(self.cells):
            if cell.no_factor:
                by_foods.setdefault(cell.no_factor, []).append(place)
        return [(tuple(places), foods) for foods, places in by_foods.items()]

    @property
    def spread(self) -> float:
        """How far apart the amounts are, as a share of the largest; 1 when only some are known."""
        known = [cell.amount for cell in self.cells if cell.amount is not None]
        if not known or not max(known):
            return 0.0
        return 1.0 if len(known) < len(self.cells) else 1 - min(known) / max(known)


@dataclass(frozen=True)
class Comparison:
    """The ways as asked for. differing: rows that change an answer first, then those furthest apart."""

    ways: tuple[Way, ...]
    differing: tuple[Row, ...]
    alike: tuple[Row, ...]


def compare(
    portions: Sequence[Portion],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    methods: Sequence[str],
    profile: ProfileLimits,
    negligible: frozenset[tuple[str, str]],
    yields: Mapping[tuple[str, str], float],
    added_water_g: float = 0,
    weighed_g: Mapping[str, float | None] | None = None,
) -> Comparison:
    """weighed_g: method -> the cooked weight as it was weighed [g]; the others are estimated.

    The rest as in `recipes.analysis.analyse`. Raises ValueError when the batch holds no energy.
    """
    ways = []
    for method in methods:
        cooked_g = (weighed_g or {}).get(method)
        analysis = analyse(
            portions, table, retention, method, profile, negligible, yields, added_water_g, cooked_g
        )
        gaps = _no_factor(portions, table, retention, method)
        ways.append(Way(method, analysis, gaps, _fat_drained(portions, table, analysis)))
    rows = [_row(key, ways) for key in ways[0].analysis.judgement.index]
    differing = sorted(
        (row for row in rows if row.differs), key=lambda row: (not row.answer_changes, -row.spread)
    )
    return Comparison(tuple(ways), tuple(differing), tuple(row for row in rows if not row.differs))


def _no_factor(
    portions: Sequence[Portion], table: pd.DataFrame, retention: pd.DataFrame, method: str
) -> dict[str, tuple[str, ...]]:
    foods = [portion.food for portion in portions]
    heated = np.array([retention_method(portion, method) != NOT_HEATED for portion in portions], dtype=bool)
    unpublished = published_factors(portions, retention, method, table.columns).isna().to_numpy()
    brings = table.reindex(foods).to_numpy() > 0
    gaps = unpublished & brings & heated[:, None]
    stored = {key: np.flatnonzero(gaps[:, place]) for place, key in enumerate(table.columns)}
    of_parts = {key: np.concatenate([stored.get(part, []) for part in parts]) for key, parts in PARTS.items()}
    return {
        key: tuple(dict.fromkeys(foods[int(place)] for place in sorted(places)))
        for key, places in (stored | of_parts).items()
        if len(places)
    }


def _fat_drained(portions: Sequence[Portion], table: pd.DataFrame, analysis: Analysis) -> float:
    grams = np.array([portion.grams for portion in portions])
    raw = table["fat"].reindex([portion.food for portion in portions]).to_numpy() * grams / 100
    left = analysis.composition.contributions["fat"].to_numpy()
    return round(float(np.nansum(raw - left)), 6)


def _row(key: str, ways: Sequence[Way]) -> Row:
    line = ways[0].analysis.judgement.loc[key]
    cells = tuple(_cell(way.analysis.judgement.loc[key], way.no_factor.get(key, ())) for way in ways)
    return Row(key, line["name"], line["unit"], int(line["decimals"]), cells)


def _cell(line: pd.Series, no_factor: tuple[str, ...]) -> Cell:
    given = (("minimum_answer", "minimum"), ("maximum_answer", line["maximum_kind"]))
    answers = [(line[column], answer_word(line[column], kind)) for column, kind in given if line[column]]
    return Cell(_known(line["amount"]), _known(line["percent_of_minimum"]), tuple(answers), no_factor)


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def sentence(found: Comparison, words: Mapping[str, str]) -> str:
    """The nutrient that differs most, such as "slow-cooked against pan-cooked: thiamine 61 % against 118 % of
    the minimum". words: method -> how it is said.
    """
    ways = " against ".join(words[way.method] for way in found.ways)
    row = next((row for row in found.differing if all(cell.percent is not None for cell in row.cells)), None)
    if row is None:
        return f"{ways}: no minimum is reached differently, by what is published."
    percents = " against ".join(f"{cell.percent:,.0f} %" for cell in row.cells)
    return f"{ways}: {inside(row.name)} {percents} of the minimum."
