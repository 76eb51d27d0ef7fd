"""Where an amount of the adequacy table comes from, step by step. Pure calculation.

Per ingredient: grams / 100 x amount per 100 g x what cooking leaves, as `recipes.analysis` counted it. Their
sum, x 1000 / kcal, x the factor to the limit's unit is the amount that the table shows.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from nutrients.adequacy import ProfileLimits
from nutrients.composition import RATIOS, SUMS
from nutrients.energy_density import ATWATER
from recipes.analysis import FATTY_ACIDS, NOT_HEATED, REHEATED, Analysis, Portion, retained, retention_method


@dataclass(frozen=True)
class ValueSource:
    """Who says what 100 g of a food hold. changed_on: the day on which a person last changed the value."""

    kind: str
    text: str
    changed_on: date | None = None

    @property
    def said(self) -> str:
        """Such as `published: USDA SR28 (2015)`; a text that begins with the kind says it already."""
        return self.text if self.text.startswith(self.kind) else f"{self.kind}: {self.text}"


@dataclass(frozen=True)
class Sources:
    """Where the reference data comes from: texts, by what they belong to.

    values: by (food, nutrient). references: a food's number in its source, by food. factors: source of the
    retention factor, by (retention group, method, nutrient). negligible: why a food group cannot carry a
    nutrient, by (nutrient, food group). nutrients: key -> (name, unit).
    """

    values: Mapping[tuple[str, str], ValueSource]
    references: Mapping[str, str]
    factors: Mapping[tuple[str, str, str], str]
    negligible: Mapping[tuple[str, str], str]
    nutrients: Mapping[str, tuple[str, str]]


@dataclass(frozen=True)
class Kept:
    """What cooking leaves of a nutrient (fraction 0..1), why, and the source of the factor ("" for none)."""

    fraction: float
    why: str
    source: str = ""


@dataclass(frozen=True)
class Line:
    """One ingredient: grams, amount per 100 g and in the batch [the nutrient's unit]; None where unknown.

    cannot_carry: for an unknown amount, why the food group can hold none that matters; "" when it can.
    """

    food: str
    grams: float
    per_100g: float | None
    source: ValueSource
    reference: str
    kept: Kept
    amount: float | None
    cannot_carry: str


@dataclass(frozen=True)
class Part:
    """A stored nutrient, ingredient by ingredient. known: their sum in the nutrient's `unit`, None for none.

    weight: how much of the sought amount one `unit` counts. counted: known x weight.
    per_1000_kcal: what this part alone brings, in the limit's unit.
    """

    key: str
    name: str
    unit: str
    weight: float
    lines: tuple[Line, ...]
    known: float | None
    counted: float | None
    per_1000_kcal: float | None

    @property
    def missing(self) -> list[str]:
        return [line.food for line in self.lines if line.amount is None]


@dataclass(frozen=True)
class EnergyPart:
    """Grams x kcal per gram = kcal, of protein, fat or NFE."""

    key: str
    name: str
    grams: float
    factor: float
    kcal: float


@dataclass(frozen=True)
class Provenance:
    """An amount and every step to it.

    above: the parts that are added up; below: for a ratio, those that divide them. total: above summed, in
    `own_unit`; divisor: below summed. factor: from `own_unit` to `unit`. amount: what the adequacy table
    shows, per 1000 kcal in `unit`, for a ratio the ratio; None when nothing is known or no ratio is formed.
    """

    key: str
    name: str
    above: tuple[Part, ...]
    below: tuple[Part, ...]
    total: float | None
    divisor: float | None
    own_unit: str
    unit: str
    factor: float
    kcal: float
    energy: tuple[EnergyPart, ...]
    without_energy: tuple[str, ...]
    amount: float | None

    @property
    def is_ratio(self) -> bool:
        return self.key in RATIOS

    @property
    def is_derived(self) -> bool:
        return self.is_ratio or self.key in SUMS


@dataclass(frozen=True)
class Batch:
    """What was analysed: portions, how they were cooked, the tables it was worked out with, the result."""

    portions: Sequence[Portion]
    method: str
    table: pd.DataFrame
    retention: pd.DataFrame
    analysis: Analysis


def parts_of(key: str) -> tuple[dict[str, float], dict[str, float]]:
    """The stored nutrients behind one: those added up, and for a ratio those that divide, with weights."""
    if key in RATIOS:
        return RATIOS[key]
    return SUMS.get(key, {key: 1.0}), {}


def trace(key: str, batch: Batch, profile: ProfileLimits, sources: Sources) -> Provenance:
    """The steps to the amount of a nutrient. Raises ValueError for a nutrient that is not known."""
    if key not in sources.nutrients:
        raise ValueError(f"There is no nutrient called {key!r}.")
    name, own_unit = sources.nutrients[key]
    limited = key in profile.limits.index
    factor, unit = profile.limits.loc[key, ["factor", "unit"]] if limited else (1.0, own_unit)
    kcal, totals = batch.analysis.energy.kcal, batch.analysis.composition.totals
    above, below = (
        tuple(
            _part(part, weight, float(factor) * 1000 / kcal, batch, sources)
            for part, weight in weights.items()
        )
        for weights in parts_of(key)
    )
    formed = _or_none(totals.get(key, math.nan))
    scale = float(factor) if key in RATIOS else float(factor) * 1000 / kcal
    return Provenance(
        key=key,
        name=name,
        above=above,
        below=below,
        total=_sum(above) if key in RATIOS else formed,
        divisor=_sum(below),
        own_unit=own_unit,
        unit=unit,
        factor=float(factor),
        kcal=kcal,
        energy=_energy(batch.analysis, sources),
        without_energy=batch.analysis.energy.missing,
        amount=None if formed is None else formed * scale,
    )


def _part(key: str, weight: float, scale: float, batch: Batch, sources: Sources) -> Part:
    name, unit = sources.nutrients[key]
    brought = batch.analysis.composition.contributions[key]
    left = retained(batch.portions, batch.retention, batch.method, batch.table.columns)[key]
    lines = tuple(
        _line(key, portion, batch, sources, amount=float(amount), fraction=float(fraction))
        for portion, amount, fraction in zip(batch.portions, brought, left, strict=True)
    )
    known = _or_none(batch.analysis.composition.totals[key])
    counted = None if known is None else known * weight
    return Part(key, name, unit, weight, lines, known, counted, None if counted is None else counted * scale)


def _line(
    key: str, portion: Portion, batch: Batch, sources: Sources, *, amount: float, fraction: float
) -> Line:
    reason = sources.negligible.get((key, portion.group), "")
    return Line(
        food=portion.food,
        grams=portion.grams,
        per_100g=_or_none(batch.table.at[portion.food, key]),
        source=sources.values.get((portion.food, key), ValueSource("", "")),
        reference=sources.references.get(portion.food, ""),
        kept=_kept(key, portion, batch.method, sources, fraction),
        amount=_or_none(amount),
        cannot_carry=reason if math.isnan(amount) else "",
    )


def _kept(key: str, portion: Portion, method: str, sources: Sources, fraction: float) -> Kept:
    how = retention_method(portion, method)
    met = "re-heated" if how == REHEATED else ""
    own = sources.factors.get((portion.retention_group, how, key))
    if own is not None:
        return Kept(fraction, met, own)
    of_fat = sources.factors.get((portion.retention_group, how, "fat"))
    if of_fat is not None and key in FATTY_ACIDS:
        return Kept(fraction, ", ".join(filter(None, [met, "leaves with the fat"])), of_fat)
    if how == NOT_HEATED:
        return Kept(fraction, "not heated")
    return Kept(fraction, ", ".join(filter(None, [met, "no factor published"])))


def _energy(analysis: Analysis, sources: Sources) -> tuple[EnergyPart, ...]:
    energy = analysis.energy
    kcal = (energy.protein_kcal, energy.fat_kcal, energy.nfe_kcal)
    return tuple(
        EnergyPart(key, sources.nutrients[key][0], part / factor, factor, part)
        for key, factor, part in zip(("protein", "fat", "nfe"), ATWATER, kcal, strict=True)
    )


def _sum(parts: Sequence[Part]) -> float | None:
    """What is known of the parts, weighted; None when nothing is."""
    known = [part.counted for part in parts if part.counted is not None]
    return sum(known) if known else None


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else float(value)
