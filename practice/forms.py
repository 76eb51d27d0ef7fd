"""Forms of the practice."""

from django import forms

from practice.models import PracticeProfile


class PracticeForm(forms.ModelForm):
    class Meta:
        model = PracticeProfile
        fields = ("name", "address", "phone", "email", "paper", "recheck_days")
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
