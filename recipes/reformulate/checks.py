"""What cannot be asked of a reformulation: each refusal is a sentence."""

import math
from collections.abc import Iterator, Sequence

from nutrients.adequacy import PER_1000_KCAL, ProfileLimits
from recipes.reformulate.limits import all_limits
from recipes.reformulate.problem import NOISE, step_g
from recipes.reformulate.proposal import Choice, Wishes


def check(choices: Sequence[Choice], profiles: Sequence[ProfileLimits], wishes: Wishes) -> None:
    """Raises ValueError with the first thing that contradicts itself."""
    for sentence in (*_choices(choices), *_profiles(profiles, wishes), *_wishes(choices, wishes)):
        raise ValueError(sentence)


def _is_amount(value: float | None) -> bool:
    return value is not None and math.isfinite(value) and value >= 0


def _choices(choices: Sequence[Choice]) -> Iterator[str]:
    for choice in choices:
        food = choice.portion.food
        for what, grams in (("least", choice.least_g), ("most", choice.most_g), ("present", choice.before_g)):
            if not _is_amount(grams):
                yield f"The {what} amount of {food} must be a number of 0 g or more, not {grams} g."
        if choice.least_g > choice.most_g:
            yield f"{food}: the least amount, {choice.least_g:g} g, is above the most, {choice.most_g:g} g."
        if choice.cost_per_kg is not None and not _is_amount(choice.cost_per_kg):
            yield f"The cost of {food} must be a number of 0 or more, not {choice.cost_per_kg}."
        yield from _whole_steps(choice)
    if not any(choice.most_g > choice.least_g for choice in choices):
        yield "Nothing may move: let at least one ingredient or supplement have room between least and most."


def _whole_steps(choice: Choice) -> Iterator[str]:
    if not choice.portion.is_supplement or choice.most_g <= choice.least_g:
        return
    step = step_g(choice)
    if math.ceil(choice.least_g / step - NOISE) > math.floor(choice.most_g / step + NOISE):
        yield (
            f"{choice.portion.food} is given in steps of {step:g} g: "
            f"no whole step lies between {choice.least_g:g} g and {choice.most_g:g} g."
        )


def _profiles(profiles: Sequence[ProfileLimits], wishes: Wishes) -> Iterator[str]:
    if not profiles:
        yield "Choose at least one profile to meet."
    for profile in profiles:
        if profile.basis != PER_1000_KCAL:
            yield f"{profile.name} is not given per 1000 kcal: no recipe can be judged against it."
    if not 0 <= wishes.margin < 1:
        yield f"The margin must be at least 0 % and below 100 %, not {wishes.margin:.0%}."
        return
    for profile in all_limits(profiles, wishes):
        # the minimum of vitamin A counts carotene, its maximum does not: they cannot cross
        limits = profile.limits.drop("vitamin_a", errors="ignore")
        crossed = limits[limits["minimum"] > limits["maximum"] * (1 + NOISE)]
        for name, low, high in crossed[["name", "minimum", "maximum"]].itertuples(index=False):
            margin = f" with a margin of {wishes.margin:.0%}" if wishes.margin else ""
            yield f"{name} ({profile.name}){margin}: the least, {low:g}, is above the most, {high:g}."


def _wishes(choices: Sequence[Choice], wishes: Wishes) -> Iterator[str]:
    yield from _bands(wishes)
    if wishes.kcal is not None:
        least, most = wishes.kcal
        if not (_is_amount(least) and _is_amount(most) and most >= least > 0):
            yield f"The energy asked for must go upwards from above 0 kcal, not from {least} to {most}."
    if wishes.cost_ceiling is not None and not (_is_amount(wishes.cost_ceiling) and wishes.cost_ceiling > 0):
        yield f"The cost ceiling must be a number above 0, not {wishes.cost_ceiling}."
    if wishes.most_supplements is not None:
        must = sum(choice.portion.is_supplement and choice.least_g > 0 for choice in choices)
        if wishes.most_supplements < 0:
            yield f"The largest number of supplements must be 0 or more, not {wishes.most_supplements}."
        elif must > wishes.most_supplements:
            yield f"{must} supplements have to stay, and at most {wishes.most_supplements} are asked for."


def _bands(wishes: Wishes) -> Iterator[str]:
    seen = set()
    for band in wishes.bands:
        name = band.name or band.nutrient.replace("_", " ")
        for bound in (band.least, band.most):
            if bound is not None and not _is_amount(bound):
                yield f"{name}: what is asked per 1000 kcal must be a number of 0 or more, not {bound}."
        if band.nutrient in seen:
            yield f"{name} is asked for twice."
        seen.add(band.nutrient)
