"""The form of a recipe."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django import forms

from nutrients import queries as nutrients
from nutrients.fields import NumberField
from nutrients.models import Food
from recipes import pasting
from recipes.line_forms import (
    HEAVIEST_G,
    MOST_SHOWN,
    IngredientLineForm,
    IngredientLines,
    KitchenStepForm,
    StepLines,
    typed_ingredient,
    typed_step,
)
from recipes.lines import LONGEST_COUNT, rearranged, typed_lines, with_food
from recipes.models import Recipe, RecipeVersion
from recipes.pasting import PastedList

LINES, STEPS = "lines", "steps"
PASTE, TAKE = "paste", "paste-take"
SHOW = "show"
# Cooked weight as a share of what goes in; common practice, no source: beyond, a typing error. Dry grain and
# legumes boiled in water that is poured off weigh up to three times as much.
LEAST_LEFT, MOST_GAINED = 0.3, 3


class RecipeForm(forms.ModelForm):
    class Meta:
        model = Recipe
        fields = ("title", "purpose", "tags", "profile")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["profile"].queryset = nutrients.feeding_profiles()
        self.fields["profile"].empty_label = None
        self.fields["profile"].error_messages["required"] = "Choose the profile that it is meant to meet."
        self.fields["title"].error_messages["required"] = "Give the recipe a title."
        self.fields["title"].error_messages["unique"] = (
            "Another recipe has this title: choose a title of its own."
        )


class VersionForm(forms.ModelForm):
    added_water_g = NumberField(label="Water added (g)", required=False, min_value=0, max_value=HEAVIEST_G)
    cooked_weight_g = NumberField(
        label="Cooked weight, weighed (g)",
        required=False,
        min_value=1,
        max_value=HEAVIEST_G,
        help_text="Of the whole batch as written. Leave empty when it was not weighed: it is estimated then.",
    )

    class Meta:
        model = RecipeVersion
        fields = ("method", "vessel", "added_water_g", "cooked_weight_g", "note")

    def clean_added_water_g(self):
        return self.cleaned_data["added_water_g"] or 0


@dataclass
class RecipeForms:
    """Everything that the form of a recipe holds."""

    recipe: RecipeForm
    version: VersionForm
    lines: IngredientLines
    steps: StepLines
    pasted: PastedList = PastedList()

    def is_valid(self) -> bool:
        """Every part is checked, so that all that is wrong is said at once."""
        found = [part.is_valid() for part in (self.recipe, self.version, self.lines, self.steps)]
        return all(found) and not self.pasted.text

    def wrong(self) -> bool:
        """Is there something to mend in a form that was sent?"""
        return self.recipe.is_bound and not self.is_valid()

    def check_cooked_weight(self) -> None:
        """Refuse a cooked weight that this batch cannot have."""
        cooked_g = self.version.is_valid() and self.version.cleaned_data["cooked_weight_g"]
        ingredients = self.lines.is_valid() and self.lines.ingredients()
        if not cooked_g or not ingredients:
            return
        goes_in_g = sum(line.grams for line in ingredients) + self.version.cleaned_data["added_water_g"]
        if not LEAST_LEFT <= cooked_g / goes_in_g <= MOST_GAINED:
            message = f"{goes_in_g:,.0f} g go in: {cooked_g:,.0f} g cooked cannot be right."
            self.version.add_error("cooked_weight_g", message)

    def problems(self) -> list[str]:
        """What is wrong with the numbers, in words; a title still to be given is no such thing."""
        version, profile = self.version, self.recipe.errors.get("profile", [])
        fields = [f"{version.fields[key].label}: {' '.join(found)}" for key, found in version.errors.items()]
        return [*profile, *fields, *self.lines.problems()]


def stored(recipe: Recipe, version: RecipeVersion | None) -> RecipeForms:
    """The form as its page first shows it; `recipe` is unsaved and `version` None for a new one."""
    if version is None:
        blank = [{}, {}, {}]
        return RecipeForms(RecipeForm(instance=recipe), VersionForm(), _lines(blank), _steps([{}]))
    ingredients = version.ingredients.select_related("food__supplement")
    particulars = {
        "method": version.method,
        "vessel": version.vessel,
        "added_water_g": f"{version.added_water_g:g}",
    }
    if not version.approved:
        weighed = version.cooked_weight_g
        particulars |= {"cooked_weight_g": f"{weighed:g}" if weighed else "", "note": version.note}
    return RecipeForms(
        RecipeForm(instance=recipe),
        VersionForm(initial=particulars),
        _lines([*map(typed_ingredient, ingredients), {}]),
        _steps([*map(typed_step, version.kitchen_steps.all()), {}]),
    )


def sent(data: Mapping[str, str], recipe: Recipe) -> RecipeForms:
    """The form as it was sent, checked; a pasted list that was not put into its lines stands in the way."""
    pasted = pasting.of_form(data)
    if pasted.text:
        said = "This list is not in the recipe yet: put it into the lines, or empty the field."
        pasted = replace(pasted, problem=pasted.problem or said)
    forms_ = RecipeForms(
        RecipeForm(data, instance=recipe),
        VersionForm(data),
        IngredientLines(data, prefix=LINES),
        StepLines(data, prefix=STEPS),
        pasted,
    )
    forms_.check_cooked_weight()
    return forms_


def as_typed(data: Mapping[str, str], recipe: Recipe, act: str = "") -> RecipeForms:
    """The form as it was typed, right or wrong, after a line was added, moved or removed.

    act: such as `lines-up-3`, `steps-add`, `lines-food-57`, which puts food 57 into a blank line,
    `paste-take`, which puts the lines of a pasted list behind the others, or `show`, which changes nothing.
    """
    typed = {
        LINES: typed_lines(data, LINES, tuple(IngredientLineForm.base_fields), MOST_SHOWN),
        STEPS: typed_lines(data, STEPS, tuple(KitchenStepForm.base_fields), MOST_SHOWN),
    }
    kind, _, action = act.partition("-")
    place, focus, pasted = 0, "", None
    if act == TAKE:
        typed[LINES], pasted = pasting.taken(typed[LINES], data)
    elif kind in typed:
        typed[kind], place, focus = _after(typed[kind], kind, action)
    forms_ = RecipeForms(
        RecipeForm(initial=data, instance=recipe),
        VersionForm(initial=data),
        _lines(typed[LINES]),
        _steps(typed[STEPS]),
        pasting.of_form(data) if pasted is None else pasted,
    )
    if focus:
        _focus(forms_.lines if kind == LINES else forms_.steps, place, focus)
    return forms_


def as_data(data: Mapping[str, str], typed: RecipeForms) -> dict[str, str]:
    """What a browser would send of the form as it stands now; data: as it was sent before."""
    now = dict(data) | {pasting.TEXT: ""}
    for kind, lines in ((LINES, typed.lines), (STEPS, typed.steps)):
        now[f"{kind}-TOTAL_FORMS"] = str(len(lines.initial))
        for place, line in enumerate(lines.initial):
            for name, field in lines.form.base_fields.items():
                now[f"{kind}-{place}-{name}"] = line.get(name, field.initial or "")
    return now


def _after(lines: list[dict], kind: str, action: str) -> tuple[list[dict], int, str]:
    """The lines after `up-3`, `add`, `move-3-0` ..., with the place and the field to go on working at."""
    action, *numbers = action.split("-")
    places = [int(x) if x.isdecimal() and len(x) <= LONGEST_COUNT else -1 for x in numbers]
    place, to = (places + [-1, -1])[:2]
    if action == "food":
        name = Food.objects.filter(pk=place).values_list("name", flat=True).first()
        return (*(with_food(lines, name) if name else (lines, 0)), "amount")
    return (*rearranged(lines, action, place, to), "food" if kind == LINES else "text")


def _lines(typed: list[dict]) -> IngredientLines:
    return IngredientLines(prefix=LINES, initial=typed)


def _steps(typed: list[dict]) -> StepLines:
    return StepLines(prefix=STEPS, initial=typed)


def _focus(lines, place: int, field: str) -> None:
    if place < len(lines.forms):
        lines.forms[place].fields[field].widget.attrs["autofocus"] = True
