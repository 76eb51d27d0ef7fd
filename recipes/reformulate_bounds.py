"""How far a line may move when nothing else is said. Pure calculation."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from nutrients.adequacy import ENERGY_PARTS, ProfileLimits
from nutrients.composition import RATIOS
from nutrients.energy_density import ATWATER
from recipes.analysis import Portion
from recipes.reformulate.contents import ceiling_parts, parts_of

# Common practice, no source: further off it is another recipe.
FOOD_LEAST, FOOD_MOST = 0.7, 1.3
# Common practice, no source: what a supplement brings at most of the minimum that it meets most easily, and
# of the energy. Without this iodized salt would be offered up to the maximum of its iodine.
TIMES_MINIMUM = 5
ENERGY_SHARE = 0.1
# Common practice, no source: a new food makes up at most this share of the batch's weight.
NEW_FOOD_SHARE = 0.1
WHOLE_GRAMS_FROM = 20


@dataclass(frozen=True)
class Cap:
    """What a supplement may bring at most per 1000 kcal, counted over parts: nutrient key -> weight."""

    parts: Mapping[str, float]
    per_1000_kcal: float


def food_bounds(grams: float) -> tuple[float, float]:
    """70 to 130 % of the present grams, in whole grams from 20 g on, below in tenths."""
    digits = 0 if grams >= WHOLE_GRAMS_FROM else 1
    return round(grams * FOOD_LEAST, digits), round(grams * FOOD_MOST, digits)


def new_food_most(batch_g: float) -> float:
    """What of a new food may go into a batch of so many grams, in whole grams."""
    return float(max(1, round(batch_g * NEW_FOOD_SHARE)))


def caps(profiles: Sequence[ProfileLimits]) -> list[Cap]:
    """Every maximum, five times every minimum, and a tenth of the energy. Ratios cap nothing."""
    return [Cap(dict(zip(ENERGY_PARTS, ATWATER, strict=True)), ENERGY_SHARE * 1000), *_of_limits(profiles)]


def _of_limits(profiles: Sequence[ProfileLimits]) -> Iterator[Cap]:
    for profile in profiles:
        for limit in profile.limits.drop(index=[*RATIOS], errors="ignore").itertuples():
            if limit.maximum > 0:
                yield Cap(ceiling_parts(limit.Index), limit.maximum / limit.factor)
            if limit.minimum > 0:
                yield Cap(parts_of(limit.Index), TIMES_MINIMUM * limit.minimum / limit.factor)


def most_doses(
    supplement: Portion, per_100g: Mapping[str, float], kcal: float, capped: Sequence[Cap]
) -> float:
    """The largest whole number of steps, in dose units, that alone stays within every cap at `kcal`.

    per_100g: what is known of the supplement, NaN unknown. Never less than one step, nor less than the
    present amount.
    """
    of_one = supplement.grams_per_dose_unit or 1.0
    step = supplement.smallest_step or 1.0
    amounts = [(cap, _per_gram(cap, per_100g)) for cap in capped]
    grams = min(
        (cap.per_1000_kcal * kcal / 1000 / amount for cap, amount in amounts if amount > 0), default=0.0
    )
    steps = max(
        1, math.floor(grams / of_one / step + 1e-9), math.ceil(supplement.grams / of_one / step - 1e-9)
    )
    return round(steps * step, 6)


def _per_gram(cap: Cap, per_100g: Mapping[str, float]) -> float:
    known = [per_100g.get(key, math.nan) * weight for key, weight in cap.parts.items()]
    return sum(amount for amount in known if not math.isnan(amount)) / 100
