"""Forms for foods that the practice enters: from a label, a report or a guaranteed analysis, or as a copy."""

from django import forms

from nutrients import labels
from nutrients.entry_forms import AboutFoodForm, RowsForm
from nutrients.fields import NumberField
from nutrients.food_checks import Finding, check_bounds
from nutrients.labels import Basis
from nutrients.models import Food, FoodValue, Nutrient

SERVING, PER_100_G, PER_KG, PER_100_ML = "serving", "100g", "kg", "100ml"
BASES = ((SERVING, "in a serving"), (PER_100_G, "in 100 g"), (PER_KG, "in 1 kg"), (PER_100_ML, "in 100 ml"))
AS_FED, DRY = "as fed", "dry matter"
NEEDED = {
    "protein": "Enter the protein: without it nothing can be judged.",
    "fat": "Enter the fat: without it there is no energy.",
    "water": "Enter the water, or the dry matter below.",
}


class NewFoodForm(AboutFoodForm, RowsForm):
    """What every new food is asked."""

    field_order = ("name", "group", "state", "retention_group", "refuse_percent", "source", "note")

    def food(self) -> Food:
        """The food as typed, not yet saved, without who entered it."""
        about = self.cleaned_data
        source = f"{self.kind_words}: {about['source']}" if about["source"] else self.kind_words
        return Food(
            name=about["name"],
            group=about["group"],
            state=about["state"],
            retention_group=about["retention_group"],
            refuse_percent=about["refuse_percent"],
            source=source,
            note="\n".join(filter(None, [about["note"], self.kept_words()])),
        )


class LabelFoodForm(NewFoodForm):
    """Figures of a label: in a serving, 100 g, 1 kg or 100 ml."""

    basis_of = forms.ChoiceField(label="The amounts are", choices=BASES, initial=SERVING)
    serving_g = NumberField(
        label="A serving weighs (g)",
        required=False,
        min_value=0.01,
        max_value=10_000,
        help_text="For amounts in a serving.",
    )
    g_per_ml = NumberField(
        label="Density (g/ml)", required=False, help_text="For amounts in 100 ml: what 1 ml weighs."
    )
    dry_matter = NumberField(
        label="Dry matter (g)",
        required=False,
        min_value=0,
        help_text="Instead of the water: what is left without it.",
    )

    def basis(self) -> Basis | None:
        chosen = self.cleaned_data.get("basis_of")
        serving, density = self.cleaned_data.get("serving_g"), self.cleaned_data.get("g_per_ml")
        if chosen == SERVING:
            return self._weighed("serving_g", serving, labels.per_serving, "What does a serving weigh?")
        if chosen == PER_100_ML:
            return self._weighed("g_per_ml", density, labels.per_100_ml, "What does 1 ml weigh?")
        return {PER_100_G: labels.PER_100_G, PER_KG: Basis(1000, "1 kg")}.get(chosen)

    def _weighed(self, field: str, typed: float | None, make, asked: str) -> Basis | None:
        if typed is None:
            if field not in self.errors:
                self.add_error(field, asked)
            return None
        try:
            return make(typed)
        except ValueError as problem:
            self.add_error(field, str(problem))
            return None

    def complete(self, basis: Basis) -> None:
        dry = self.cleaned_data.get("dry_matter")
        if dry is not None and "water" not in self.values:
            self._water_from(dry, basis)
        for key, message in NEEDED.items():
            if key != "water" or "dry_matter" not in self.errors:
                self.need(key, message)

    def _water_from(self, dry: float, basis: Basis) -> None:
        dry_per_100g = dry * 100 / basis.grams
        if dry_per_100g > 100:
            self.add_error("dry_matter", f"{dry:g} g dry matter cannot be in {basis.words}.")
            return
        words = (
            f"100 - {labels.figure(dry_per_100g)} g dry matter = {labels.figure(100 - dry_per_100g)} g water"
        )
        self.put(self.nutrients["water"], 100 - dry_per_100g, words)


class LaboratoryFoodForm(LabelFoodForm):
    """Figures of a laboratory's report."""

    kind, kind_words = FoodValue.Kind.LABORATORY, "laboratory report"
    first_title = "What most reports say"

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["basis_of"].initial = PER_100_G


class GuaranteeFoodForm(NewFoodForm):
    """A guaranteed analysis: minima and maxima, which bound the values and are none."""

    kind, kind_words = FoodValue.Kind.BOUND, "guaranteed analysis"
    amount_names = ("low", "high")
    first_title = "Guaranteed"
    first = ("protein", "fat", "fiber", "water", "ash", "calcium", "phosphorus", "sodium", "linoleic_acid")
    given = forms.ChoiceField(
        label="The figures are given",
        choices=((AS_FED, "as fed"), (DRY, "in dry matter")),
        help_text="Water is always as fed.",
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in [name for name in self.fields if name.startswith("energy-")]:
            del self.fields[name]  # no analysis guarantees it
        del self.nutrients["energy"]
        # The water first: what is given in dry matter rests on it.
        self.nutrients = {"water": self.nutrients["water"], **self.nutrients}

    def units_of(self, nutrient: Nutrient) -> list[str]:
        return labels.guarantee_units_of(nutrient, self.label_forms) or [nutrient.unit]

    def water(self, nutrient: Nutrient) -> tuple[float, float] | None:
        """The least and the most water where a nutrient is given in dry matter; None where it is as fed."""
        if self.cleaned_data.get("given") != DRY or nutrient.key == "water":
            return None
        water = self.values.get("water", FoodValue())
        return (water.low or 0, 100 if water.high is None else water.high)

    def read_row(self, nutrient: Nutrient, basis: Basis) -> None:
        low, high, unit, form = (self.typed(nutrient, name) for name in ("low", "high", "unit", "form"))
        if (low is None and high is None) or not self.has_unit(nutrient):
            return
        if low is not None and high is not None and low > high:
            self.add_error(f"{nutrient.key}-low", "The minimum lies above the maximum: check both.")
            return
        try:
            bound = labels.guarantee(
                low, high, unit, form or "", nutrient, self.label_forms, self.water(nutrient)
            )
        except ValueError as problem:
            self.refuse(nutrient, problem)
            return
        self.values[nutrient.key] = FoodValue(
            nutrient=nutrient,
            low=bound.low,
            high=bound.high,
            kind=self.kind,
            source=f"{self.kind_words}: {bound.words}",
        )

    def complete(self, basis: Basis) -> None:
        for key, message in {**NEEDED, "water": "Enter the water: most analyses state its maximum."}.items():
            self.need(key, message)

    def findings(self) -> tuple[list[Finding], list[Finding]]:
        bounds = {key: (value.low, value.high) for key, value in self.values.items()}
        return check_bounds(bounds, self.nutrients), []


class ChangeFoodForm(AboutFoodForm, RowsForm):
    """A food's values in 100 g to be changed: those of the food itself, or of a copy of it."""

    first_title = "What most labels say"
    changed_from = forms.ChoiceField(
        label="What is changed comes from",
        choices=[
            (kind.value, words)
            for kind, words in (
                (FoodValue.Kind.LABEL, "a label"),
                (FoodValue.Kind.LABORATORY, "a laboratory report"),
                (FoodValue.Kind.PUBLISHED, "a publication"),
            )
        ],
    )
    field_order = ("name", "group", "state", "retention_group", "refuse_percent", "changed_from", "source")

    def __init__(self, data=None, *, food: Food, is_copy: bool, **options):
        self.changed, self.is_copy = food, is_copy
        self.stored = {value.nutrient.key: value for value in food.values.select_related("nutrient")}
        super().__init__(data, **options)
        self.initial |= {
            "name": "" if is_copy else food.name,
            "group": food.group,
            "state": food.state,
            "retention_group": food.retention_group,
            "refuse_percent": food.refuse_percent,
            "note": food.note,
        }
        for key, nutrient in self.nutrients.items():
            self.initial |= self._stored_row(key, nutrient)
        self.fields["reason"].required = not is_copy
        self.fields["reason"].error_messages["required"] = "Say why it is changed."

    def _stored_row(self, key: str, nutrient: Nutrient) -> dict[str, str]:
        value = self.stored.get(key)
        amount = "" if value is None or value.per_100g is None else plain(value.per_100g)
        form = labels.plain_form(nutrient, self.label_forms) if amount else ""
        return {f"{key}-amount": amount, f"{key}-unit": nutrient.unit, f"{key}-form": form}

    def hint_of(self, nutrient: Nutrient) -> str:
        value = self.stored.get(nutrient.key)
        known = value is not None and value.kind in (FoodValue.Kind.BOUND, FoodValue.Kind.ESTIMATE)
        return value.source if known else ""

    def food_pk(self) -> int | None:
        return None if self.is_copy else self.changed.pk

    def clean(self):
        self.kind = FoodValue.Kind(self.cleaned_data.get("changed_from") or FoodValue.Kind.LABEL)
        self.kind_words = str(self.kind.label).lower()
        return super().clean()

    def read_row(self, nutrient: Nutrient, basis: Basis) -> None:
        """A line that still says what is stored is no change."""
        typed = {name: self.typed(nutrient, name) for name in ("amount", "unit", "form")}
        before = {name: self.initial[f"{nutrient.key}-{name}"] for name in typed}
        amount = "" if typed["amount"] is None else plain(typed["amount"])
        if (amount, typed["unit"], typed["form"] or "") != tuple(before.values()):
            super().read_row(nutrient, basis)

    def complete(self, basis: Basis) -> None:
        for key in ("protein", "fat", "water"):
            if self.initial[f"{key}-amount"] and self.typed(self.nutrients[key], "amount") is None:
                self.need(key, NEEDED[key].replace(", or the dry matter below", ""))

    def unknown(self) -> list[Nutrient]:
        """Nutrients whose amount was emptied: their value is no longer known."""
        return [
            nutrient
            for key, nutrient in self.nutrients.items()
            if self.initial[f"{key}-amount"] and self.typed(nutrient, "amount") is None
        ]

    def findings(self) -> tuple[list[Finding], list[Finding]]:
        before = {key: value.per_100g for key, value in self.stored.items() if value.per_100g is not None}
        before = {key: amount for key, amount in before.items() if key in self.nutrients}
        gone = {nutrient.key for nutrient in self.unknown()}
        after = before | {key: value.per_100g for key, value in self.values.items()}
        after = {key: amount for key, amount in after.items() if key not in gone}
        return self.checks_of(after), self.checks_of(before)

    def food(self) -> Food:
        """The food, or the copy, with what was typed about it, not yet saved."""
        about = self.cleaned_data
        food = self.changed
        if self.is_copy:
            source = f": {about['source']}" if about["source"] else ""
            food = Food(source=f"copy of {self.changed.name[:80]}{source}")
        for field in ("name", "group", "state", "retention_group", "refuse_percent"):
            setattr(food, field, about[field])
        food.note = "\n".join(filter(None, [about["note"], self.kept_words()]))
        return food


def plain(amount: float) -> str:
    """A stored amount as it is typed, with every digit that matters."""
    return f"{amount:.8f}".rstrip("0").rstrip(".")
