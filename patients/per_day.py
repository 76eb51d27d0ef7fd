"""A day's nutrients against the dog's own allowance, by its metabolic weight. Pure calculation.

Allowances: NRC 2006, adult maintenance, per kg^0.75 a day; of the ideal weight when the dog is to lose. A
recipe that is part of the day owes its share of them.
"""

from dataclasses import dataclass

import pandas as pd

from patients.batch import Batch, Grounds
from patients.energy import metabolic_weight

COVERS, LESS, CANNOT_CONFIRM = "meets", "below", "cannot_confirm"
MOST_TOLD = 6  # common practice, no source: nutrients that a sentence can hold


@dataclass(frozen=True)
class DayRow:
    """One nutrient a day: what the batch brings and what the dog is allowed, in `unit`."""

    name: str
    unit: str
    decimals: int
    amount: float | None
    allowance: float
    answer: str


def day_rows(plan, grounds: Grounds, batch: Batch) -> list[DayRow]:
    """In the profile's order; none for a profile of growth, whose needs go by energy."""
    if grounds.profile.growth:
        return []
    limits = grounds.allowances.limits
    mbw = metabolic_weight(plan.target_kg)
    made_of = batch.analysis.composition
    return [
        _row(made_of, key, limit, limit.minimum * mbw * plan.recipe_share, batch.scaled.days)
        for key, limit in limits[limits["minimum"].notna()].sort_values("order").iterrows()
    ]


def _row(made_of, key: str, limit: pd.Series, allowance: float, days: int) -> DayRow:
    total = made_of.totals.get(key)
    amount = None if pd.isna(total) else float(total) * limit.factor / days
    if amount is not None and amount >= allowance:
        answer = COVERS
    else:
        gaps = (
            made_of.completeness.at[key, "missing_that_matter"] if key in made_of.completeness.index else ()
        )
        answer = CANNOT_CONFIRM if amount is None or gaps else LESS
    return DayRow(limit["name"], limit.unit, int(limit.decimals), amount, allowance, answer)


def raised_sentence(plan, name: str, batch: Batch) -> str:
    """Which minima rise because the dog eats little, in words; empty when none does."""
    if batch.for_dog is None:
        return ""
    raised = batch.for_dog[batch.for_dog["raised"].astype(bool)]
    if raised.empty:
        return ""
    published = batch.analysis.judgement["minimum"]
    told = [
        f"{line['name']} {line.minimum:,.{int(line.decimals)}f} instead of "
        f"{published[key]:,.{int(line.decimals)}f} {line.unit}"
        for key, line in raised.iterrows()
    ]
    more = f" and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    per_mbw = batch.kcal_per_day / plan.recipe_share / metabolic_weight(plan.target_kg)
    return (
        f"{name} gets {per_mbw:.0f} kcal per kg^0.75 a day. To hold its allowance in so little food, "
        f"1000 kcal must bring at least: {'; '.join(told[:MOST_TOLD])}{more}."
    )
