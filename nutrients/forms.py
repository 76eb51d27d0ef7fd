"""What a search for foods asks."""

from dataclasses import dataclass
from itertools import groupby

from django import forms

from nutrients.food_amounts import PER, PER_100G
from nutrients.food_queries import nutrients_with_energy
from nutrients.models import Food, Nutrient

KINDS = (("", "foods and supplements"), ("foods", "foods only"), ("supplements", "supplements only"))
ORDERS = (("desc", "most first"), ("asc", "least first"))


@dataclass(frozen=True)
class Ranking:
    """What a list of foods is sorted by; per: a key of `food_amounts.PER`."""

    nutrient: Nutrient
    per: str
    descending: bool

    @property
    def per_what(self) -> str:
        return PER[self.per]


class FoodSearchForm(forms.Form):
    q = forms.CharField(
        label="Name", required=False, max_length=100, widget=forms.TextInput(attrs={"type": "search"})
    )
    group = forms.ChoiceField(required=False)
    state = forms.ChoiceField(required=False, choices=[("", "any state"), *Food.State.choices])
    kind = forms.ChoiceField(label="Show", required=False, choices=KINDS)
    sort = forms.ChoiceField(label="Sorted by", required=False)
    per = forms.ChoiceField(label="Amount", required=False, choices=PER.items())
    order = forms.ChoiceField(label="Order", required=False, choices=ORDERS)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        groups = Food.objects.order_by("group").values_list("group", flat=True).distinct()
        self.fields["group"].choices = [("", "every group"), *((group, group) for group in groups)]
        nutrients = nutrients_with_energy()
        self.rankable = {each.key: each for each in nutrients}
        by_group = groupby(nutrients, key=lambda each: each.group)
        self.fields["sort"].choices = [
            ("", "name"),
            *((group, [(each.key, each.name) for each in members]) for group, members in by_group),
        ]

    def wanted(self) -> dict:
        """What to ask of `nutrients.queries.foods_matching`; what is not understood is left out."""
        asked = self._asked()
        kind = asked.get("kind")
        return {
            "words": asked.get("q", ""),
            "group": asked.get("group", ""),
            "state": asked.get("state", ""),
            "supplements": kind == "supplements" if kind else None,
        }

    def ranking(self) -> Ranking | None:
        """None: by name."""
        asked = self._asked()
        nutrient = self.rankable.get(asked.get("sort", ""))
        return nutrient and Ranking(nutrient, asked.get("per") or PER_100G, asked.get("order") != "asc")

    def not_understood(self) -> list[str]:
        """What was asked for and cannot be, in words."""
        return [
            f"There is no “{self[name].data}” under “{self[name].label}”: it was left out."
            if isinstance(self.fields[name], forms.ChoiceField)
            else f"{self[name].label}: {' '.join(problems)} It was left out."
            for name, problems in self.errors.items()
        ]

    def _asked(self) -> dict:
        self.is_valid()  # what is not, has no place among the cleaned data
        return self.cleaned_data
