"""When each supplement goes in, and how much at a time. Pure calculation.

Served cold from the fridge, everything is stirred into the cooled batch. When the batch is re-warmed or
frozen, the heat-stable supplements still go into the cooled batch and the heat-sensitive ones go in the bowl,
as a dose per day and per meal. A supplement whose heat is not known counts as heat-sensitive.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nutrients.language import later
from recipes.analysis import COOLED_BATCH, IN_THE_BOWL, Portion
from recipes.scaling import dose_step, in_whole_steps

COLD = "cold"
STABLE = "stable"
PIECES = ("tablet", "capsule")  # dose units that are divided, never weighed
MOST_DAYS_BETWEEN = 7  # common practice, no source: a dose rarer than once a week is forgotten
LARGE_ROUNDING_PERCENT = 50  # common practice, no source: above it the sheet says what rounding did
MOST_OF_MAXIMUM = 0.5  # common practice, no source: one step more or less must not pass the maximum

WHY_COLD = later("The food is eaten cold from the fridge: nothing in it is heated again.")
WHY_STABLE = later("It keeps in food that is frozen or warmed again.")
WHY_SENSITIVE = later("Warming or freezing would take some of it: add it to the food that is ready to eat.")


@dataclass(frozen=True)
class Dose:
    """How one supplement is given in one batch. Amounts are in `dose_unit`.

    batch_amount: everything given over the batch. In the cooled batch the other amounts are None and on_days
    is empty. In the bowl: day_amount on each of `on_days` (1 is the batch's first day; one in `every_days`
    days), as meal_amount in each of `meals` meals, so that
    batch_amount = meal_amount x meals x number of on_days.
    """

    food: str
    when: str
    why: str
    batch_amount: float
    day_amount: float | None
    meal_amount: float | None
    meals: int | None
    every_days: int | None
    on_days: tuple[int, ...]
    dose_unit: str
    grams_per_batch: float
    heat: str
    exact_g: float

    @property
    def rounded_by_percent(self) -> float:
        """How far rounding moved the dose [percent of the exact amount]."""
        return (self.grams_per_batch / self.exact_g - 1) * 100

    @property
    def rounded_a_lot(self) -> bool:
        return abs(self.rounded_by_percent) > LARGE_ROUNDING_PERCENT


def schedule(
    supplements: Sequence[Portion], serve: str, frozen: bool, days: int, meals_per_day: int
) -> list[Dose]:
    """One dose per supplement, in their order.

    supplements: portions whose grams are for the whole batch, not rounded (`ScaledBatch.supplements()`).
    serve: "cold" or "rewarmed"; frozen: part of the batch is frozen. Every dose is a whole number of smallest
    steps and at least one. Raises ValueError when days or meals are below 1, when a dose unit is not known,
    or when a daily dose is so small that one step would have to last longer than a week or the batch.
    """
    if days < 1 or meals_per_day < 1:
        raise ValueError("A batch needs at least one day and one meal a day.")
    heated_again = serve != COLD or frozen
    return [
        _in_the_bowl(supplement, days, meals_per_day)
        if heated_again and supplement.heat != STABLE
        else _in_the_batch(supplement, WHY_STABLE if heated_again else WHY_COLD)
        for supplement in supplements
    ]


def _in_the_batch(supplement: Portion, why: str) -> Dose:
    step, grams_per_unit = dose_step(supplement)
    amount = in_whole_steps(supplement.grams / grams_per_unit, step)
    return Dose(
        food=supplement.food,
        when=COOLED_BATCH,
        why=why,
        batch_amount=amount,
        day_amount=None,
        meal_amount=None,
        meals=None,
        every_days=None,
        on_days=(),
        dose_unit=supplement.dose_unit,
        grams_per_batch=round(amount * grams_per_unit, 6),
        heat=supplement.heat,
        exact_g=supplement.grams,
    )


def _in_the_bowl(supplement: Portion, days: int, meals_per_day: int) -> Dose:
    step, grams_per_unit = dose_step(supplement)
    steps_a_day = supplement.grams / grams_per_unit / step / days
    every_days = _days_between(supplement, steps_a_day, days)
    on_days = tuple(range(1, days + 1, every_days))
    day_amount = in_whole_steps(steps_a_day * step, step)
    meals = _meals_to_share(round(day_amount / step), meals_per_day)
    batch_amount = round(day_amount * len(on_days), 6)
    return Dose(
        food=supplement.food,
        when=IN_THE_BOWL,
        why=WHY_SENSITIVE,
        batch_amount=batch_amount,
        day_amount=day_amount,
        meal_amount=round(day_amount / meals, 6),
        meals=meals,
        every_days=every_days,
        on_days=on_days,
        dose_unit=supplement.dose_unit,
        grams_per_batch=round(batch_amount * grams_per_unit, 6),
        heat=supplement.heat,
        exact_g=supplement.grams,
    )


def _days_between(supplement: Portion, steps_a_day: float, days: int) -> int:
    """1 from one step a day up; below, the interval whose number of doses in the batch comes nearest."""
    if steps_a_day >= 1:
        return 1
    longest = min(MOST_DAYS_BETWEEN, days)
    if round(1 / steps_a_day) > longest:
        or_longer = ", or cook for more days" if days < MOST_DAYS_BETWEEN else ""
        raise ValueError(
            f"{supplement.food}: {supplement.smallest_step:g} {supplement.dose_unit} would have to last "
            f"{round(1 / steps_a_day)} days, longer than {longest}. Choose a weaker product{or_longer}."
        )
    wanted = steps_a_day * days
    return min(range(1, longest + 1), key=lambda between: abs(math.ceil(days / between) - wanted))


def _meals_to_share(steps: int, meals_per_day: int) -> int:
    """The most meals a day's whole steps can be divided among evenly."""
    return max(meals for meals in range(1, meals_per_day + 1) if steps % meals == 0)


def as_given(supplements: Sequence[Portion], doses: Sequence[Dose]) -> list[Portion]:
    """The supplements with the grams and the moment of their doses, to be analysed again."""
    return [
        replace(supplement, grams=dose.grams_per_batch, when=dose.when)
        for supplement, dose in zip(supplements, doses, strict=True)
    ]


def coarse_steps(
    supplements: Sequence[Portion],
    step_contributions: Mapping[str, Mapping[str, float]],
    batch_maxima: Mapping[str, float],
) -> list[str]:
    """A sentence for every supplement of which one dose step is above half the batch's maximum.

    step_contributions: supplement -> nutrient key -> amount in one smallest step; batch_maxima: nutrient key
    -> the most the whole batch may hold, in the same unit. An unknown amount (NaN) says nothing.
    """
    return [
        f"{supplement.food}: one step ({supplement.smallest_step:g} {supplement.dose_unit}) brings more than "
        f"half of the {nutrient.replace('_', ' ')} this batch may hold. Choose a weaker product."
        for supplement in supplements
        for nutrient, maximum in batch_maxima.items()
        if step_contributions.get(supplement.food, {}).get(nutrient, 0) > MOST_OF_MAXIMUM * maximum
    ]
