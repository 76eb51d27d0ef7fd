"""A dog's age and weights in words."""

from django import template
from django.utils.html import conditional_escape
from django.utils.safestring import mark_safe

from patients.life_stage import age_in_words
from patients.sentences import describe_change, weight_of
from patients.sentences import in_kg as kilograms

register = template.Library()


@register.filter
def age(patient, day):
    """On a day; of a dog that died, on its last."""
    return age_in_words(patient.born, patient.last_day or day, patient.born_is_estimate)


@register.filter
def after_colon(label):
    """The explanation in a label such as `low: under 1 hour a day`."""
    return label.partition(": ")[2]


@register.filter
def in_kg(kg):
    return kilograms(kg)


@register.filter
def weight(visit):
    return weight_of(visit)


@register.filter
def change(weigh_in):
    return describe_change(weigh_in)


@register.filter
def raised(text):
    """The exponent of metabolic weight, written `kg^0.75`, as it is printed."""
    return mark_safe(conditional_escape(text).replace("kg^0.75", "kg<sup>0.75</sup>"))
