"""Form fields: names, weights, ages and volumes with their unit, yes or no, lists in lines."""

from datetime import date, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from nutrients.fields import NumberField
from nutrients.units import LITRES_PER_QUART, kg_from
from patients.energy import check_weight
from patients.life_stage import born_at_most
from patients.sentences import is_seen, without_unseen

UNITS = (("kg", "kg"), ("lb", "lb"))


class NameField(forms.CharField):
    """A name in any script, without what is not seen and would upset the line it stands in."""

    def to_python(self, value):
        name = without_unseen(super().to_python(value))
        return name if is_seen(name) else ""


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

    default_error_messages = {
        "required": "Enter the weight, such as 18.4.",
        "min_value": "A dog weighs at least %(limit_value)g kg: check the number and its unit.",
    }

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


AGES = (("years", "years"), ("months", "months"), ("weeks", "weeks"))


class AgeWidget(forms.MultiWidget):
    """The number and its unit side by side."""

    def __init__(self):
        unit = forms.Select(attrs={"aria-label": "Unit of the age"}, choices=AGES)
        super().__init__({"": NumberField.widget, "unit": unit})

    def decompress(self, value):
        return [None, "years"]

    def id_for_label(self, id_):
        return f"{id_}_0" if id_ else id_


class AgeField(forms.MultiValueField):
    """About how old a dog is, handed on as the birth date that this makes; nothing is stored of it."""

    def __init__(self, **options):
        fields = (NumberField(min_value=0, max_value=1000), forms.ChoiceField(choices=AGES))
        super().__init__(fields, widget=AgeWidget(), **options)

    def compress(self, values) -> date | None:
        number, unit = values or (None, "years")
        if number is None:
            return None
        today = timezone.localdate()
        if unit == "weeks":
            return today - timedelta(weeks=number)
        return born_at_most(round(number * 12 if unit == "years" else number), today)


LITRES = {"l": 1.0, "qt": LITRES_PER_QUART}
VOLUMES = (("l", "litres"), ("qt", "quarts (US)"))


class LitresWidget(forms.MultiWidget):
    """The number and its unit side by side; shows a stored volume in litres."""

    def __init__(self):
        unit = forms.Select(attrs={"aria-label": "Unit of the volume"}, choices=VOLUMES)
        super().__init__({"": NumberField.widget, "unit": unit})

    def decompress(self, value):
        return [None, "l"] if value is None else [f"{value:.2f}".rstrip("0").rstrip("."), "l"]

    def id_for_label(self, id_):
        return f"{id_}_0" if id_ else id_


class LitresField(forms.MultiValueField):
    """A volume typed in litres or quarts, handed on in litres."""

    def __init__(self, *, low: float, high: float, **options):
        self.low, self.high = low, high
        fields = (NumberField(), forms.ChoiceField(choices=VOLUMES))
        super().__init__(fields, widget=LitresWidget(), **options)

    def compress(self, values):
        number, unit = values or (None, "l")
        if number is None:
            return None
        litres = number * LITRES[unit or "l"]
        if not self.low <= litres <= self.high:
            raise ValidationError(
                f"That is {litres:.1f} litres: enter {self.low:g} to {self.high:g} litres.", "volume"
            )
        return litres


class YesNoField(forms.TypedChoiceField):
    """Yes, no or not told: what was not told is not a no."""

    CHOICES = (("", "not told"), ("yes", "yes"), ("no", "no"))

    def __init__(self, **options):
        super().__init__(
            choices=self.CHOICES, coerce="yes".__eq__, empty_value=None, required=False, **options
        )

    def prepare_value(self, value):
        return {True: "yes", False: "no", None: ""}.get(value, value)


class LinesField(forms.CharField):
    """A text of which each line that is not blank is one entry, at most `longest` characters long.

    More than MOST_LINES are a list pasted into the wrong place.
    """

    MOST_LINES = 200

    widget = forms.Textarea(attrs={"rows": 3})

    def __init__(self, *, longest: int, **options):
        self.longest = longest
        super().__init__(required=False, **options)

    def to_python(self, value) -> list[str]:
        lines = [line.strip() for line in super().to_python(value).splitlines() if line.strip()]
        if len(lines) > self.MOST_LINES:
            raise ValidationError(f"These are {len(lines)} lines: enter at most {self.MOST_LINES}.", "many")
        for line in lines:
            if len(line) > self.longest:
                raise ValidationError(
                    f"“{line[:30]}…” is {len(line)} characters long: at most {self.longest}.", "long"
                )
        return list(dict.fromkeys(lines))
