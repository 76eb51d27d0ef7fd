"""What the forms have in common in which a row of the reference data is changed."""

from django import forms

from nutrients import changes
from nutrients.fields import NumberField
from nutrients.models import Certainty

CERTAINTIES = [(value, f"{value} ({label})") for value, label in Certainty.choices]
CERTAINTY_HELP = "“Verified” when you have the publication before you."


class ReasonForm(forms.ModelForm):
    """A row of the reference data with the reason for its change, and the state in which it was seen."""

    reason = forms.CharField(
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why: it stays with the row."},
        help_text="It stays with the row, with your name and the day.",
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["seen"].initial = changes.seen_mark(self.instance)

    def why(self) -> dict[str, str]:
        """The reason, and the mark of the row as it was seen."""
        return {name: self.cleaned_data[name] for name in ("reason", "seen")}

    def clean(self):
        cleaned = super().clean()
        if self.instance.pk and not self.errors and not set(self.changed_data) - {"reason", "seen"}:
            raise forms.ValidationError("Nothing is different from what stands there.", "same")
        return cleaned


def number(label: str, most: float, **options) -> NumberField:
    """A field for a number from 0 to `most`."""
    errors = {
        "min_value": "It cannot be below 0.",
        "max_value": f"It cannot be above {most:g}: check the number and its unit.",
    }
    return NumberField(label=label, min_value=0, max_value=most, error_messages=errors, **options)
