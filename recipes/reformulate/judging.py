"""The proposed amounts judged afresh, by the same rules as any recipe."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits, judge
from nutrients.composition import RATIOS, Composition
from nutrients.energy_density import energy_of
from recipes.analysis import composition
from recipes.reformulate.contents import ceiling_parts
from recipes.reformulate.limits import BANDS, all_limits
from recipes.reformulate.problem import energy_bounds
from recipes.reformulate.proposal import Choice, Obstacle, Wishes

WISHED = "what is asked"
NOISE = 1e-6


@dataclass(frozen=True)
class Judged:
    """Final amounts with their energy and one judgement per profile (margin included; the bands last)."""

    grams: np.ndarray
    made_of: Composition
    kcal: float
    profiles: Sequence[ProfileLimits]
    judgements: Sequence[pd.DataFrame]


def judged(
    choices: Sequence[Choice],
    grams: np.ndarray,
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    profiles: Sequence[ProfileLimits],
    negligible: frozenset[tuple[str, str]],
    wishes: Wishes,
) -> Judged:
    """Raises ValueError when the amounts hold no energy."""
    portions = [
        replace(choice.portion, grams=float(amount))
        for choice, amount in zip(choices, grams, strict=True)
        if amount > 0
    ]
    made_of = composition(portions, table, retention, method, negligible)
    kcal = energy_of(made_of).kcal
    limits = all_limits(profiles, wishes)
    rows = [judge(made_of.totals, made_of.completeness, kcal, profile) for profile in limits]
    return Judged(grams, made_of, kcal, limits, rows)


def unmet(result: Judged, margin: float) -> Iterator[Obstacle]:
    """Every minimum, maximum and band that is not met, or cannot be confirmed."""
    for profile, judgement in zip(result.profiles, result.judgements, strict=True):
        for limit in judgement.itertuples():
            yield from _of_limit(limit, profile, result, margin)


def _of_limit(limit, profile: ProfileLimits, result: Judged, margin: float) -> Iterator[Obstacle]:
    unit = limit.unit if limit.Index in RATIOS else f"{limit.unit} per 1000 kcal"
    with_margin = f" with its margin of {margin:.1%}" if margin and profile.key != BANDS else ""
    for side, answer in (("minimum", limit.minimum_answer), ("maximum", limit.maximum_answer)):
        if answer not in ("below", "above", "cannot_confirm"):
            continue
        short, said = None, _missing(limit, side, result)
        if answer == "below":
            amount = 0.0 if np.isnan(limit.amount) else limit.amount
            short, said = limit.minimum - amount, _beside(limit, "minimum", amount, limit.minimum)
        if answer == "above":
            amount = _ceiling_amount(limit, profile, result)
            short, said = amount - limit.maximum, _beside(limit, "maximum", amount, limit.maximum)
        yield Obstacle(
            profile=profile.name,
            nutrient=limit.Index,
            name=limit.name,
            side="band" if profile.key == BANDS else side,
            short=short,
            unit=unit.strip(),
            sentence=f"{limit.name} ({profile.name}): {said}{with_margin if short else ''}.",
        )


def _ceiling_amount(limit, profile: ProfileLimits, result: Judged) -> float:
    """What the maximum is judged on: of vitamin A the retinol alone."""
    if limit.Index != "vitamin_a":
        return limit.amount
    factor = profile.limits.at["vitamin_a", "factor"]
    totals = result.made_of.totals
    return (
        sum(totals[part] * x for part, x in ceiling_parts("vitamin_a").items()) * factor * 1000 / result.kcal
    )


def _beside(limit, side: str, amount: float, bound: float) -> str:
    basis = "" if limit.Index in RATIOS else " per 1000 kcal"
    unit = f" {limit.unit}" if limit.unit else ""
    way = "short of" if side == "minimum" else "above"
    off, value = (_number(x, limit.decimals) for x in (abs(bound - amount), bound))
    return f"{off}{unit}{basis} {way} the {side} of {value}{unit}"


def _missing(limit, side: str, result: Judged) -> str:
    key = limit.Index
    if key in result.made_of.completeness.index:
        foods = result.made_of.completeness.at[key, "missing_that_matter"]
        if key == "vitamin_a" and side == "maximum":
            foods = result.made_of.completeness.at["retinol", "missing_that_matter"]
        if foods:
            return f"the {side} cannot be confirmed, for want of a value in {', '.join(foods)}"
    if limit.note.startswith("Energy"):
        return f"the {side} cannot be confirmed: the energy of a food is not wholly known"
    return f"the {side} cannot be confirmed: no ingredient has a value for it"


def _number(value: float, decimals: int) -> str:
    """With the limit's decimals, and more where these would show nothing."""
    written = f"{value:,.{int(decimals)}f}"
    return written if value == 0 or float(written.replace(",", "")) else f"{value:.2g}"


def wishes_unmet(choices: Sequence[Choice], result: Judged, wishes: Wishes, contents) -> Iterator[Obstacle]:
    """The energy and the cost, where they are not as asked."""
    least, most = energy_bounds(choices, contents, wishes)
    off = max(least - result.kcal, result.kcal - most)
    if off > NOISE * most:
        yield _wish(
            "kcal", "Energy", "kcal", off, f"Energy: {off:,.0f} kcal off {least:,.0f} to {most:,.0f} kcal."
        )
    if wishes.cost_ceiling is not None:
        yield from _cost(choices, result, wishes.cost_ceiling)
    used = sum(x.portion.is_supplement and grams > 0 for x, grams in zip(choices, result.grams, strict=True))
    if wishes.most_supplements is not None and used > wishes.most_supplements:
        over = used - wishes.most_supplements
        said = f"Supplements: {used}, {over} more than the {wishes.most_supplements} asked for."
        yield _wish("supplements", "Supplements", "", float(over), said)


def _cost(choices: Sequence[Choice], result: Judged, ceiling: float) -> Iterator[Obstacle]:
    used = [(x, grams) for x, grams in zip(choices, result.grams, strict=True) if grams > 0]
    unknown = [choice.portion.food for choice, _ in used if choice.cost_per_kg is None]
    cost = sum((choice.cost_per_kg or 0) * grams / 1000 for choice, grams in used)
    if cost > ceiling * (1 + NOISE):
        over = cost - ceiling
        yield _wish(
            "cost", "Cost", "", over, f"Cost: {cost:,.2f}, {over:,.2f} above the ceiling of {ceiling:,.2f}."
        )
    elif unknown:
        without = ", ".join(unknown)
        said = f"Cost: {cost:,.2f} is known; the ceiling cannot be held for want of the cost of {without}."
        yield _wish("cost", "Cost", "", None, said)


def _wish(side: str, name: str, unit: str, short: float | None, sentence: str) -> Obstacle:
    return Obstacle(WISHED, side, name, side, short, unit, sentence)
