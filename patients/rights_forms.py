"""Forms of an owner's data: asking for their erasure, confirming it."""

from django import forms

from patients.models import ErasureRequest


class AskForm(forms.ModelForm):
    class Meta:
        model = ErasureRequest
        fields = ("reason",)
        widgets = {"reason": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "reason": "Such as: asked for it in a letter of 3 May. Names are taken out of it in the end."
        }


class ConfirmForm(forms.Form):
    read = forms.BooleanField(
        label="I have read what goes and what stays, and that it cannot be brought back",
        error_messages={"required": "Read the list, and tick this."},
    )
