"""Everything that the page of foods side by side shows, read and worked out."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrients import queries
from nutrients.food_amounts import PER, PER_100G
from nutrients.food_comparison import MOST, ComparedRow, compared, unknown_in
from nutrients.food_queries import nutrients_with_energy
from nutrients.models import Food

FOUND_AT_ONCE = 12
LONGEST_KEY = 18  # digits: what a primary key can have


@dataclass(frozen=True)
class Column:
    """A food of the comparison; the primary keys for links that take it away or put it first."""

    food: Food
    without: list[int]
    first: list[int]
    unknown: list[str]


@dataclass(frozen=True)
class ComparisonPage:
    """problem: why nothing is compared, or what was left out, "" when all is well.

    found: foods to add, each with the primary keys of a comparison that has it.
    """

    foods: list[Food]
    problem: str
    per: str
    columns: list[Column]
    groups: list[tuple[str, list[ComparedRow]]]
    words: str
    found: list[tuple[Food, list[int]]]

    @property
    def per_what(self) -> str:
        return PER[self.per]

    @property
    def bases(self) -> list[tuple[str, str]]:
        return list(PER.items())

    @property
    def is_full(self) -> bool:
        return len(self.foods) >= MOST


def chosen(keys: Sequence[str]) -> list[Food]:
    """The foods with these primary keys as they stand in an address, each once, in their order."""
    asked = dict.fromkeys(int(key) for key in keys if key.isdecimal() and len(key) <= LONGEST_KEY)
    foods = Food.objects.in_bulk(list(asked)) if asked else {}
    return [foods[key] for key in asked if key in foods]


def of(keys: Sequence[str], per: str, words: str) -> ComparisonPage:
    """keys, per and words as they were asked for: what is not known gives way or is told."""
    foods = chosen(keys)
    per = per if per in PER else PER_100G
    words = words.replace("\0", "").strip()[:100]
    groups = _groups(foods, per) if 2 <= len(foods) <= MOST else []
    return ComparisonPage(
        foods=foods,
        problem=_problem(foods, len(set(keys)) - len(foods)),
        per=per,
        columns=_columns(foods, groups),
        groups=groups,
        words=words,
        found=_found(foods, words),
    )


def _problem(foods: list[Food], missing: int) -> str:
    if len(foods) > MOST:
        return f"{len(foods)} foods are chosen, and {MOST} at most stand side by side: take some away."
    if not foods:
        return "No food is chosen yet: find the first one."
    if len(foods) == 1:
        return f"Choose another food to compare with {foods[0]}."
    return "A food that was asked for is not here: it was left out." if missing else ""


def _groups(foods: list[Food], per: str) -> list[tuple[str, list[ComparedRow]]]:
    names = [food.name for food in foods]
    table = queries.food_table(foods=names).loc[names]
    return compared(nutrients_with_energy(), table, per, queries.estimates(names))


def _columns(foods: list[Food], groups) -> list[Column]:
    keys = [food.pk for food in foods]
    unknown = unknown_in(groups, foods)
    return [
        Column(
            food,
            without=[key for key in keys if key != food.pk],
            first=[food.pk, *(key for key in keys if key != food.pk)],
            unknown=unknown.get(food, []),
        )
        for food in foods
    ]


def _found(foods: list[Food], words: str) -> list[tuple[Food, list[int]]]:
    if not words:
        return []
    keys = [food.pk for food in foods]
    others = queries.foods_matching(words=words).exclude(pk__in=keys)[:FOUND_AT_ONCE]
    return [(food, [*keys, food.pk]) for food in others]
