"""The forms in which open limits are accepted: with a reason, or with a veterinarian's sign-off."""

from collections.abc import Sequence

from django import forms
from django.utils import timezone

from recipes.acceptance import OpenLimit
from recipes.acceptance_services import SignOff

TICK_ONE = "Tick the limits that are accepted."


class TickBoxes(forms.CheckboxSelectMultiple):
    """Led to as a whole, by the id that their frame carries."""

    def id_for_label(self, id_, index=None):
        return id_ if index is None else super().id_for_label(id_, index)


class ReasonedForm(forms.Form):
    """Limits that a practitioner's reason is enough for."""

    keys = forms.MultipleChoiceField(
        label="Accept",
        widget=TickBoxes,
        error_messages={
            "required": TICK_ONE,
            "invalid_choice": "What is open has changed meanwhile: look at it again.",
        },
    )
    reason = forms.CharField(
        label="Why it is accepted",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why: it stays with the version."},
        help_text="It stays with the version, with your name and the day.",
    )

    def __init__(self, data=None, *, limits: Sequence[OpenLimit], **options):
        super().__init__(data, **options)
        self.limits = limits
        self.fields["keys"].choices = [(limit.key, f"{limit.name}, {limit.side}") for limit in limits]

    def rows(self) -> list[tuple]:
        """Each tick box with its limit."""
        return list(zip(self["keys"], self.limits, strict=True))

    sign_off: SignOff | None = None


class SignedOffForm(ReasonedForm):
    """Limits that take the sign-off of a veterinarian."""

    veterinarian = forms.CharField(
        max_length=120, error_messages={"required": "Enter the veterinarian who agreed."}
    )
    clinic = forms.CharField(max_length=120, error_messages={"required": "Enter the veterinarian's clinic."})
    agreed_on = forms.DateField(
        label="Agreed on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": "Enter the day of the agreement.", "invalid": "Enter a day."},
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["reason"].label = "What was agreed"
        self.fields["reason"].error_messages["required"] = "Say what was agreed: it stays with the version."

    def clean_agreed_on(self):
        day = self.cleaned_data["agreed_on"]
        if day > timezone.localdate():
            raise forms.ValidationError("This day lies in the future.")
        return day

    @property
    def sign_off(self) -> SignOff:
        given = self.cleaned_data
        return SignOff(given["veterinarian"], given["clinic"], given["agreed_on"])
