"""The form of a supplement: its dose unit and what the label states in one of it."""

from django import forms

from nutrients import labels
from nutrients.energy_density import me_atwater
from nutrients.entry_forms import AboutFoodForm, RowsForm
from nutrients.fields import NumberField
from nutrients.labels import Basis
from nutrients.models import Food, FoodValue, Heat, LabelAmount, Nutrient, Supplement
from nutrients.own_food_forms import plain

DOSE_UNITS = ("tablet", "capsule", "drop", "pump", "scoop", "teaspoon", "ml", "g")
SEAWEED = "seaweed supplement"
NOT_DECLARED = "the label declares everything and does not name it"
REST_IS_ASH = "what is neither water, protein, fat nor carbohydrate is counted as ash: no energy"
PARTICULARS = (
    "form", "dose_unit", "grams_per_dose_unit", "smallest_step", "heat", "heat_reason", "label_text",
    "declares_all", "assay", "lot", "expiry",
)  # fmt: skip


class SupplementForm(AboutFoodForm, RowsForm):
    """A new supplement, a copy of one, or one of the practice's own to be changed."""

    retention_group = refuse_percent = state = None  # nothing is peeled, and nothing cooks like another food
    is_supplement = True
    first_title, first, open_groups = "", (), ("Minerals", "Vitamins")

    form = forms.CharField(label="Made of", max_length=80, help_text="As the label says.")
    dose_unit = forms.ChoiceField(choices=[(unit, unit) for unit in DOSE_UNITS])
    grams_per_dose_unit = NumberField(
        label="One weighs (g)", min_value=0.0001, max_value=1000, help_text="Weigh ten and divide."
    )
    smallest_step = NumberField(
        min_value=0.001, max_value=1000, help_text="The smallest part that can be given, such as 0.5."
    )
    heat = forms.ChoiceField(choices=[("", "choose"), *Heat.choices])
    heat_reason = forms.CharField(label="Why", required=False, max_length=200)
    label_text = forms.CharField(
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="What it declares, in its own words.",
    )
    declares_all = forms.BooleanField(
        required=False, label="The label declares everything in it: what it does not name is zero"
    )
    assay = forms.CharField(
        required=False, max_length=200, help_text="Of this lot. A seaweed is not taken without one."
    )
    lot = forms.CharField(required=False, max_length=60)
    expiry = forms.DateField(
        required=False, label="Use before", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, data=None, *, supplement: Supplement | None = None, is_copy: bool = False, **options):
        self.changed, self.is_copy = supplement, is_copy
        self.lines: list[LabelAmount] = []
        super().__init__(data, **options)
        self.fields["name"].help_text = "As you will look for it, with its strength: “Zinc tablet, 10 mg”."
        self.fields["heat"].error_messages["required"] = "Does heat harm it? Vitamins and oils: sensitive."
        self.fields["reason"].required = bool(supplement) and not is_copy
        self.fields["reason"].error_messages["required"] = "Say why it is changed."
        if supplement:
            self.initial |= self._stored(supplement)

    def _stored(self, supplement: Supplement) -> dict[str, object]:
        food = supplement.food
        stored = {name: getattr(supplement, name) for name in PARTICULARS}
        stored |= {"name": food.name, "group": food.group, "note": food.note}
        if self.is_copy:
            stored |= {"name": "", "lot": "", "expiry": None}
        for line in supplement.label_amounts.select_related("nutrient"):
            stored |= self._stored_line(line)
        return stored

    def _stored_line(self, line: LabelAmount) -> dict[str, object]:
        """As the label states it; a product that is no form, such as eggshell, as what it counted for."""
        nutrient, stated = line.nutrient, (plain(line.amount), line.unit, line.compound)
        if line.compound and not self._offered(nutrient, line.compound):
            value = line.supplement.food.values.filter(nutrient=nutrient, per_100g__isnull=False).first()
            counted = plain(value.per_100g * line.supplement.grams_per_dose_unit / 100) if value else ""
            stated = counted, nutrient.unit, labels.plain_form(nutrient, self.label_forms)
        names = ("amount", "unit", "form")
        return {f"{nutrient.key}-{name}": part for name, part in zip(names, stated, strict=True)}

    def _offered(self, nutrient: Nutrient, form: str) -> bool:
        return any(known.name == form for known in labels.forms_of(nutrient, self.label_forms))

    def food_pk(self) -> int | None:
        return self.changed.food_id if self.changed and not self.is_copy else None

    def basis(self) -> Basis | None:
        unit, grams = (self.cleaned_data.get(name) for name in ("dose_unit", "grams_per_dose_unit"))
        if unit == "g" and grams not in (None, 1):
            self.add_error("grams_per_dose_unit", "One g weighs 1 g.")
            return None
        return labels.per_dose_unit(unit, grams) if unit and grams else None

    def complete(self, basis: Basis) -> None:
        self.lines = self._label_amounts()
        if not self.lines and not any(name.endswith(("-amount", "-unit", "-form")) for name in self.errors):
            self.add_error(None, "Enter at least one line of the label.")
        if self.cleaned_data.get("group") == SEAWEED:
            self._need_assay()
        if self.cleaned_data.get("declares_all"):
            self._declare_the_rest()

    def _label_amounts(self) -> list[LabelAmount]:
        """The lines as typed, with the conversion that was made."""
        return [
            LabelAmount(
                nutrient=value.nutrient,
                amount=self.typed(value.nutrient, "amount"),
                unit=self.typed(value.nutrient, "unit"),
                compound=self.typed(value.nutrient, "form") or "",
                conversion=value.source.removeprefix(f"{self.kind_words}: "),
            )
            for value in self.values.values()
        ]

    def _need_assay(self) -> None:
        if not self.cleaned_data.get("assay") and "assay" not in self.errors:
            self.add_error("assay", "Kelp and other seaweeds need an assay of their iodine.")
        self.need("iodine", "Enter the iodine that the assay found.")

    def _declare_the_rest(self) -> None:
        """Zero for what a complete label does not name; the weight without energy is ash."""
        found = {key: value.per_100g for key, value in self.values.items()}
        parts = {key: found.get(key, 0.0) for key in ("water", "protein", "fat", "carbohydrate")}
        if "ash" not in found:
            self.put(self.nutrients["ash"], max(0.0, 100 - sum(parts.values())), REST_IS_ASH)
        if "energy" not in found:
            digested = max(0.0, parts["carbohydrate"] - found.get("fiber", 0.0))
            kcal = me_atwater(parts["protein"], parts["fat"], digested)
            self.put(self.nutrients["energy"], kcal, "4/9/4 of what is declared")
        for key, nutrient in self.nutrients.items():
            if key not in self.values and not self.row(nutrient).wrong:
                self.put(nutrient, 0.0, NOT_DECLARED)

    def shown_values(self) -> list[FoodValue]:
        return [value for value in super().shown_values() if not self._is_zero(value)]

    def left_zero(self) -> list[str]:
        """Names of what is zero because a complete label does not name it."""
        return [value.nutrient.name for value in self.values.values() if self._is_zero(value)]

    def _is_zero(self, value: FoodValue) -> bool:
        return value.source.endswith(NOT_DECLARED)

    def food(self) -> Food:
        """The food that carries the composition, not yet saved."""
        about = self.cleaned_data
        food = Food() if self.changed is None or self.is_copy else self.changed.food
        if food.pk is None:
            food.state = Food.State.AS_SOLD
            food.source = f"{self.kind_words}: {about['source']}" if about["source"] else self.kind_words
        food.name, food.group = about["name"], about["group"]
        food.note = "\n".join(filter(None, [about["note"], self.kept_words()]))
        return food

    def supplement(self) -> Supplement:
        """The supplement as typed, not yet saved."""
        supplement = Supplement() if self.changed is None or self.is_copy else self.changed
        for name in PARTICULARS:
            setattr(supplement, name, self.cleaned_data[name])
        return supplement

    def kept_parts(self, changed: bool = False) -> dict[str, object]:
        """Everything that is saved together, as `nutrients.own_foods` takes it."""
        food, supplement = self.food(), self.supplement()
        parts = {
            "supplement": supplement,
            "label_amounts": self.lines,
            "values": list(self.values.values()),
            "reason": self.cleaned_data["reason"],
        }
        return parts if changed else parts | {"food": food}
