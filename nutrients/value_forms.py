"""Forms for a single value of a food: another figure with its source and reason, or an estimate."""

from django import forms

from nutrients import queries
from nutrients.entry_forms import MOST, CheckedForm
from nutrients.fields import NumberField
from nutrients.food_checks import check
from nutrients.models import Food, FoodValue, Nutrient
from nutrients.own_food_forms import plain

KINDS = (FoodValue.Kind.LABEL, FoodValue.Kind.LABORATORY, FoodValue.Kind.PUBLISHED, FoodValue.Kind.ESTIMATE)
RANGE = {
    "low": "An estimate needs its lowest likely amount.",
    "high": "An estimate needs its highest likely amount.",
}


class AmountForm(CheckedForm):
    """An amount in 100 g of a food, in the nutrient's unit, checked among the food's other values."""

    per_100g = NumberField(min_value=0, max_value=MOST)
    low = NumberField(label="Lowest likely", required=False, min_value=0, max_value=MOST)
    high = NumberField(label="Highest likely", required=False, min_value=0, max_value=MOST)
    source = forms.CharField(max_length=150, help_text="Where it comes from, so that others can look it up.")
    field_order = ("per_100g", "low", "high", "kind", "source", "reason")

    def __init__(self, data=None, *, food: Food, nutrient: Nutrient, **options):
        self.food, self.nutrient = food, nutrient
        super().__init__(data, **options)
        self.fields["per_100g"].label = f"{nutrient.name} in 100 g ({nutrient.unit})"
        self.fields["source"].error_messages["required"] = "Say where the figure comes from."

    def field_of(self, nutrient: str) -> str | None:
        return "per_100g" if nutrient == self.nutrient.key else None

    def clean(self):
        typed = self.cleaned_data
        amounts = [typed.get(name) for name in ("low", "per_100g", "high") if typed.get(name) is not None]
        if amounts != sorted(amounts):
            self.add_error("low", "The range goes from a lower to a higher amount, with the value between.")
        amount = typed.get("per_100g")
        if amount is not None:
            stored = dict(
                self.food.values.filter(per_100g__isnull=False).values_list("nutrient__key", "per_100g")
            )
            self.conclude(self._checks(stored | {self.nutrient.key: amount}), self._checks(stored))
        return typed

    def _checks(self, amounts: dict[str, float]):
        nutrients = {nutrient.key: nutrient for nutrient in Nutrient.objects.all()}
        return check(amounts, self.food.group, queries.group_medians(), nutrients)

    def value(self) -> FoodValue:
        """The value as typed, not yet saved."""
        typed = self.cleaned_data
        return FoodValue(
            food=self.food,
            nutrient=self.nutrient,
            per_100g=typed["per_100g"],
            low=typed["low"],
            high=typed["high"],
            kind=typed.get("kind", FoodValue.Kind.ESTIMATE),
            source=typed["source"],
        )


class ValueForm(AmountForm):
    """Another figure in place of the one that is kept; empty makes the nutrient unknown."""

    kind = forms.ChoiceField(
        label="It is", choices=[("", "choose"), *((x.value, x.label.lower()) for x in KINDS)]
    )

    def __init__(self, data=None, *, stored: FoodValue, **options):
        super().__init__(data, food=stored.food, nutrient=stored.nutrient, **options)
        self.initial |= {
            name: plain(amount)
            for name in ("per_100g", "low", "high")
            if (amount := getattr(stored, name)) is not None
        }
        self.fields["per_100g"].required = False
        self.fields["per_100g"].help_text = "Empty: no value is known."
        self.fields["low"].help_text = "An estimate needs its range."
        self.fields["reason"].required = True
        self.fields["reason"].error_messages["required"] = "Say why: the reason stays with the value."

    def clean(self):
        typed = super().clean()
        if self.withdraws:  # neither kind nor source is needed for a value that goes
            for name in ("kind", "source"):
                self.errors.pop(name, None)
        elif typed.get("kind") == FoodValue.Kind.ESTIMATE:
            self._need_range()
        return typed

    def _need_range(self) -> None:
        for name, asked in RANGE.items():
            if self.cleaned_data.get(name) is None and name not in self.errors:
                self.add_error(name, asked)

    @property
    def withdraws(self) -> bool:
        return "per_100g" in self.cleaned_data and self.cleaned_data["per_100g"] is None


class EstimateForm(AmountForm):
    """A missing value, filled with an estimate and its range."""

    field_order = ("per_100g", "low", "high", "source", "reason")

    def __init__(self, data=None, **options):
        super().__init__(data, **options)
        self.fields["source"].help_text = "What it rests on, such as “median of raw liver in the tables”."
        for name, asked in RANGE.items():
            self.fields[name].required = True
            self.fields[name].error_messages["required"] = asked
