"""Forms of the practice."""

from django import forms
from django.core.exceptions import ValidationError

from patients.photos import FORMATS
from practice.logos import small_png, store
from practice.models import PracticeProfile


class PracticeForm(forms.ModelForm):
    new_logo = forms.FileField(
        label="Logo",
        required=False,
        help_text="Stands on top of every sheet. JPEG, PNG or WebP; wide ones look best.",
        widget=forms.FileInput(attrs={"accept": ",".join(f"image/{kind.lower()}" for kind in FORMATS)}),
    )
    without_logo = forms.BooleanField(label="Print no logo", required=False)

    class Meta:
        model = PracticeProfile
        fields = (
            "name", "address", "phone", "email", "paper", "accent", "currency", "recheck_days",
            "puppy_days", "loss_days", "adult_days",
            "sheets_kept_years", "sign_offs_kept_years", "recall_calls_kept_years",
        )  # fmt: skip
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        if not self.instance.logo:
            del self.fields["without_logo"]

    def particulars(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if not name.endswith(("_kept_years", "logo"))]

    def logo(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name.endswith("logo")]

    def keeping(self) -> list[forms.BoundField]:
        """How long records are kept of an owner whose data are erased."""
        return [self[name] for name in self.fields if name.endswith("_kept_years")]

    def clean_new_logo(self) -> bytes | None:
        upload = self.cleaned_data["new_logo"]
        if not upload:
            return None
        try:
            return small_png(upload.read())
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from None

    def save(self, commit=True):
        if png := self.cleaned_data["new_logo"]:
            self.instance.logo = store(png)
        elif self.cleaned_data.get("without_logo"):
            self.instance.logo = ""
        return super().save(commit)
