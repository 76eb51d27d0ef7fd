"""The form of a feeding plan. What was typed is kept."""

from dataclasses import dataclass
from functools import cached_property

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from nutrients.fields import NumberField
from nutrients.queries import feeding_profiles
from patients import plan_queries
from patients.energy import (
    HIGHEST_PERCENT_PER_BCS_POINT,
    PERCENT_PER_BCS_POINT,
)
from patients.energy_choices import EnergyChoice, outside, outside_sentence, published_range
from patients.fields import LitresField, WeightField
from patients.models import EnergyFactor, Patient, Plan
from patients.models.dogs import LARGEST_COOKER_LITRES, SMALLEST_COOKER_LITRES
from patients.plan_checks import MOST_DAYS, MOST_MEALS
from patients.plan_fields import FoodNameField, SplitField, WholeNumber
from patients.sentences import in_kg
from patients.services import work_out
from patients.workings import Workings
from recipes.models import RecipeVersion

BY_HAND = "by-hand"
SCALE_OF = {True: Plan.Scale.GRAM, False: Plan.Scale.NONE}
SET_BY_HAND = "set by hand"
BOTH = "A method is chosen: leave this empty, or choose “by hand”."


@dataclass(frozen=True)
class TargetOffer:
    kg: str
    label: str


class PlanForm(forms.ModelForm):
    target_kg = WeightField(label="Target weight")
    energy = forms.CharField(label="Method", required=False)
    kcal_per_day = NumberField(label="kcal a day, by hand", required=False)
    extras_kcal = NumberField(
        label="Extras (kcal a day)",
        required=False,
        min_value=0,
        help_text="Treats, toppers, chews and pill wrappers together: at most 10 % of the day.",
    )
    recipe_share = NumberField(label="Share of the day from this recipe (%)", initial=100)
    other_food = FoodNameField(
        label="Food beside it", required=False, max_length=200,
        help_text="A food of the table, when this recipe is a part of the day: the whole day is judged then.",
    )  # fmt: skip
    meal_split = SplitField(
        label="Meals' shares (%)", required=False, help_text="Such as 40, 60. Empty: all meals alike."
    )
    meals_per_day = WholeNumber(most=MOST_MEALS, what="meals a day", label="Meals a day", initial=2)
    batch_days = WholeNumber(most=MOST_DAYS, what="days", label="Days per batch", initial=4)
    batches_a_month = WholeNumber(
        most=MOST_DAYS, what="batches", label="Batches a month", required=False,
        help_text="Empty: as many as feed a month.",
    )  # fmt: skip
    vessel_litres = LitresField(
        label="Pot or slow cooker", low=SMALLEST_COOKER_LITRES, high=LARGEST_COOKER_LITRES, required=False
    )

    class Meta:
        model = Plan
        fields = (
            "recipe_version", "goal", "target_kg", "kcal_per_day", "energy_reason", "extras_kcal",
            "recipe_share", "other_food",
            "meals_per_day", "meal_split", "batch_days", "batches_a_month",
            "vessel_litres", "serve", "frozen", "scale", "profile",
        )  # fmt: skip
        labels = {
            "recipe_version": "Recipe",
            "energy_reason": "Why outside the published range",
            "serve": "Served",
            "frozen": "Part of the batch is frozen",
            "scale": "The owner's scale shows",
            "profile": "Judged against",
        }
        help_texts = {"energy_reason": "Needed outside what is published for the goal; kept with the plan."}

    def __init__(self, data=None, *, instance: Plan, **options):
        super().__init__(data, instance=instance, **options)
        self.patient: Patient = instance.patient
        self.dog = plan_queries.dog_of(self.patient, timezone.localdate())
        self._set_recipes()
        self.fields["scale"].choices = [("", "not told"), *self.fields["scale"].choices[1:]]
        self.fields["profile"].queryset = feeding_profiles()
        for name, field in self.fields.items():  # a message may arrive later, with a preview
            help_id = f"id_{name}_helptext " if field.help_text else ""
            field.widget.attrs["aria-describedby"] = f"{help_id}id_{name}_error"
        if instance.recipe_version_id:
            self._show(instance)
        else:
            self._suggest(options.get("initial") or {})

    def _set_recipes(self) -> None:
        """Approved recipes, those that fit first; those that do not fit say why. The plan's own stays."""
        choices = plan_queries.recipe_choices(self.dog)
        own = RecipeVersion.objects.filter(pk=self.instance.recipe_version_id)
        field = self.fields["recipe_version"]
        field.queryset = own | RecipeVersion.objects.filter(pk__in=[choice.version.pk for choice in choices])
        fit = [(choice.version.pk, str(choice.version)) for choice in choices if not choice.unfit]
        unfit = [(c.version.pk, f"{c.version.recipe}: {c.unfit}") for c in choices if c.unfit]
        listed = {choice.version.pk for choice in choices}
        other = [(version.pk, f"{version}, no longer the approved one") for version in own]
        groups = (
            ("Fit this dog", fit),
            ("Do not fit this dog", unfit),
            ("Chosen before", [choice for choice in other if choice[0] not in listed]),
        )
        field.choices = [("", "Choose a recipe"), *(group for group in groups if group[1])]

    def _show(self, plan: Plan) -> None:
        self.initial["recipe_share"] = plan.recipe_share * 100
        chosen = next((c for c in self._methods(plan.target_kg) if _is_of(plan, c)), None)
        self.initial["energy"] = chosen.key if chosen else BY_HAND
        if chosen:
            self.initial["kcal_per_day"] = None

    def _suggest(self, handed_over: dict) -> None:
        """What a new plan starts from, besides what was handed over: no energy is chosen for anybody.

        The model's own defaults stand in the form's initial values too: they give way to both.
        """
        key = self.dog.profile_key
        start = {
            "target_kg": self.dog.weight_kg,
            "goal": Plan.Goal.GROW if self.dog.stage.growing else Plan.Goal.HOLD,
            "profile": feeding_profiles().filter(key=key).first(),
            "kcal_per_day": None,
            "recipe_share": 100,
            **_kitchen(self.patient),
        }
        self.initial |= start | {name: value for name, value in handed_over.items() if value}

    def target_offers(self) -> list[TargetOffer]:
        """The weight now and, for a grown dog, the ideal weight by 10 and by 15 % per point."""
        kg = self.dog.weight_kg
        if kg is None:
            return []
        offers = [TargetOffer(f"{kg:g}", f"{in_kg(kg)}, the weight now")]
        if self.dog.needs_growth_profile or self.dog.ideal_kg() == kg:
            return offers
        for percent in (PERCENT_PER_BCS_POINT, HIGHEST_PERCENT_PER_BCS_POINT):
            ideal = self.dog.ideal_kg(percent)
            label = f"{in_kg(ideal)}, ideal at {percent:g} % per BCS point"
            offers.append(TargetOffer(f"{ideal:.1f}", label))
        return offers

    @cached_property
    def methods(self) -> list[EnergyChoice]:
        """The methods side by side, at the target weight that stands in the form, the goal's own first."""
        found = self.cleaned_data if self.is_bound else self.initial
        target = found.get("target_kg")
        choices = self._methods(target) if target else []
        return sorted(choices, key=lambda choice: choice.goal != found.get("goal"))

    def _methods(self, target_kg: float) -> list[EnergyChoice]:
        try:
            return plan_queries.energy_choices(self.patient, self.dog, target_kg)
        except ValueError as problem:
            self.methods_problem = str(problem)
            return []

    methods_problem = ""

    def clean_extras_kcal(self) -> float:
        return self.cleaned_data["extras_kcal"] or 0

    def clean_recipe_share(self) -> float:
        percent = self.cleaned_data["recipe_share"]
        if not 0 < percent <= 100:
            raise ValidationError("Enter more than 0 and at most 100 %.")
        return percent / 100

    def clean(self):
        super().clean()
        key, typed = self.cleaned_data.get("energy"), self.cleaned_data.get("kcal_per_day")
        by_key = {choice.key: choice for choice in self.methods if choice.kcal}
        if key in by_key:
            self._take(by_key[key], typed)
        elif key and key != BY_HAND:
            self.add_error("energy", "This method does not fit the dog: choose another, or “by hand”.")
        elif typed is not None:
            self.instance.method, self.instance.factor = SET_BY_HAND, None
        elif "kcal_per_day" not in self.errors:
            self.add_error("kcal_per_day", "Choose a method, or enter the kcal a day by hand.")

    def _take(self, choice: EnergyChoice, typed: float | None) -> None:
        kcal = round(choice.kcal)
        if typed is not None and round(typed) != kcal:
            self.add_error("kcal_per_day", BOTH)
            return
        factor = EnergyFactor.objects.filter(key=choice.key, unit=EnergyFactor.Unit.RER).first()
        self.cleaned_data["kcal_per_day"] = kcal
        self.instance.method, self.instance.factor = choice.label, factor.usual if factor else None

    def _post_clean(self):
        """With every field in order the plan is worked out; what is wrong with it stands at its field."""
        super()._post_clean()
        if not self.errors:
            self.worked = work_out(self.instance)
            for field, message in self.worked.problems:
                self.add_error(field, message)
            if "kcal_per_day" not in self.errors:
                self._ask_why()

    def _ask_why(self) -> None:
        """An energy outside what is published for the goal needs a reason, which is kept with the plan."""
        kcal, span = self.instance.kcal_per_day, published_range(self.methods, self.instance.goal)
        if outside(kcal, span) and not self.instance.energy_reason.strip():
            self.add_error("energy_reason", outside_sentence(kcal, span))

    worked: Workings | None = None

    @property
    def workings(self) -> Workings | None:
        """What follows from the form, or from the plan it opened; None while something is missing."""
        if not self.is_bound and self.instance.recipe_version_id:
            return work_out(self.instance)
        return self.worked


def _kitchen(patient: Patient) -> dict:
    """What the dog's record says of the kitchen; what was not told is left to the plan's own defaults."""
    told = {
        "vessel_litres": patient.cooker_litres,
        "scale": SCALE_OF.get(patient.weighs_in_grams),
        "serve": Plan.Serve.COLD if patient.likes_food == Patient.Likes.COLD else None,
    }
    return {name: value for name, value in told.items() if value is not None}


def _is_of(plan: Plan, choice: EnergyChoice) -> bool:
    return choice.label == plan.method and choice.kcal is not None and round(choice.kcal) == plan.kcal_per_day
