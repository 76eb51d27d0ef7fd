"""What a search for foods asks."""

from django import forms

from nutrients.models import Food

KINDS = (("", "foods and supplements"), ("foods", "foods only"), ("supplements", "supplements only"))


class FoodSearchForm(forms.Form):
    q = forms.CharField(
        label="Name", required=False, max_length=100, widget=forms.TextInput(attrs={"type": "search"})
    )
    group = forms.ChoiceField(required=False)
    state = forms.ChoiceField(required=False, choices=[("", "any state"), *Food.State.choices])
    kind = forms.ChoiceField(label="Show", required=False, choices=KINDS)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        groups = Food.objects.order_by("group").values_list("group", flat=True).distinct()
        self.fields["group"].choices = [("", "every group"), *((group, group) for group in groups)]

    def wanted(self) -> dict:
        """What to ask of `nutrients.queries.foods_matching`; what is not understood is left out."""
        asked = self.cleaned_data if self.is_valid() else getattr(self, "cleaned_data", {})
        kind = asked.get("kind")
        return {
            "words": asked.get("q", ""),
            "group": asked.get("group", ""),
            "state": asked.get("state", ""),
            "supplements": kind == "supplements" if kind else None,
        }
