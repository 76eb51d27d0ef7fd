"""What a reformulation starts from: the latest version as it stands, or with one food in another's place.

A swap comes in the page's query: `replace` and `by` are foods' primary keys, `grams` what of the new food
goes in for the whole batch (as much as of the old one when it is left out). Nothing of it is stored.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from django.core.exceptions import ValidationError

from nutrients import queries as nutrients
from nutrients.fields import NumberField
from nutrients.models import Food
from recipes import obstacles, queries
from recipes.line_forms import HEAVIEST_G, LIGHTEST_G
from recipes.models import Ingredient, RecipeVersion, When
from recipes.presentation import as_written
from recipes.substitutions import moment


@dataclass(frozen=True)
class Start:
    """swap: what was put in another food's place, in words. problem: why a swap could not be made."""

    version: RecipeVersion
    ingredients: list[Ingredient]
    swap: str = ""
    problem: str = ""

    def line(self, food: int, when: str) -> Ingredient | None:
        """The present line of this food (primary key) at this moment."""
        return next((x for x in self.ingredients if (x.food_id, x.when) == (food, when)), None)


def start_of(version: RecipeVersion, query: Mapping[str, str]) -> Start:
    """A swap that cannot be made is told, and the version as it stands is the start."""
    ingredients = list(queries.INGREDIENTS.filter(version=version))
    if "replace" not in query:
        return Start(version, ingredients)
    try:
        return _swapped(version, ingredients, query)
    except ValueError as problem:
        return Start(version, ingredients, problem=str(problem))


def _swapped(version: RecipeVersion, ingredients: list[Ingredient], query: Mapping[str, str]) -> Start:
    """Raises ValueError with why there is no such swap."""
    old = [line for line in ingredients if str(line.food_id) == query["replace"]]
    by = query.get("by", "")
    food = _foods().filter(pk=int(by)).first() if by.isdecimal() and len(by) < 10 else None
    if not old or food is None or food in [line.food for line in old]:
        raise ValueError("The swap that was asked for cannot be made: one of its foods is not there.")
    if caution := nutrients.toxic_caution(food.name):
        raise ValueError(obstacles.forbidden(caution))
    grams = _grams(query.get("grams", ""), sum(line.grams for line in old))
    new = Ingredient(food=food, grams=grams, when=When.IN_THE_POT)
    new.when = moment(queries.portion(old[0]), queries.portion(new))
    lines = [new if line is old[0] else line for line in ingredients if line is old[0] or line not in old]
    said = f"{as_written(grams)} g {food} instead of {old[0].food}"
    return Start(version, _without_a_twin(lines, new), said)


def _grams(text: str, present: float) -> float:
    if not text:
        return present
    try:
        return NumberField(min_value=LIGHTEST_G, max_value=HEAVIEST_G).clean(text)
    except ValidationError as problem:
        said = " ".join(problem.messages)
        raise ValueError(
            f"The swap that was asked for cannot be made: its grams are no amount. {said}"
        ) from None


def _without_a_twin(lines: list[Ingredient], new: Ingredient) -> list[Ingredient]:
    """One line for the new food, when it was in the recipe at this moment already."""
    twins = [x for x in lines if x is not new and (x.food_id, x.when) == (new.food_id, new.when)]
    new.grams += sum(twin.grams for twin in twins)
    return [line for line in lines if line is new or line not in twins]


def _foods():
    return Food.objects.select_related("supplement").prefetch_related("measures")


def foods_by_key(pks) -> dict[int, Food]:
    return {food.pk: food for food in _foods().filter(pk__in=pks)}
