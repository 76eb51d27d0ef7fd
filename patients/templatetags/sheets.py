"""A sheet's record as people read it."""

from datetime import date

from django import template
from django.utils.safestring import mark_safe

from nutrients import language, owner_units
from nutrients.language import say
from patients.owner_language import told_as_written
from patients.sheet_pictures import adequacy_squares, energy_bar, weight_curve
from patients.timeline_picture import draw
from recipes.printing import stored_address

register = template.Library()
UNBROKEN = "\N{NO-BREAK SPACE}"


@register.filter
def day(iso: str | None) -> str:
    """A date of the record, such as `2026-03-01`, as `1 March 2026`; an empty text for none."""
    return language.day(date.fromisoformat(iso)) if iso else ""


@register.simple_tag
def timeline_picture(stations) -> str:
    """When everything goes in, drawn; its words are escaped by the drawing."""
    return mark_safe(draw(stations))


@register.simple_tag
def day_picture(sheet) -> str:
    """Where the day's energy comes from; nothing to draw when all of it is the recipe's."""
    parts = sheet.get("energy", {}).get("day", [])
    return mark_safe(energy_bar(parts, say("A day's energy"))) if len(parts) > 1 else ""


@register.simple_tag
def batch_picture(sheet) -> str:
    parts = sheet.get("energy", {}).get("batch", [])
    return mark_safe(energy_bar(parts, say("What this food's energy is made of")))


@register.filter
def weight(grams: float) -> str:
    """A food's weight in the owner's units; a line may end between the two, never inside one."""
    return owner_units.weight(float(grams)).replace(" ", UNBROKEN).replace(f"{UNBROKEN}(", " (")


@register.filter
def ounces(grams: float) -> str:
    return owner_units.ounces(float(grams))


@register.filter
def heat(celsius: float) -> str:
    return owner_units.heat(float(celsius))


@register.filter
def water(grams: float) -> str:
    return owner_units.water(float(grams))


@register.filter
def body(kg: float) -> str:
    """A dog's weight in the owner's unit."""
    return owner_units.body(float(kg))[0]


@register.filter
def other_body(kg: float) -> str:
    """The same in the other unit."""
    return owner_units.body(float(kg))[1]


@register.simple_tag
def curve_picture(sheet) -> str:
    return mark_safe(weight_curve(sheet.get("curve", []), sheet["dog"]["target_kg"]))


@register.simple_tag
def adequacy_picture(sheet) -> str:
    return mark_safe(adequacy_squares(sheet["adequacy"]["summary"]))


class InItsLanguage(template.Node):
    def __init__(self, inside: template.NodeList, sheet: template.base.FilterExpression):
        self.inside, self.sheet = inside, sheet

    def render(self, context) -> str:
        with told_as_written(self.sheet.resolve(context)):
            return self.inside.render(context)


@register.tag
def in_its_language(parser, token) -> InItsLanguage:
    """`{% in_its_language sheet %} ... {% end_its_language %}`: told as the record was written."""
    _, sheet = token.split_contents()
    inside = parser.parse(("end_its_language",))
    parser.delete_first_token()
    return InItsLanguage(inside, parser.compile_filter(sheet))


@register.simple_tag
def stored_picture(name) -> str:
    """The address of a stored picture for the printer; empty when it is gone."""
    return stored_address(name)
