"""Is a recipe adequate? Every limit of a profile against what is known of the recipe.

Amounts are compared per 1000 kcal of metabolizable energy, ratios as such. What is not known is never taken
for zero: an answer is given only when what is known decides it, otherwise it is `cannot_confirm`.
"""

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

import pandas as pd

from nutrients.composition import PARTS, RATIOS, SUMS
from nutrients.units import MBW_EXPONENT

ANSWERS = ("above", "below", "cannot_confirm", "meets")
OPEN_ANSWERS = ("above", "below", "cannot_confirm")
# What harms a dog soonest when it is wrong: open, it is never passed over without the dog's veterinarian.
CRITICAL = ("calcium", "phosphorus", "ca_p_ratio", "vitamin_a", "vitamin_d", "selenium", "iodine")
ENERGY_PARTS = ("protein", "fat", "nfe")
EVERY_INGREDIENT = ("every ingredient",)
PER_1000_KCAL = "per_1000_kcal"
# Rounding noise of floating point must not turn an exact match into `below` or `above`.
NOISE = 1e-9

JUDGEMENT_COLUMNS = [
    "name",
    "group",
    "unit",
    "decimals",
    "amount",
    "minimum",
    "maximum",
    "maximum_kind",
    "percent_of_minimum",
    "minimum_answer",
    "maximum_answer",
    "completeness",
    "missing",
    "source",
    "certainty",
    "maximum_certainty",
    "note",
    "raised",
    "changed",
]


def answer_word(answer: str, kind: str = "minimum") -> str:
    """An answer as every screen and sheet says it.

    `kind` is `minimum` or the kind of maximum (legal, nutritional, safe upper). Raises ValueError for an
    answer that is none.
    """
    if answer == "cannot_confirm":
        return "Cannot confirm: data missing"
    if kind == "minimum" and answer in ("meets", "below"):
        return "Meets minimum" if answer == "meets" else "Below minimum"
    if kind != "minimum" and answer in ("meets", "above"):
        named = f" ({kind})" if kind else ""
        return ("Within maximum" if answer == "meets" else "Above maximum") + named
    raise ValueError(f"{answer!r} is no answer for the {kind or 'maximum'}.")


@dataclass(frozen=True)
class ProfileLimits:
    """A profile ready to judge with.

    `limits`: index nutrient key; columns name, group, unit, factor (nutrient unit -> limit unit), minimum,
    maximum, maximum_kind, source, certainty, maximum_certainty, note, order, decimals, raised (for a dog),
    changed (by the practice). Amounts are on the `basis`: per 1000 kcal (per kg^0.75 a day in a table of
    allowances), NaN where there is no such limit.
    `protein_for_arginine`: g protein per 1000 kcal above which the arginine minimum rises; None stands for
    the profile's own protein minimum.
    """

    key: str
    name: str
    edition: str
    life_stage: str
    growth: bool
    limits: pd.DataFrame
    arginine_per_g_protein: float = 0.0
    protein_for_arginine: float | None = None
    basis: str = PER_1000_KCAL


class _Known(NamedTuple):
    """What is known of one nutrient: per 1000 kcal in the limit's unit, for a ratio the ratio."""

    amount: float
    share: float
    missing: tuple[str, ...]
    matters: tuple[str, ...]


class _Batch(NamedTuple):
    """`without_energy`: foods whose energy is not wholly counted, which flatters amounts per 1000 kcal."""

    totals: dict[str, float]
    completeness: dict[str, dict]
    kcal: float
    without_energy: tuple[str, ...]

    def known(self, key: str, factor: float) -> _Known:
        """A nutrient, `factor` turning its own unit into the limit's."""
        if key not in self.completeness:
            return _Known(math.nan, 0.0, EVERY_INGREDIENT, EVERY_INGREDIENT)
        scale = factor if key in RATIOS else factor * 1000 / self.kcal
        line = self.completeness[key]
        amount = self.totals.get(key, math.nan) * scale
        return _Known(amount, line["share"], line["missing"], line["missing_that_matter"])


def _batch(totals: pd.Series, completeness: pd.DataFrame, kcal: float) -> _Batch:
    lines = completeness.to_dict("index")
    foods = [food for key in ENERGY_PARTS if key in lines for food in lines[key]["missing_that_matter"]]
    return _Batch(totals.to_dict(), lines, kcal, tuple(dict.fromkeys(foods)))


def judge(totals: pd.Series, completeness: pd.DataFrame, kcal: float, profile: ProfileLimits) -> pd.DataFrame:
    """One row per limit of the profile, in its order (columns: JUDGEMENT_COLUMNS).

    totals, completeness: of `nutrients.composition.total`, for the whole batch. kcal: its metabolizable
    energy. `amount` is per 1000 kcal in the limit's unit, for a ratio the ratio; NaN when nothing is known.

    Minimum: what is known reaches it -> meets; else nothing is known, or a food that can carry the nutrient
    has no value -> cannot_confirm; else below. Maximum: what is known passes it -> above; else a food that
    can carry the nutrient has no value -> cannot_confirm; else meets. Sums of two amino or fatty acids and
    ratios are confirmed only when no part is missing in a food that can carry it. A minimum is not confirmed
    while a food's energy is not wholly known: too few kcal flatter every amount per 1000 kcal.
    Vitamin A: minimum on retinol plus beta-carotene, maximum on retinol alone (FEDIAF, dogs).
    Arginine: the minimum rises with the protein above the profile's (FEDIAF Table VII-13; NRC 2006).
    Raises ValueError unless kcal is above 0 and the profile's limits are per 1000 kcal.
    """
    if profile.basis != PER_1000_KCAL:
        raise ValueError(f"{profile.name} is not given per 1000 kcal: no recipe can be judged against it.")
    if not math.isfinite(kcal) or kcal <= 0:
        raise ValueError(f"A recipe is judged per 1000 kcal: its energy must be above 0 kcal, not {kcal}.")
    batch = _batch(totals, completeness, kcal)
    rows = [_row(limit, batch, profile) for limit in profile.limits.itertuples()]
    return pd.DataFrame(rows, index=profile.limits.index, columns=JUDGEMENT_COLUMNS)


def _row(limit, batch: _Batch, profile: ProfileLimits) -> dict:
    key = limit.Index
    known = ceiling = batch.known(key, limit.factor)
    minimum, notes = limit.minimum, [limit.note]
    if key == "arginine":
        minimum, note = _arginine_minimum(limit, batch, profile)
        notes.insert(0, note)
    if key == "vitamin_a":
        ceiling = batch.known("retinol", limit.factor * SUMS["vitamin_a"]["retinol"])
        notes.insert(0, _vitamin_a_parts(limit, batch))
    minimum_answer = _minimum_answer(key, known, minimum)
    if minimum_answer == "meets" and key not in RATIOS and batch.without_energy:
        minimum_answer = "cannot_confirm"
        notes.insert(0, f"Energy not wholly known: {', '.join(batch.without_energy)}.")
    return {
        **{column: getattr(limit, column) for column in JUDGEMENT_COLUMNS if hasattr(limit, column)},
        "amount": known.amount,
        "minimum": minimum,
        "percent_of_minimum": 100 * known.amount / minimum if minimum else math.nan,
        "minimum_answer": minimum_answer,
        "maximum_answer": _maximum_answer(key, ceiling, limit.maximum),
        "completeness": known.share,
        "missing": known.missing,
        "note": " ".join(filter(None, notes)),
    }


def _minimum_answer(key: str, known: _Known, minimum: float) -> str:
    needs_every_part = key in PARTS and key != "vitamin_a"
    if math.isnan(minimum):
        return ""
    if math.isnan(known.amount) or (needs_every_part and known.matters):
        return "cannot_confirm"
    if known.amount >= minimum * (1 - NOISE):
        return "meets"
    return "cannot_confirm" if known.matters else "below"


def _maximum_answer(key: str, known: _Known, maximum: float) -> str:
    if math.isnan(maximum):
        return ""
    if known.amount > maximum * (1 + NOISE):
        return "above"
    if known.matters or (key in RATIOS and math.isnan(known.amount)):
        return "cannot_confirm"
    return "meets"


def _arginine_minimum(limit, batch: _Batch, profile: ProfileLimits) -> tuple[float, str]:
    """The arginine minimum for this much protein, and what to note."""
    base = protein_for_arginine(profile)
    protein = batch.known("protein", 1).amount
    if profile.arginine_per_g_protein <= 0 or not protein > base:
        return limit.minimum, ""
    rise = profile.arginine_per_g_protein * (protein - base) * limit.factor
    return limit.minimum + rise, (
        f"Minimum raised by {rise:.2f} {limit.unit} for {protein - base:.1f} g protein above {base:g} g."
    )


def protein_for_arginine(profile: ProfileLimits) -> float:
    """Grams of protein per 1000 kcal above which arginine rises; NaN when the profile has no such minimum."""
    if profile.protein_for_arginine is not None:
        return profile.protein_for_arginine
    if "protein" not in profile.limits.index:
        return math.nan
    return profile.limits.at["protein", "minimum"] / profile.limits.at["protein", "factor"]


def _vitamin_a_parts(limit, batch: _Batch) -> str:
    parts = [batch.known(part, limit.factor * weight).amount for part, weight in SUMS["vitamin_a"].items()]
    retinol, carotene = ("unknown" if math.isnan(x) else f"{x:,.0f} {limit.unit}" for x in parts)
    return (
        f"Retinol {retinol}, beta-carotene {carotene} per 1000 kcal; "
        "the minimum counts both, the maximum retinol alone."
    )


def worst_answers(judgement: pd.DataFrame) -> pd.Series:
    """Per nutrient the answer that weighs most: above, below, cannot_confirm, meets; "" without a limit."""

    def worst(line) -> str:
        given = (line.minimum_answer, line.maximum_answer)
        return next((answer for answer in ANSWERS if answer in given), "")

    return pd.Series([worst(line) for line in judgement.itertuples()], index=judgement.index, dtype=object)


def is_open(judgement: pd.DataFrame) -> pd.Series:
    """True for every nutrient whose minimum or maximum is not met or cannot be confirmed."""
    return worst_answers(judgement).isin(OPEN_ANSWERS)


def counts(judgement: pd.DataFrame) -> dict[str, int]:
    """How many nutrients have each answer; each counts once, by its worst."""
    worst = worst_answers(judgement)
    return {answer: int((worst == answer).sum()) for answer in ("meets", "below", "above", "cannot_confirm")}


def for_patient(
    profile: ProfileLimits, allowances: ProfileLimits, kcal_from_recipe: float, weight_kg: float
) -> ProfileLimits:
    """The profile with minima raised so that a dog on few kcal still gets its allowance.

    Minimum per 1000 kcal = max(the profile's, allowance x weight^0.75 x 1000 / kcal_from_recipe).
    allowances: per kg^0.75 a day (NRC 2006, adult maintenance). kcal_from_recipe: per day. weight_kg: the
    ideal weight. Fat is never raised, nor a nutrient for which the profile has no minimum, nor anything in a
    growth profile; maxima stay, and nothing is lowered. Raises ValueError unless kcal and weight are above 0.
    """
    for what, value in (("energy from the recipe", kcal_from_recipe), ("weight", weight_kg)):
        if not math.isfinite(value) or value <= 0:
            raise ValueError(f"The {what} must be a number above 0, not {value}.")
    if profile.growth:
        return profile
    needs = allowances.limits
    per_1000_kcal = needs["minimum"] / needs["factor"] * weight_kg**MBW_EXPONENT * 1000 / kcal_from_recipe
    raised = profile.limits.copy()
    keys = raised.index.intersection(needs.index).drop("fat", errors="ignore")
    needed, published = per_1000_kcal[keys] * raised.loc[keys, "factor"], raised.loc[keys, "minimum"]
    keys = keys[needed > published]
    raised.loc[keys, "minimum"] = needed[keys]
    raised.loc[keys, "raised"] = True
    raised.loc[keys, "changed"] |= needs.loc[keys, "changed"]
    raised.loc[keys, ["source", "certainty"]] = needs.loc[keys, ["source", "certainty"]]
    raised.loc[keys, "note"] = [
        f"Raised for this dog's weight and energy; the profile says {published[key]:g}. {note}".strip()
        for key, note in raised.loc[keys, "note"].items()
    ]
    return replace(profile, limits=raised, protein_for_arginine=protein_for_arginine(profile))
