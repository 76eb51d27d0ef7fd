"""The lines of a recipe's form: its ingredients and its kitchen steps."""

from collections.abc import Iterable

from django import forms
from django.db.models.functions import Lower
from django.utils.functional import cached_property

from nutrients import queries as nutrients
from nutrients.fields import NumberField
from nutrients.models import Caution, Food
from recipes.lines import MOST_LINES
from recipes.models import Ingredient, KitchenStep, When
from recipes.obstacles import forbidden, too_hot
from recipes.weighing import DOSES, Scale, household_measures

LIGHTEST_G, HEAVIEST_G = 0.001, 100_000
# More lines than may be saved are still shown as they were typed, up to this many.
MOST_SHOWN = 500
EMPTY = "empty"
STEP_G = Ingredient._meta.get_field("step_g").default


class IngredientLineForm(forms.Form):
    """One ingredient; `scale` is what its food can be measured in, and follows the food that is typed."""

    food = forms.CharField(
        max_length=200,
        widget=forms.TextInput(attrs={"list": "food-names", "autocomplete": "off"}),
        error_messages={"required": "Which food? Type its name."},
    )
    amount = NumberField(
        error_messages={
            "required": "How much? Type an amount.",
            "invalid": "Type the amount in figures, such as 120 or 7.5.",
        }
    )
    unit = forms.CharField(required=False, max_length=120, widget=forms.Select, initial="g")
    when = forms.ChoiceField(choices=When.choices, initial=When.IN_THE_POT, label="When to add")
    step_g = NumberField(
        label="Rounding step (g)",
        required=False,
        min_value=0.1,
        max_value=1000,
        help_text="Of a scaled batch: 5 g when empty. Supplements use their dose step.",
    )
    note = forms.CharField(required=False, max_length=200)
    scale = Scale()

    def measure_on(self, scale: Scale) -> None:
        """Offer the units of a food; a chosen one that is not among them stays, so that it can be seen."""
        self.scale, chosen = scale, self["unit"].value() or ""
        units = scale.units
        if chosen not in dict(units):
            units.append((chosen, f"{chosen}: not known of it" if chosen else "choose"))
        self.fields["unit"].widget.choices = units

    @property
    def weight(self) -> str:
        """What was typed in another unit, in grams; empty for grams and for what is no amount."""
        unit = self["unit"].value()
        try:
            amount = self.fields["amount"].clean(self["amount"].value())
            grams = self.scale.grams(amount, unit)
        except (ValueError, forms.ValidationError):
            return ""
        return "" if unit == "g" else f"= {grams:,.4g} g" if grams < 1000 else f"= {grams:,.0f} g"

    def clean_amount(self) -> float:
        amount = self.cleaned_data["amount"]
        if amount <= 0:
            raise forms.ValidationError("An ingredient weighs more than 0: correct it or take the line out.")
        return amount

    def match(self, food: Food | None, caution: Caution | None) -> None:
        """Tie the typed line to a food, or say what is wrong with it."""
        if caution is not None:
            self.add_error("food", forbidden(caution))
        elif food is None:
            typed = self.cleaned_data["food"]
            self.add_error("food", f"No food is called “{typed}”: choose one from the list.")
        else:
            self.cleaned_data["food"] = food
            self._weigh()
            self._check_heat(food)

    def _weigh(self) -> None:
        if not {"amount", "unit"} <= self.cleaned_data.keys():
            return
        try:
            grams = self.scale.grams(self.cleaned_data["amount"], self.cleaned_data["unit"])
        except ValueError as problem:
            self.add_error("unit", str(problem))
            return
        if not LIGHTEST_G <= grams <= HEAVIEST_G:
            self.add_error("amount", f"{grams:,.6g} g cannot be right: enter {LIGHTEST_G} g to 100 kg.")
            return
        self.cleaned_data["grams"] = grams

    def _check_heat(self, food: Food) -> None:
        if said := too_hot(food, self.cleaned_data.get("when", "")):
            self.add_error("when", said)

    def ingredient(self) -> Ingredient:
        typed = self.cleaned_data
        return Ingredient(
            food=typed["food"],
            grams=typed["grams"],
            when=typed["when"],
            step_g=typed["step_g"] or STEP_G,
            note=typed["note"],
        )


class Lines(forms.BaseFormSet):
    """Lines of which any may be left blank: blank ones are passed over."""

    default_error_messages = forms.BaseFormSet.default_error_messages | {
        "too_many_forms": f"A recipe holds at most {MOST_LINES} lines of a kind: take some out."
    }

    def initial_form_count(self) -> int:
        return 0

    def total_form_count(self) -> int:
        if self.is_bound:
            return super().total_form_count()
        return min(len(self.initial or []), MOST_SHOWN)

    def right(self) -> list[forms.Form]:
        """The lines in which something was typed and nothing is wrong."""
        if not self.is_bound or self.non_form_errors():
            return []
        return [form for form in self.forms if form.has_changed() and not form.errors]

    def problems(self) -> list[str]:
        """What is wrong, each with the number of its line; that nothing is typed yet is no such thing."""
        by_line = [
            f"Line {number}: {error}"
            for number, form in enumerate(self.forms, start=1)
            for errors in form.errors.values()
            for error in errors
        ]
        whole = [error for error in self.non_form_errors().as_data() if error.code != EMPTY]
        return [*by_line, *(message for error in whole for message in error.messages)]


class BaseIngredientLines(Lines):
    @cached_property
    def forms(self) -> list[IngredientLineForm]:
        """The lines, each measured in the units of the food that is typed in it."""
        lines = super().forms
        self.foods = foods_called(map(_typed_name, lines))
        for line in lines:
            line.measure_on(scale_of(self.foods.get(_typed_name(line).casefold())))
        return lines

    def clean(self) -> None:
        typed = [form for form in self.forms if form.has_changed()]
        if not typed:
            raise forms.ValidationError("A recipe needs at least one ingredient.", EMPTY)
        named = [form for form in typed if form.cleaned_data.get("food")]
        foods = self.foods
        names = {form.cleaned_data["food"] for form in named} | {food.name for food in foods.values()}
        cautions = nutrients.toxic_cautions(names)
        for form in named:
            name = form.cleaned_data["food"]
            food = foods.get(name.casefold())
            form.match(food, cautions.get(name) or (food and cautions.get(food.name)))
        self._refuse_twice(named)

    def _refuse_twice(self, named: list[IngredientLineForm]) -> None:
        seen = set()
        for form in named:
            line = form.cleaned_data.get("food"), form.cleaned_data.get("when")
            if None not in line and line in seen:
                message = "This food is added at this moment already: put both amounts on one line."
                form.add_error("food", message)
            seen.add(line)

    def ingredients(self) -> list[Ingredient]:
        """The lines that are right, as unsaved ingredients in their order."""
        return [form.ingredient() for form in self.right()]


def _typed_name(line: IngredientLineForm) -> str:
    return (line["food"].value() or "").replace("\x00", "").strip()


def scale_of(food: Food | None) -> Scale:
    """What a food can be measured in; None for one that is not known."""
    if food is None:
        return Scale()
    supplement = getattr(food, "supplement", None)
    measures = ((measure.label, measure.amount, measure.grams) for measure in food.measures.all())
    return Scale(
        food.name,
        household_measures(measures),
        supplement.dose_unit if supplement else "",
        supplement and supplement.grams_per_dose_unit,
    )


def foods_called(names: Iterable[str]) -> dict[str, Food]:
    """Foods by their names in small letters; names typed in other letters cost a look at every food."""
    wanted = set(names)
    foods = Food.objects.select_related("supplement").prefetch_related("measures")
    found = {food.name.casefold(): food for food in foods.filter(name__in=wanted)}
    if rest := {name.casefold() for name in wanted} - found.keys() - {""}:
        others = foods.alias(small=Lower("name")).filter(small__in=rest)
        found |= {food.name.casefold(): food for food in others}
    return found


class KitchenStepForm(forms.Form):
    text = forms.CharField(
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
        label="What to do",
        error_messages={"required": "Say what to do in this step."},
    )
    minutes = forms.IntegerField(required=False, min_value=0, max_value=6000, widget=NumberField.widget)
    temperature_c = NumberField(label="Inside, °C", required=False, min_value=0, max_value=250)

    def kitchen_step(self) -> KitchenStep:
        return KitchenStep(**self.cleaned_data)


class BaseStepLines(Lines):
    def kitchen_steps(self) -> list[KitchenStep]:
        return [form.kitchen_step() for form in self.right()]


def _lines(form, base):
    return forms.formset_factory(
        form, formset=base, extra=0, max_num=MOST_LINES, validate_max=True, absolute_max=MOST_SHOWN
    )


IngredientLines = _lines(IngredientLineForm, BaseIngredientLines)
StepLines = _lines(KitchenStepForm, BaseStepLines)


def typed_ingredient(ingredient: Ingredient) -> dict[str, str]:
    """A saved ingredient as it would be typed: a supplement in its doses when they come out even."""
    amount, unit = ingredient.grams, "g"
    supplement = getattr(ingredient.food, "supplement", None)
    if supplement is not None and supplement.dose_unit != "g":
        doses = round(amount / supplement.grams_per_dose_unit, 4)
        if abs(doses * supplement.grams_per_dose_unit - amount) < 1e-6:
            amount, unit = doses, DOSES
    return {
        "food": ingredient.food.name,
        "amount": f"{amount:.10g}",
        "unit": unit,
        "when": ingredient.when,
        "step_g": "" if ingredient.step_g == STEP_G else f"{ingredient.step_g:g}",
        "note": ingredient.note,
    }


def typed_step(step: KitchenStep) -> dict[str, str]:
    temperature = "" if step.temperature_c is None else f"{step.temperature_c:g}"
    minutes = "" if step.minutes is None else str(step.minutes)
    return {"text": step.text, "minutes": minutes, "temperature_c": temperature}
