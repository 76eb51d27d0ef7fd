"""Keeping whether an owner was told of a correction."""

from django import forms

from patients.models import RecallCall


class CallForm(forms.ModelForm):
    class Meta:
        model = RecallCall
        fields = ("status", "note")
        labels = {"status": "Contact", "note": "What was said"}

    def __init__(self, data=None, *, instance: RecallCall):
        super().__init__(data, instance=instance, prefix=f"call-{instance.pk}")
