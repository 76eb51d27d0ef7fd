"""What uses a food, on the food's page."""

from django import template

from nutrients.uses import uses_of

register = template.Library()


@register.inclusion_tag("nutrients/_uses.html")
def used_in(food):
    return {"food": food, "groups": uses_of(food)}
