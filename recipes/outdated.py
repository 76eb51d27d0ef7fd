"""What still uses an older approved version of a recipe: asked of the app above, which registers its answer.

The library knows no plans. What it needs of one stands in `Outdated`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from recipes.models import Recipe


@dataclass(frozen=True)
class Outdated:
    """where: in what way it is used, such as `version 1, issued`. next_url: where that is mended."""

    label: str
    url: str
    where: str
    next_url: str
    next_label: str


FindOutdated = Callable[[Recipe], list[Outdated]]
_source: dict[str, FindOutdated] = {}


def register(find: FindOutdated) -> None:
    _source["find"] = find


def outdated(recipe: Recipe) -> list[Outdated]:
    return _source["find"](recipe) if _source else []
