"""What the practice can do about a food, on the food's page."""

from django import template
from django.utils import timezone

from nutrients.entry_forms import NOT_ENTERED
from nutrients.models import FoodValue, Nutrient

register = template.Library()


@register.inclusion_tag("nutrients/_upkeep.html", takes_context=True)
def upkeep(context, food):
    """Estimates and bounds with their ranges, what can be changed, and which nutrients have no value."""
    stored = list(food.values.select_related("nutrient"))
    known = {value.nutrient_id for value in stored if value.kind != FoodValue.Kind.BOUND}
    return {
        "food": food,
        "perms": context["perms"],
        "today": timezone.localdate(),
        "estimates": [value for value in stored if value.kind == FoodValue.Kind.ESTIMATE],
        "bounds": [value for value in stored if value.kind == FoodValue.Kind.BOUND],
        "known": [value.nutrient for value in stored if value.nutrient_id in known],
        "unknown": Nutrient.objects.filter(derived=False).exclude(pk__in=known).exclude(key__in=NOT_ENTERED),
    }
