"""The form field for numbers as people write them."""

import re

from django import forms
from django.core.exceptions import ValidationError

FIGURES = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)")
SPACED = re.compile(r"(?<=\d)\s(?=\d{3}(?!\d))")  # 1 200, also with spaces that do not break
GROUPED = re.compile(r"\d{1,3}(,\d{3})+")  # 1,200: a thousand or one and a bit?


class NumberField(forms.FloatField):
    """A number written with a decimal point or a decimal comma; one that reads two ways is asked about."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "class": "number", "autocomplete": "off"})
    default_error_messages = {
        "required": "Enter a number.",
        "invalid": "Enter a number in figures, such as 18.4.",
        "min_value": "Enter %(limit_value)g or more.",
        "max_value": "Enter at most %(limit_value)g.",
    }

    def prepare_value(self, value):
        return int(value) if isinstance(value, float) and value.is_integer() else value

    def to_python(self, value):
        text = SPACED.sub("", str(value).strip()) if value is not None else ""
        if GROUPED.fullmatch(text):
            plain, decimal = text.replace(",", ""), text.replace(",", ".", 1)
            raise ValidationError(f"“{text}” can be read two ways: write {plain} or {decimal}.", "two_ways")
        if text and not FIGURES.fullmatch(text):
            raise ValidationError(self.error_messages["invalid"], "invalid")
        return super().to_python(text.replace(",", "."))
