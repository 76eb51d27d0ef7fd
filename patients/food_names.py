"""A food of the table by the name that somebody typed."""

from django.core.exceptions import ValidationError

from nutrients import queries as nutrients
from nutrients.models import Food

MOST_NAMED = 3


def food_called(typed: str) -> Food | None:
    """The food of that name, or the only one that holds its words; None for nothing typed.

    Raises ValidationError when there is none, or several: none of them is taken by itself.
    """
    typed = typed.strip()
    if not typed:
        return None
    if food := Food.objects.filter(name__iexact=typed).first():
        return food
    found = list(nutrients.foods_matching(words=typed, supplements=False)[: MOST_NAMED + 1])
    if len(found) == 1:
        return found[0]
    if not found:
        raise ValidationError("No food of the table is called so: try another word, or add it to the foods.")
    named = "; ".join(food.name for food in found[:MOST_NAMED])
    raise ValidationError(f"Several foods are called so, such as {named}. Enter one name in full.")
