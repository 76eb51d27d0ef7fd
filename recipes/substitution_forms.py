"""The form of a substitution: its own amount and those of the other lines that change along."""

from collections.abc import Mapping

from django import forms

from nutrients.fields import NumberField
from nutrients.language import inside
from nutrients.models import Food
from recipes.line_forms import HEAVIEST_G, LIGHTEST_G
from recipes.models import Ingredient, Substitution, When
from recipes.presentation import as_written
from recipes.substitution_queries import portion_of
from recipes.substitutions import ENERGY, PROTEIN, WEIGHT, Swap

AMOUNT = "amount-"
SAME_G = 1e-6  # grams that differ by less are the same


class MatchForm(forms.Form):
    """How candidates are matched, for which dog, and how many are shown."""

    match = forms.ChoiceField(required=False, label="Matched by")
    dog = forms.ChoiceField(required=False, label="Left out for")

    def __init__(self, *args, matches, dogs, **options):
        super().__init__(*args, **options)
        self.fields["match"].choices = matches
        self.fields["dog"].choices = [("", "no dog in particular"), *((str(pk), label) for pk, label in dogs)]

    def wanted(self) -> dict[str, str]:
        """What was understood; the first way of matching where it was not."""
        asked = self.cleaned_data if self.is_valid() else getattr(self, "cleaned_data", {})
        first, _ = self.fields["match"].choices[0]
        return {"match": asked.get("match") or first, "dog": asked.get("dog", "")}


def matches(names: Mapping[str, str], needed: tuple[str, ...], *, supplement: bool) -> list[tuple[str, str]]:
    """The ways to match, the usual one first. names: of nutrients, by key; needed: what it is there for."""
    usual = [(ENERGY, "energy"), (PROTEIN, "protein"), (WEIGHT, "weight")]
    nutrients = [(key, inside(names[key])) for key in needed]
    return [*nutrients, usual[-1]] if supplement else [*usual, *nutrients]


class SubstitutionForm(forms.Form):
    grams = NumberField(label="Grams of it", min_value=LIGHTEST_G, max_value=HEAVIEST_G)
    when = forms.ChoiceField(choices=When.choices, label="When to add")
    note = forms.CharField(
        required=False, max_length=300, help_text="For whoever cooks or approves: what to look for, why."
    )

    def __init__(self, *args, substitution: Substitution, lines: list[Ingredient], **options):
        """lines: of the version; those of the food that is replaced are passed over."""
        super().__init__(*args, **options)
        self.substitution = substitution
        self.lines, self.present = lines, dict[Food, float]()
        for line in lines:
            if line.food_id != substitution.replaces_id:
                self.present[line.food] = self.present.get(line.food, 0) + line.grams
        for food, grams in self.present.items():
            self.fields[f"{AMOUNT}{food.pk}"] = NumberField(
                label=food.name,
                min_value=0,
                max_value=HEAVIEST_G,
                initial=round(grams, 6),
                help_text=f"now {as_written(grams)} g{_doses(food, grams)}",
            )
        self.fields["grams"].help_text = _unit(substitution.food)

    @property
    def own_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("grams", "when")]

    @property
    def other_fields(self) -> list[forms.BoundField]:
        return [self[f"{AMOUNT}{food.pk}"] for food in self.present]

    def amounts(self) -> dict[Food, float]:
        """Those of the other lines that differ from what the version says."""
        typed = {food: self.cleaned_data.get(f"{AMOUNT}{food.pk}") for food in self.present}
        return {
            food: grams
            for food, grams in typed.items()
            if grams is not None and abs(grams - self.present[food]) > SAME_G
        }

    def filled(self) -> Substitution:
        """The substitution with what was typed, not saved. Only of a valid form."""
        for field in ("grams", "when", "note"):
            setattr(self.substitution, field, self.cleaned_data[field])
        return self.substitution

    def swap(self) -> Swap:
        """As the calculations take it. Only of a valid form."""
        portion = portion_of(self.substitution.food, self.cleaned_data["grams"], self.cleaned_data["when"])
        amounts = {food.name: grams for food, grams in self.amounts().items()}
        return Swap(self.substitution.replaces.name, portion, amounts)


def as_stored(substitution: Substitution) -> dict[str, object]:
    """What the form first shows of a stored substitution."""
    amounts = {f"{AMOUNT}{each.food_id}": each.grams for each in substitution.amounts.all()}
    return {"grams": substitution.grams, "when": substitution.when, "note": substitution.note} | amounts


def as_asked(asked: Mapping[str, str]) -> dict[str, str]:
    """What the form of a new one first shows: the amounts that a link proposed."""
    return {
        name: text for name, text in asked.items() if name in ("grams", "when") or name.startswith(AMOUNT)
    }


def _unit(food: Food) -> str:
    supplement = getattr(food, "supplement", None)
    if supplement is None or supplement.dose_unit == "g":
        return "Of the edible part, for the whole batch as written."
    one = f"1 {supplement.dose_unit} weighs {supplement.grams_per_dose_unit:g} g"
    return f"For the whole batch as written; {one}."


def _doses(food: Food, grams: float) -> str:
    supplement = getattr(food, "supplement", None)
    if supplement is None or supplement.dose_unit == "g":
        return ""
    return f", {grams / supplement.grams_per_dose_unit:.3g} {supplement.dose_unit}"
