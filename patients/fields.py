"""Form fields: numbers with a decimal comma or point, weights with their unit, lists in lines."""

import re

from django import forms
from django.core.exceptions import ValidationError

from nutrients.units import kg_from
from patients.energy import check_weight

FIGURES = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)")
GROUPED = re.compile(r"\d{1,3}(,\d{3})+")  # 1,200: a thousand or one and a bit?
UNITS = (("kg", "kg"), ("lb", "lb"))


class NumberField(forms.FloatField):
    """A number written with a decimal point or a decimal comma; one that reads two ways is asked about."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "class": "number", "autocomplete": "off"})
    default_error_messages = {"invalid": "Enter a number in figures, such as 18.4."}

    def prepare_value(self, value):
        return int(value) if isinstance(value, float) and value.is_integer() else value

    def to_python(self, value):
        text = str(value).strip() if value is not None else ""
        if GROUPED.fullmatch(text):
            plain, decimal = text.replace(",", ""), text.replace(",", ".", 1)
            raise ValidationError(f"“{text}” can be read two ways: write {plain} or {decimal}.", "two_ways")
        if text and not FIGURES.fullmatch(text):
            raise ValidationError(self.error_messages["invalid"], "invalid")
        return super().to_python(text.replace(",", "."))


class WeightWidget(forms.MultiWidget):
    """The number and its unit side by side; shows a stored weight in kg."""

    def __init__(self):
        unit = forms.Select(attrs={"aria-label": "Unit of the weight"}, choices=UNITS)
        super().__init__({"": NumberField.widget, "unit": unit})

    def decompress(self, value):
        if value is None:
            return [None, "kg"]
        return [f"{value:.3f}".rstrip("0").rstrip("."), "kg"]

    def id_for_label(self, id_):
        return f"{id_}_0" if id_ else id_


class WeightField(forms.MultiValueField):
    """A body weight typed in kg or lb, handed on in kg. Outside a dog's range it is refused."""

    default_error_messages = {"required": "Enter the weight, such as 18.4."}

    def __init__(self, **options):
        fields = (NumberField(), forms.ChoiceField(choices=UNITS))
        super().__init__(fields, widget=WeightWidget(), **options)

    def compress(self, values):
        number, unit = values or (None, "kg")
        if number is None:
            return None
        try:
            return check_weight(kg_from(number, unit or "kg"))
        except ValueError as problem:
            spoken = "" if unit != "lb" else f" ({number:g} lb were typed.)"
            raise ValidationError(f"{problem}{spoken}", "weight") from None


class LinesField(forms.CharField):
    """A text of which each line that is not blank is one entry, at most `longest` characters long."""

    widget = forms.Textarea(attrs={"rows": 3})

    def __init__(self, *, longest: int, **options):
        self.longest = longest
        super().__init__(required=False, **options)

    def to_python(self, value) -> list[str]:
        lines = [line.strip() for line in super().to_python(value).splitlines() if line.strip()]
        for line in lines:
            if len(line) > self.longest:
                raise ValidationError(
                    f"“{line[:30]}…” is {len(line)} characters long: at most {self.longest}.", "long"
                )
        return list(dict.fromkeys(lines))
