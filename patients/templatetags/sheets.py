"""A sheet's record as people read it."""

from datetime import date

from django import template
from django.utils.formats import date_format
from django.utils.safestring import mark_safe

from patients.timeline_picture import draw

register = template.Library()


@register.filter
def day(iso: str | None) -> str:
    """A date of the record, such as `2026-03-01`, as `1 March 2026`; an empty text for none."""
    return date_format(date.fromisoformat(iso), "j F Y") if iso else ""


@register.simple_tag
def timeline_picture(stations) -> str:
    """When everything goes in, drawn; its words are escaped by the drawing."""
    return mark_safe(draw(stations))
