"""Numbers as people read them. What is not known is said, never shown as zero."""

import math

from django import template
from django.utils.safestring import mark_safe

from nutrients.language import number
from nutrients.units import kj_from_kcal, lb_from_kg

register = template.Library()


@register.filter
def amount(value, decimals=1):
    """A number with its thousands separator, or the word `unknown`."""
    if value is None or value == "" or (isinstance(value, float) and math.isnan(value)):
        return mark_safe('<span class="unknown">unknown</span>')
    return number(float(value), int(decimals))


@register.filter
def figures(value, digits=4):
    """A number with so many significant digits, such as 1,235 or 0.01235, or the word `unknown`."""
    if value is None or not math.isfinite(value):
        return amount(None)
    places = digits - 1 - math.floor(math.log10(abs(value))) if value else 0
    text = number(round(value, places), max(places, 0))
    return text.rstrip("0").rstrip(".,") if places > 0 else text


@register.filter
def percent(share):
    """A share (0..1) as a whole percentage, never rounded up to 100."""
    return f"{math.floor(float(share) * 100)} %"


@register.filter
def grams(value):
    """Grams as a scale shows them: whole from 10 g on, tenths below."""
    return amount(value, 0 if value is not None and float(value) >= 10 else 1)


@register.filter
def kj(kcal):
    return amount(kj_from_kcal(float(kcal)), 0)


@register.filter
def pounds(kg):
    return amount(lb_from_kg(float(kg)), 1)
