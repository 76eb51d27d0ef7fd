"""What each supplement of a batch brings, and how much of it a month takes. Pure calculation."""

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
    return [
        Supply(
            food=dose.food,
            form=forms[dose.food],
            carries=carried_by(batch, dose.food),
            day_amount=dose.batch_amount / batch.scaled.days,
            month_amount=round(dose.batch_amount * batches_a_month, 6),
        )
        for dose in batch.doses
    ]


def carried_by(batch: Batch, food: str) -> tuple[str, ...]:
    """Names of nutrients. The share is of what is known: an unknown amount counts as nothing here."""
    shares = {}
    for key, name in batch.strictest["name"].items():
        if key not in RATIOS and (share := _share(batch, key, food)) >= CARRIES_FROM:
            shares[name] = share
    return tuple(sorted(shares, key=lambda name: -shares[name])[:MOST_CARRIED])


def _share(batch: Batch, nutrient: str, food: str) -> float:
    found = contributions_to(batch.analysis.composition, nutrient)
    return next((each.share or 0.0 for each in found if each.food == food), 0.0)
