"""What is asked of a reformulation, as a form: how far each line may move, and what the recipe shall hold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django import forms
from django.utils.datastructures import MultiValueDict

from nutrients import queries as nutrients
from nutrients.energy_density import ATWATER
from nutrients.fields import NumberField
from nutrients.models import Food, Profile
from recipes import obstacles, queries
from recipes.analysis import COOLED_BATCH, IN_THE_BOWL, Portion
from recipes.line_forms import HEAVIEST_G
from recipes.models import Ingredient, When
from recipes.presentation import amount_in_words, as_written
from recipes.reformulate import Band, Choice, Wishes
from recipes.reformulate_start import Start, foods_by_key

CHOICES = "choices"
MOST_CHOICES = 60
MOST_SHOWN = 100
MOST_MARGIN = 20
GONE = "This food was deleted meanwhile: take the line out."
BANDS = (("protein", "Protein", ATWATER[0]), ("fat", "Fat", ATWATER[1]), ("fiber", "Fibre", None))


class ChoiceForm(forms.Form):
    """A present line, or a food or supplement that may be added; amounts in g, of a supplement in doses."""

    food = forms.IntegerField(widget=forms.HiddenInput, error_messages={"invalid": GONE, "required": GONE})
    when = forms.ChoiceField(choices=When.choices, widget=forms.HiddenInput)
    moves = forms.BooleanField(required=False)
    least = NumberField(label="From", required=False, min_value=0)
    most = NumberField(label="To", required=False, min_value=0)
    cost_per_kg = NumberField(label="Price per kg", required=False, min_value=0, max_value=100_000)

    def tie(self, food: Food | None, present: Ingredient | None) -> None:
        """Set what the row stands for; `food` None when it is not there any more."""
        self.present, self.portion = present, None
        if food is not None:
            ingredient = present or Ingredient(food=food, grams=0, when=self["when"].value())
            self.portion = queries.portion(ingredient)

    @property
    def name(self) -> str:
        return self.portion.food if self.portion else "A food that is not there any more"

    @property
    def is_supplement(self) -> bool:
        return self.portion is not None and self.portion.is_supplement

    @property
    def unit(self) -> str:
        return dose_unit(self.portion) if self.portion else "g"

    @property
    def now(self) -> str:
        """The present amount in words."""
        doses = amount_in_words(self.portion) if self.is_supplement else ""
        return doses or f"{as_written(self.portion.grams)} g"

    def clean_food(self) -> int:
        if self.portion is None:
            raise forms.ValidationError(GONE)
        return self.cleaned_data["food"]

    def clean(self) -> dict:
        typed = super().clean()
        if self.portion is None or not typed.get("moves"):
            return typed
        least, most = typed.get("least") or 0, typed.get("most")
        if most is None and "most" not in self.errors:
            self.add_error("most", "How much at most? Type an amount.")
        elif most is not None and least > most:
            self.add_error("most", f"Less than the {least:g} {self.unit} it begins from: turn them round.")
        elif most is not None and most * grams_of_one(self.portion) > HEAVIEST_G:
            self.add_error("most", f"That cannot be right: enter at most {HEAVIEST_G // 1000} kg.")
        return typed

    def choice(self) -> Choice | None:
        """None for something new that may not be used."""
        typed, of_one = self.cleaned_data, grams_of_one(self.portion)
        is_new, cost = self.present is None, typed["cost_per_kg"]
        if typed["moves"]:
            least_g, most_g = ((typed[key] or 0) * of_one for key in ("least", "most"))
            return Choice(self.portion, round(least_g, 6), round(most_g, 6), is_new, cost)
        return None if is_new else Choice(self.portion, self.portion.grams, self.portion.grams, False, cost)


def dose_unit(portion: Portion) -> str:
    return portion.dose_unit if portion.is_supplement and portion.grams_per_dose_unit else "g"


def grams_of_one(portion: Portion) -> float:
    """What one of the row's units weighs."""
    return portion.grams_per_dose_unit if dose_unit(portion) != "g" else 1.0


class BaseChoiceRows(forms.BaseFormSet):
    default_error_messages = forms.BaseFormSet.default_error_messages | {
        "too_many_forms": f"At most {MOST_CHOICES} lines can be weighed against each other: take some out."
    }

    def __init__(self, data: Mapping, start: Start):
        super().__init__(data, prefix=CHOICES)
        self.start = start
        keys = [form["food"].value() or "" for form in self.forms]
        foods = foods_by_key(int(key) for key in keys if key.isdecimal() and len(key) < 10)
        for form, key in zip(self.forms, keys, strict=True):
            food = foods.get(int(key)) if key.isdecimal() and len(key) < 10 else None
            form.tie(food, food and start.line(food.pk, form["when"].value()))

    def clean(self) -> None:
        if any(form.errors for form in self.forms):
            return
        keys = [(form.cleaned_data["food"], form.cleaned_data["when"]) for form in self.forms]
        if len(set(keys)) < len(keys) or not {(x.food_id, x.when) for x in self.start.ingredients} <= {*keys}:
            raise forms.ValidationError("The lines are not those of the recipe any more: open the page anew.")
        if not any(choice.most_g > choice.least_g for choice in self.choices()):
            raise forms.ValidationError("Nothing may move: tick a line, and leave room between from and to.")

    def choices(self) -> list[Choice]:
        return [choice for form in self.forms if (choice := form.choice()) is not None]

    def new_supplements(self) -> list[ChoiceForm]:
        return [form for form in self.forms if form.present is None and form.is_supplement]

    def wrong_supplements(self) -> bool:
        return any(form.errors for form in self.new_supplements())

    def used_supplements(self) -> int:
        return sum(bool(form["moves"].value()) for form in self.new_supplements())


ChoiceRows = forms.formset_factory(
    ChoiceForm,
    formset=BaseChoiceRows,
    extra=0,
    max_num=MOST_CHOICES,
    validate_max=True,
    absolute_max=MOST_SHOWN,
)


@dataclass(frozen=True)
class BandFields:
    """One band: its two fields, what the amounts typed are in percent of the energy, and what it is now."""

    name: str
    least: forms.BoundField
    most: forms.BoundField
    share: str
    now: str


def share_in_words(grams: Sequence[float | None], kcal_per_gram: float | None) -> str:
    """Such as "28 to 40 % of energy"; "" for what brings none."""
    shares = [f"{amount * kcal_per_gram / 10:.0f}" for amount in grams if amount and kcal_per_gram]
    return f"{' to '.join(shares)} % of energy" if shares else ""


def _amount(label: str, most: float = 1_000_000, **options) -> NumberField:
    return NumberField(label=label, required=False, min_value=0, max_value=most, **options)


class WishesForm(forms.Form):
    """Bands in g per 1000 kcal; the energy and the cost of the whole batch; the margin in percent."""

    protein_least = _amount("Protein at least", 250)
    protein_most = _amount("Protein at most", 250)
    fat_least = _amount("Fat at least", 250)
    fat_most = _amount("Fat at most", 250)
    fiber_least = _amount("Fibre at least", 250)
    fiber_most = _amount("Fibre at most", 250)
    kcal_least = _amount("Energy of the batch from (kcal)")
    kcal_most = _amount("to (kcal)")
    cost_ceiling = _amount("The batch costs at most")
    most_supplements = forms.IntegerField(
        label="Different supplements at most",
        required=False,
        min_value=0,
        max_value=MOST_CHOICES,
        widget=NumberField.widget,
        error_messages={"invalid": "Enter a whole number, such as 5."},
    )
    margin = _amount("Margin (%)", MOST_MARGIN)
    profiles = forms.MultipleChoiceField(
        label="Profiles to meet at once",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one profile to meet."},
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.known = {profile.key: profile for profile in nutrients.feeding_profiles()}
        self.fields["profiles"].choices = [(key, str(profile)) for key, profile in self.known.items()]

    def clean(self) -> dict:
        typed = super().clean()
        for key in (*(band[0] for band in BANDS), "kcal"):
            least, most = typed.get(f"{key}_least"), typed.get(f"{key}_most")
            if least is not None and most is not None and least > most:
                self.add_error(f"{key}_most", f"Less than the {least:g} before it: turn them round.")
        if {"kcal_least", "kcal_most"} <= typed.keys() and bool(typed["kcal_least"]) != bool(
            typed["kcal_most"]
        ):
            missing = "kcal_most" if typed["kcal_least"] else "kcal_least"
            self.add_error(missing, "Give both ends of the energy, or neither.")
        return typed

    def bands(self, now: Mapping[str, str]) -> list[BandFields]:
        typed = getattr(self, "cleaned_data", {})
        return [
            BandFields(
                name,
                self[f"{key}_least"],
                self[f"{key}_most"],
                share_in_words([typed.get(f"{key}_{side}") for side in ("least", "most")], factor),
                now.get(key, ""),
            )
            for key, name, factor in BANDS
        ]

    def wishes(self) -> Wishes:
        typed = self.cleaned_data
        given = [(key, name, typed[f"{key}_least"], typed[f"{key}_most"]) for key, name, _ in BANDS]
        return Wishes(
            bands=tuple(
                Band(key, least, most, name)
                for key, name, least, most in given
                if (least, most) != (None, None)
            ),
            kcal=(typed["kcal_least"], typed["kcal_most"]) if typed["kcal_least"] else None,
            cost_ceiling=typed["cost_ceiling"],
            most_supplements=typed["most_supplements"],
            margin=(typed["margin"] or 0) / 100,
        )

    def chosen(self) -> list[Profile]:
        return [self.known[key] for key in self.cleaned_data["profiles"]]


@dataclass
class Asked:
    """Everything that the left side holds; `seen`: the fingerprint of the version it was opened on."""

    rows: BaseChoiceRows
    wishes: WishesForm
    seen: str

    def is_valid(self) -> bool:
        found = [part.is_valid() for part in (self.rows, self.wishes)]
        return all(found)

    def problems(self) -> list[tuple[str, str]]:
        """What is wrong in words, each with the id of the field where it is mended."""
        whole = [("present-lines", error) for error in self.rows.non_form_errors()]
        rows = [
            (field.id_for_label, f"{form.name}: {' '.join(field.errors)}")
            for form in self.rows
            for field in form
            if field.errors
        ]
        wishes = [
            (f"{field.auto_id}_error", f"{field.label}: {' '.join(field.errors)}")
            for field in self.wishes
            if field.errors
        ]
        return [*whole, *rows, *wishes]


def asked(data: MultiValueDict, start: Start) -> Asked:
    return Asked(ChoiceRows(data, start), WishesForm(data), data.get("seen", ""))


def goes_in(portion: Portion) -> str:
    """When something new goes in, unless it is changed afterwards: supplements when it has cooled."""
    if portion.is_supplement:
        return IN_THE_BOWL if portion.heat == "sensitive" else COOLED_BATCH
    return When.IN_THE_POT.value


def refused(food: Food) -> str:
    """Why a food may not be added; "" when it may."""
    caution = nutrients.toxic_caution(food.name)
    if caution:
        return obstacles.forbidden(caution)
    return f"{food} is discontinued: choose another." if food.discontinued else ""
