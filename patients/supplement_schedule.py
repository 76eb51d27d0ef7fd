"""What each supplement of a batch brings, and how much of it a month takes. Pure calculation."""

from collections.abc import Mapping
from dataclasses import dataclass

from nutrients.composition import RATIOS
from patients.batch import Batch
from recipes.analysis import contributions_to

CARRIES_FROM = 0.25  # of what the whole batch brings; common practice, no source: less is not what it is for
MOST_CARRIED = 4  # common practice, no source: what a cook will read


@dataclass(frozen=True)
class Supply:
    """One supplement. carries: the judged nutrients of which it brings a quarter or more, most first.

    day_amount: of the batch's amount, a day; month_amount: for all batches of a month. Both in dose units.
    """

    food: str
    form: str
    carries: tuple[str, ...]
    day_amount: float
    month_amount: float


def supplies(batch: Batch, batches_a_month: int) -> list[Supply]:
    """One for each dose of the batch, in its order."""
    forms = {line.portion.food: line.portion.form for line in batch.scaled.lines}
    shares = shares_of(batch)
    return [
        Supply(
            food=dose.food,
            form=forms[dose.food],
            carries=carried_by(shares, dose.food),
            day_amount=dose.batch_amount / batch.scaled.days,
            month_amount=round(dose.batch_amount * batches_a_month, 6),
        )
        for dose in batch.doses
    ]


def shares_of(batch: Batch) -> dict[str, dict[str, float]]:
    """Name of a judged nutrient -> food -> its share of what is known; unknown amounts count as nothing."""
    return {
        name: {each.food: each.share or 0.0 for each in contributions_to(batch.analysis.composition, key)}
        for key, name in batch.strictest["name"].items()
        if key not in RATIOS
    }


def carried_by(shares: Mapping[str, Mapping[str, float]], food: str) -> tuple[str, ...]:
    """Names of nutrients, from `shares_of`."""
    carried = [name for name, of_food in shares.items() if of_food.get(food, 0.0) >= CARRIES_FROM]
    return tuple(sorted(carried, key=lambda name: -shares[name][food])[:MOST_CARRIED])
