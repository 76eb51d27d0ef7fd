"""Forms of the practice."""

from django import forms

from practice.models import PracticeProfile


class PracticeForm(forms.ModelForm):
    class Meta:
        model = PracticeProfile
        fields = (
            "name", "address", "phone", "email", "paper", "currency", "recheck_days",
            "sheets_kept_years", "sign_offs_kept_years", "recall_calls_kept_years",
        )  # fmt: skip
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}

    def particulars(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if not name.endswith("_kept_years")]

    def keeping(self) -> list[forms.BoundField]:
        """How long records are kept of an owner whose data are erased."""
        return [self[name] for name in self.fields if name.endswith("_kept_years")]
