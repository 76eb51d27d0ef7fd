"""The rows of a diet history: what, how much, and where its energy is known from."""

import math

from django import forms
from django.forms import model_to_dict

from nutrients import queries as nutrients
from nutrients.fields import NumberField
from nutrients.food_amounts import KCAL, with_energy
from patients.clinical_forms import CLEAR, MOST_ROWS, Rows
from patients.diet_energy import Amount, Worked, from_analysis, from_food, from_label
from patients.energy import HIGHEST_KCAL
from patients.food_names import food_called
from patients.models import DietItem

ANALYSIS = ("protein", "fat", "fiber", "moisture", "ash")
ENERGY_FIELDS = ("label_kcal", "label_per", "food_name", *ANALYSIS, "kcal_per_day")


def _number(label: str, most: float) -> NumberField:
    return NumberField(label=label, required=False, min_value=0, max_value=most)


class DietItemForm(forms.ModelForm):
    amount = _number("Amount at a time", 100_000)
    times_a_day = _number("Times a day", 24)
    label_kcal = _number("kcal on the label", HIGHEST_KCAL)
    food_name = forms.CharField(label="Food of the table", max_length=200, required=False)
    protein, fat, fiber = _number("Protein (%)", 100), _number("Fat (%)", 100), _number("Fibre (%)", 100)
    moisture, ash = _number("Moisture (%)", 100), _number("Ash (%)", 100)
    kcal_per_day = _number("kcal a day", HIGHEST_KCAL)

    class Meta:
        model = DietItem
        fields = (
            "what", "kind", "complete", "amount", "measure", "times_a_day", "kcal_per_day", "label_kcal",
            "label_per", *ANALYSIS,
        )  # fmt: skip
        error_messages = {"what": {"required": f"Say what it is, {CLEAR}"}}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in ("kind", "complete", "measure", "label_per"):
            field = self.fields[name]
            field.choices = [("", "not told"), *field.choices[1:]]

    def groups(self) -> list[tuple[str, list]]:
        """The ways to tell the energy, each with its fields, in the order in which they are asked."""
        return [
            ("From the label", [self["label_kcal"], self["label_per"]]),
            ("From the food table", [self["food_name"]]),
            ("From the label's analysis", [self[name] for name in ANALYSIS]),
        ]

    def opened(self) -> bool:
        """Is another way than kcal a day in use, or wrong?"""
        names = [name for name in ENERGY_FIELDS if name != "kcal_per_day"]
        return any(self[name].value() not in (None, "") or name in self.errors for name in names)

    def clean_food_name(self):
        return food_called(self.cleaned_data["food_name"])

    def clean(self):
        super().clean()
        if self.errors or not self.has_changed():
            return
        found, item = self.cleaned_data, self.instance
        item.food, item.worked = found.get("food_name"), ""
        ways = self._ways(found)
        if len(ways) > 1:
            self.add_error(ways[1], "The energy is told in more than one way: leave one of them empty.")
        elif ways and ways[0] != "kcal_per_day":
            self._work_out(ways[0], found)

    def _ways(self, found) -> list[str]:
        """The fields by which the energy is told, one for each way in use."""
        ways = ["kcal_per_day"] if found.get("kcal_per_day") is not None else []
        ways += ["label_kcal"] if found.get("label_kcal") is not None else []
        ways += ["food_name"] if found.get("food_name") else []
        return ways + (["protein"] if any(found.get(name) is not None for name in ANALYSIS) else [])

    def _work_out(self, way: str, found) -> None:
        if found.get("amount") is None or not found.get("measure"):
            field = "amount" if found.get("amount") is None else "measure"
            self.add_error(field, "Enter how much at a time and how it is measured.")
            return
        times = found["times_a_day"] if found.get("times_a_day") is not None else 1.0
        try:
            worked = self._worked(way, Amount(found["amount"], found["measure"], times), found)
        except ValueError as problem:
            self.add_error(way, str(problem))
            return
        if worked.kcal > HIGHEST_KCAL:
            self.add_error(
                "amount", f"That makes {worked.kcal:,.0f} kcal a day: check the amount and its unit."
            )
            return
        self.instance.worked = f"{worked.words}{', an estimate' if worked.is_bound else ''}"
        self.cleaned_data["kcal_per_day"] = self.instance.kcal_per_day = round(worked.kcal, 1)

    def _worked(self, way: str, amount: Amount, found) -> Worked:
        if way == "label_kcal":
            if not found.get("label_per"):
                raise ValueError("Choose what the label's kcal are told per: cup, kg, can ...")
            return from_label(amount, found["label_kcal"], found["label_per"])
        if way == "protein":
            return from_analysis(amount, {name: found.get(name) for name in ANALYSIS})
        food = found["food_name"]
        kcal = with_energy(nutrients.food_table(foods=[food.name]))[KCAL]
        measures = [(each.label, each.grams / each.amount) for each in food.measures.all()]
        return from_food(amount, food.name, float(kcal.get(food.name, math.nan)), measures)


class DietRows(Rows):
    def items(self) -> list[DietItem]:
        """The rows that were filled in, not yet saved."""
        return self.entries()


DietItemFormSet = forms.formset_factory(
    DietItemForm, formset=DietRows, extra=1, max_num=MOST_ROWS, absolute_max=MOST_ROWS
)


def rows_of_diet(items) -> list[dict]:
    """Diet items as rows of the form. What was worked out is worked out again, from what was typed."""
    rows = []
    for item in items:
        row = model_to_dict(item, fields=DietItemForm.Meta.fields)
        row["food_name"] = item.food.name if item.food else ""
        if item.worked:
            row["kcal_per_day"] = None
        rows.append(row)
    return rows
