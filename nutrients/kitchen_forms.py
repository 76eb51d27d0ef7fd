"""Forms of the pages about cooking: what to show, and a changed factor or yield."""

from django import forms

from nutrients.change_forms import CERTAINTIES, CERTAINTY_HELP, ReasonForm, number
from nutrients.kitchen_page import POT
from nutrients.models import BatchYield, Certainty, CookingYield, Food, Method, Nutrient, Retention

USUAL_METHOD = Method.SIMMERED_KEPT
MOST_YIELD = 1000  # percent; common practice, no source: dry grain takes up to about five times its weight
MEASURED = "measured by the practice"


class RetentionFilterForm(forms.Form):
    """Which of the retention factors are shown: one method, one food group or one nutrient."""

    method = forms.ChoiceField(required=False, choices=[("", "every method"), *Method.choices])
    group = forms.ChoiceField(label="Food group", required=False)
    nutrient = forms.ModelChoiceField(
        Nutrient.objects.none(), required=False, empty_label="every nutrient", to_field_name="key"
    )

    def __init__(self, data):
        super().__init__(data or {"method": USUAL_METHOD})
        groups = Retention.objects.order_by("food_group").values_list("food_group", flat=True).distinct()
        self.fields["group"].choices = [("", "every group"), *((group, group) for group in groups)]
        known = Retention.objects.order_by().values("nutrient")
        self.fields["nutrient"].queryset = Nutrient.objects.filter(pk__in=known)

    def clean(self):
        cleaned = super().clean()
        if not any(cleaned.values()) and not self.errors:
            self.add_error("method", "Choose a method, a food group or a nutrient.")
        return cleaned

    def wanted(self) -> dict:
        """What to show: the usual method when nothing that was asked for can be."""
        return self.cleaned_data if self.is_valid() else {"method": USUAL_METHOD}


class YieldSearchForm(forms.Form):
    q = forms.CharField(
        label="Food", required=False, max_length=100, widget=forms.TextInput(attrs={"type": "search"})
    )
    group = forms.ChoiceField(required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        groups = CookingYield.objects.order_by("food_group").values_list("food_group", flat=True).distinct()
        self.fields["group"].choices = [("", "every group"), *((group, group) for group in groups)]

    def wanted(self) -> dict[str, str]:
        """What to ask of `nutrients.kitchen_queries.yields_matching`; what is not understood is left out."""
        asked = self.cleaned_data if self.is_valid() else getattr(self, "cleaned_data", {})
        return {"words": asked.get("q", "").replace("\0", ""), "group": asked.get("group", "")}


class RetentionForm(ReasonForm):
    percent = number("Left after cooking (%)", 100, help_text="Percent of what the raw portion held.")

    class Meta:
        model = Retention
        fields = ("percent", "certainty", "source", "note")
        help_texts = {"certainty": CERTAINTY_HELP}
        widgets = {"source": forms.Textarea(attrs={"rows": 2}), "note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["certainty"].choices = CERTAINTIES
        self.fields["percent"].error_messages["required"] = "Enter the percentage, 100 for no loss."
        self.fields["source"].error_messages["required"] = "Say where the number stands."


class BatchYieldForm(ReasonForm):
    percent = number("Cooked weight in percent of raw weight", MOST_YIELD)
    measured = forms.BooleanField(
        required=False,
        label="Measured by the practice: weighed raw and cooked",
        help_text="Then no other source is needed. Say in the reason what was weighed.",
    )

    class Meta:
        model = BatchYield
        fields = ("percent", "certainty", "source")
        help_texts = {"certainty": CERTAINTY_HELP}
        widgets = {"source": forms.Textarea(attrs={"rows": 2})}

    field_order = ("retention_group", "method", "percent", "measured", "certainty", "source", "reason")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["certainty"].choices = CERTAINTIES
        self.fields["measured"].initial = self.instance.source == MEASURED
        self.fields["certainty"].required = self.fields["source"].required = False
        self.fields["percent"].error_messages |= {
            "required": "Enter the percentage, 100 for no change of weight.",
            "min_value": "It must be at least 1 %%.",
        }

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("measured"):
            return cleaned | {"source": MEASURED, "certainty": Certainty.VERIFIED}
        if not cleaned.get("source"):
            self.add_error("source", "Say where the number stands, or that the practice measured it.")
        if not cleaned.get("certainty"):
            self.add_error("certainty", "Say how sure the number is.")
        return cleaned


class NewBatchYieldForm(BatchYieldForm):
    """A yield for a group and method for which none is known; with the liquid kept the pot stands for all."""

    class Meta(BatchYieldForm.Meta):
        fields = ("retention_group", "method", *BatchYieldForm.Meta.fields)
        labels = {"retention_group": "Food group"}

    retention_group = forms.ChoiceField(label="Food group")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        groups = Food.objects.exclude(retention_group="").order_by().values_list("retention_group", flat=True)
        self.fields["retention_group"].choices = [(group, group) for group in sorted(set(groups))]
        with_liquid = set(BatchYield.objects.filter(retention_group=POT).values_list("method", flat=True))
        drained = [(method, label) for method, label in Method.choices if method not in with_liquid]
        self.fields["method"].choices = drained

    def _get_validation_exclusions(self):
        """Group and method together are checked for a yield that stands already."""
        return super()._get_validation_exclusions() - {"retention_group", "method"}
