"""What uses a food: asked of the apps above, which register how they find it.

The nutrient database knows neither recipes nor plans. Each app hands in a function when it starts.
"""

from collections.abc import Callable
from dataclasses import dataclass

from nutrients.models import Food


@dataclass(frozen=True)
class Use:
    """Something that a food goes into. where: in what way, such as `version 2, approved: 120 g`."""

    label: str
    url: str
    where: str


FindUses = Callable[[Food], list[Use]]
_finders: dict[str, FindUses] = {}


def register(what: str, find: FindUses) -> None:
    """what: what the uses are, such as `Recipes`; registering it anew replaces the function."""
    _finders[what] = find


def uses_of(food: Food) -> list[tuple[str, list[Use]]]:
    """What uses the food, under what it is, in the order of registering; empty groups are left out."""
    found = ((what, find(food)) for what, find in _finders.items())
    return [(what, uses) for what, uses in found if uses]
