"""What a search of the library asks."""

from dataclasses import dataclass

from django import forms
from django.utils.functional import cached_property

from nutrients import queries as nutrients
from nutrients.fields import NumberField
from nutrients.food_words import words_of
from recipes import dogs
from recipes.figure_words import BY_KEY, FIGURES, Figure
from recipes.models import Recipe
from recipes.queries import tags_of
from recipes.search import NEWEST, OPEN, TITLE, Band, Met, Search

WITH_GAPS = "gaps"
LIST, GRID = "list", "grid"
FOUND, UNDECIDED, LEFT_OUT = "", "undecided", "left-out"
ORDERS = (
    (TITLE, "title"),
    (NEWEST, "newest first"),
    (OPEN, "fewest open limits first"),
    ("kcal_per_100g", "least energy in 100 g first"),
    ("-kcal_per_100g", "most energy in 100 g first"),
    ("-protein", "most protein first"),
    ("protein", "least protein first"),
    ("fat", "least fat first"),
    ("-fat", "most fat first"),
)
MOST_NAMED = 12  # foods or tags in one search


def search_input(**attrs) -> forms.TextInput:
    return forms.TextInput(attrs={"type": "search", "autocomplete": "off"} | attrs)


@dataclass(frozen=True)
class BandFields:
    """A figure with its two fields."""

    figure: Figure
    least: forms.BoundField
    most: forms.BoundField


class RecipeSearchForm(forms.Form):
    """Beside the fields below one for the least and one for the most of every figure."""

    q = forms.CharField(label="Words", required=False, max_length=100, widget=search_input())
    ingredient = forms.CharField(
        label="With", required=False, max_length=200, widget=search_input(placeholder="beef; barley")
    )
    without = forms.CharField(
        label="Without", required=False, max_length=200, widget=search_input(placeholder="chicken; dairy")
    )
    tags = forms.CharField(label="Tags", required=False, max_length=200, widget=search_input(list="tags"))
    life_stage = forms.ChoiceField(required=False)
    state = forms.ChoiceField(required=False, choices=[("", "any state"), *Recipe.State.choices])
    dog = forms.ChoiceField(label="Fits this dog", required=False)
    meets = forms.ChoiceField(label="Meets a profile", required=False)
    meeting = forms.ChoiceField(
        label="How far",
        required=False,
        choices=[("", "nothing open"), (WITH_GAPS, "nothing below or above, data may be missing")],
    )
    sort = forms.ChoiceField(label="Sorted by", required=False, choices=ORDERS)
    view = forms.ChoiceField(label="Show as", required=False, choices=[(LIST, "list"), (GRID, "grid")])

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        profiles = list(nutrients.feeding_profiles())
        self.profiles = {profile.key: profile for profile in profiles}
        stages = dict.fromkeys(profile.life_stage for profile in profiles)
        self.fields["life_stage"].choices = [("", "every life stage"), *((stage, stage) for stage in stages)]
        self.fields["meets"].choices = [
            ("", "any or none"),
            *((key, str(each)) for key, each in self.profiles.items()),
        ]
        self.fields["dog"].choices = [("", "any dog"), *((str(pk), label) for pk, label in dogs.choices())]
        for figure in FIGURES:
            for side, word in (("least", "at least"), ("most", "at most")):
                label = f"{figure.name}, {figure.in_words}, {word}"
                self.fields[f"{figure.key}_{side}"] = NumberField(label=label, required=False, min_value=0)

    @property
    def plain_fields(self) -> list[forms.BoundField]:
        """What is asked beside the figures and the profile."""
        names = ("q", "ingredient", "without", "tags", "life_stage", "state", "dog", "sort", "view")
        return [self[name] for name in names]

    @property
    def profile_fields(self) -> list[forms.BoundField]:
        return [self["meets"], self["meeting"]]

    @property
    def bands(self) -> list[BandFields]:
        return [
            BandFields(figure, self[f"{figure.key}_least"], self[f"{figure.key}_most"]) for figure in FIGURES
        ]

    @property
    def asks_for_figures(self) -> bool:
        named = [name for name in self.data if name.endswith(("_least", "_most")) or name == "meets"]
        return any(self.data[name] for name in named)

    @cached_property
    def asked(self) -> dict:
        """What was understood; what was not has no place here."""
        self.is_valid()
        return self.cleaned_data

    def clean(self):
        asked = super().clean()
        for figure in FIGURES:
            least, most = asked.get(f"{figure.key}_least"), asked.get(f"{figure.key}_most")
            if least is not None and most is not None and least > most:
                self.add_error(
                    f"{figure.key}_least", f"No amount is at least {least:g} and at most {most:g}."
                )
                asked.pop(f"{figure.key}_most")
        return asked

    def search(self) -> Search:
        """The search as far as it was understood."""
        profile, dog = self.profiles.get(self.asked.get("meets")), dogs.dog(self.asked.get("dog", ""))
        return Search(
            matching={
                "word": self.asked.get("q", ""),
                "life_stage": self.asked.get("life_stage", ""),
                "state": self.asked.get("state", ""),
                "tags": tags_of(self.asked.get("tags", ""))[:MOST_NAMED],
            },
            holding=_foods_named(self.asked.get("ingredient", "")),
            without=_foods_named(self.asked.get("without", "")),
            bands=tuple(filter(None, map(self._band, FIGURES))),
            met=profile and Met(profile, self.asked.get("meeting") == WITH_GAPS),
            dog=dog,
            order=self.asked.get("sort") or TITLE,
        )

    def _band(self, figure: Figure) -> Band | None:
        sides = [self.asked.get(f"{figure.key}_{side}") for side in ("least", "most")]
        if sides == [None, None]:
            return None
        return Band(figure.key, *(side if side is None else side * figure.stored for side in sides))

    def figures_asked(self, search: Search) -> list[Figure]:
        """The figures that a search or its order speaks of, beside the energy that every row says."""
        keys = [*(band.figure for band in search.bands), search.order.removeprefix("-")]
        return [BY_KEY[key] for key in dict.fromkeys(keys) if key in BY_KEY and key != "kcal_per_100g"]

    def not_understood(self) -> list[str]:
        """What was asked for and cannot be, in words."""
        return [
            f"There is no “{self[name].data}” under “{self[name].label}”: it was left out."
            if isinstance(self.fields[name], forms.ChoiceField)
            else f"{self[name].label}: {' '.join(problems)} It was left out."
            for name, problems in self.errors.items()
        ]


def _foods_named(text: str) -> tuple[str, ...]:
    """Foods one after the other, parted by semicolons, as commas stand in their names."""
    return tuple(part.strip() for part in text.split(";") if words_of(part))[:MOST_NAMED]
