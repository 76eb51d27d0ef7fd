"""The substitutions of a version, on the page of its recipe."""

from django import template

from recipes.models import RecipeVersion
from recipes.substitution_page import KeptRow, kept_of

register = template.Library()


@register.simple_tag
def substitutions_of(version: RecipeVersion) -> list[KeptRow]:
    return kept_of(version)
