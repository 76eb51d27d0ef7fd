"""Fields of a plan's form: whole numbers, the shares of meals, a food by its name."""

from django import forms
from django.core.exceptions import ValidationError

from nutrients.models import Food
from patients.food_names import food_called
from patients.meals import read_split


class WholeNumber(forms.IntegerField):
    def __init__(self, *, most: int, what: str, **options):
        wrong = dict.fromkeys(("invalid", "min_value", "max_value", "required"), f"Enter 1 to {most} {what}.")
        box = forms.TextInput(attrs={"inputmode": "numeric", "class": "number", "autocomplete": "off"})
        super().__init__(min_value=1, max_value=most, widget=box, error_messages=wrong, **options)


class SplitField(forms.CharField):
    """Shares of the meals, typed as percents in a row."""

    def prepare_value(self, value):
        return ", ".join(map(str, value)) if isinstance(value, list) else value

    def to_python(self, value):
        try:
            return read_split(super().to_python(value))
        except ValueError as problem:
            raise ValidationError(str(problem)) from None


class FoodNameField(forms.CharField):
    """A food of the table, typed by its name."""

    def prepare_value(self, value):
        if not isinstance(value, int):
            return value
        return Food.objects.filter(pk=value).values_list("name", flat=True).first()

    def clean(self, value):
        return food_called(super().clean(value))
