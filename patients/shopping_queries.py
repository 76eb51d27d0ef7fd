"""The practice's prices for a plan's shopping, and what its substitutions cost beside it."""

from collections.abc import Iterable
from dataclasses import dataclass

from nutrients.models import Price
from patients.alternatives import Alternative
from patients.shopping import Pack, Shopping, shopping
from patients.workings import Workings


@dataclass(frozen=True)
class Compared:
    """A substitution and what a day costs with it; None where no price is known."""

    alternative: Alternative
    cost_per_day: float | None
    unpriced: tuple[str, ...]


def packs_of(foods: Iterable[str]) -> dict[str, Pack]:
    prices = Price.objects.filter(food__name__in=set(foods)).select_related("food__supplement")
    return {price.food.name: Pack(price.amount, price.pack_g) for price in prices}


def shopping_of(workings: Workings) -> Shopping:
    """Raises ValueError for a plan without a batch."""
    if workings.batch is None:
        raise ValueError("A plan that cannot be worked out has no shopping list.")
    foods = [line.portion.food for line in workings.batch.scaled.lines]
    return shopping(workings.batch, packs_of(foods), workings.batches_a_month)


def compared(workings: Workings, alternatives: Iterable[Alternative]) -> list[Compared]:
    """The substitutions that are offered, the cheapest day first, those without a price last."""
    offered = [each for each in alternatives if each.offered and each.batch]
    packs = packs_of(line.portion.food for each in offered for line in each.batch.scaled.lines)
    found = []
    for each in offered:
        bought = shopping(each.batch, packs, workings.batches_a_month)
        found.append(Compared(each, bought.cost_per_day, bought.unpriced))
    return sorted(found, key=lambda one: (one.cost_per_day is None, one.cost_per_day or 0))
