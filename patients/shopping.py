"""What to buy for a batch and for a month, by aisle, and what it costs. Pure calculation.

A price that nobody wrote down is unknown: a sum with one is told as "at least".
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from nutrients.language import later
from patients.batch import Batch
from patients.rounding import whole_batches

# Where a group of foods stands in a shop, in the order of a round through it; common practice, no source.
AISLES = {
    later("Fruit and vegetables"): ("vegetable", "fruit", "mushroom"),
    later("Meat"): ("muscle meat", "organ", "animal fat"),
    later("Fish"): ("fish & shellfish",),
    later("Dairy and eggs"): ("dairy", "egg"),
    later("Dry goods and cans"): (
        "grain & starch", "legume", "seed & nut", "seaweed & algae", "stock & broth", "yeast & gelatin",
        "sweetener",
    ),
    later("Oils"): ("plant oil", "fish oil", "oil supplement"),
    later("Supplements"): (
        "mineral supplement", "vitamin supplement", "amino acid supplement", "seaweed supplement",
        "multi supplement", "salt",
    ),
}  # fmt: skip
OTHER = later("Other")


@dataclass(frozen=True)
class Pack:
    """What a pack costs and weighs [g]."""

    cost: float
    grams: float


@dataclass(frozen=True)
class Item:
    """One food to buy. batch_g, month_g: with what is cut away, where that is known.

    pack_g: what a pack weighs; packs: whole packs for the month; batch_cost: of what the batch takes.
    None where no price is known.
    """

    food: str
    aisle: str
    batch_g: float
    month_g: float
    waste_unknown: bool
    dose_unit: str
    batch_doses: float | None
    month_doses: float | None
    pack_g: float | None
    packs: int | None
    batch_cost: float | None


@dataclass(frozen=True)
class Shopping:
    """A batch's and a month's shopping. unpriced: foods without a price, which the costs leave out."""

    items: tuple[Item, ...]
    batches: int
    days: int
    kcal: float

    @property
    def unpriced(self) -> tuple[str, ...]:
        return tuple(item.food for item in self.items if item.batch_cost is None)

    @property
    def batch_cost(self) -> float | None:
        """What is known of it; None when no price is."""
        known = [item.batch_cost for item in self.items if item.batch_cost is not None]
        return sum(known) if known else None

    @property
    def cost_per_day(self) -> float | None:
        return None if self.batch_cost is None else self.batch_cost / self.days

    @property
    def cost_per_1000_kcal(self) -> float | None:
        return None if self.batch_cost is None else self.batch_cost * 1000 / self.kcal

    def whole_packs(self, most_days: int) -> list[tuple[str, int, int]]:
        """(food, days, packs) of the batch nearest to this one in which a food's packs come out whole.

        Only foods of which a pack is known; supplements last longer than any batch.
        """
        found = []
        for item in self.items:
            if item.pack_g and item.batch_doses is None:
                per_day = item.batch_g / self.days / item.pack_g
                offers = whole_batches({item.food: per_day}, self.days, most_days)
                found += [(item.food, offer.days, offer.pieces[item.food]) for offer in offers[:1]]
        return found

    def by_aisle(self) -> list[tuple[str, list[Item]]]:
        """In the order of a round through the shop."""
        aisles = [*AISLES, OTHER]
        found = [(aisle, [item for item in self.items if item.aisle == aisle]) for aisle in aisles]
        return [(aisle, items) for aisle, items in found if items]


def shopping(batch: Batch, prices: Mapping[str, Pack], batches_a_month: int) -> Shopping:
    """prices: food -> its pack. Foods as purchased; supplements as given."""
    doses = {dose.food: dose for dose in batch.doses}
    items = [
        _item(line.portion, _bought(line, doses), line.purchase_g is None, prices, batches_a_month, doses)
        for line in batch.scaled.lines
    ]
    return Shopping(tuple(items), batches_a_month, batch.scaled.days, batch.analysis.energy.kcal)


def _bought(line, doses) -> float:
    if line.portion.is_supplement:
        return doses[line.portion.food].grams_per_batch
    return line.grams if line.purchase_g is None else line.purchase_g


def _item(portion, grams: float, waste_unknown: bool, prices, batches: int, doses) -> Item:
    pack, dose = prices.get(portion.food), doses.get(portion.food)
    return Item(
        food=portion.food,
        aisle=next((aisle for aisle, groups in AISLES.items() if portion.group in groups), OTHER),
        batch_g=grams,
        month_g=grams * batches,
        waste_unknown=waste_unknown and not portion.is_supplement,
        dose_unit=portion.dose_unit,
        batch_doses=dose.batch_amount if dose else None,
        month_doses=dose.batch_amount * batches if dose else None,
        pack_g=pack.grams if pack else None,
        packs=math.ceil(grams * batches / pack.grams - 1e-9) if pack else None,
        batch_cost=grams / pack.grams * pack.cost if pack else None,
    )
