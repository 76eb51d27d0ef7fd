"""What follows from a recipe while it is being written: the panel beside its form."""

from dataclasses import dataclass

from nutrients.models import Profile
from recipes import findings, obstacles, queries
from recipes.forms import RecipeForms
from recipes.models import Ingredient, RecipeVersion
from recipes.switches import IN_THE_PANEL, Switches, asked_in_form


@dataclass(frozen=True)
class Panel:
    """found None: nothing could be worked out, and `problems` says why. discontinued: sentences."""

    problems: list[str]
    switches: Switches
    found: findings.Findings | None = None
    discontinued: tuple[str, ...] = ()

    @property
    def options(self) -> findings.Options:
        """Read for the page that holds the switches: they stay while the panel is renewed."""
        return findings.options()

    @property
    def line(self) -> str:
        figures = self.found.figures
        about = "About " if figures.about else ""
        return f"{about}{figures.kcal_per_100g:.0f} kcal in 100 g; {figures.verdict}."


def of_forms(forms: RecipeForms) -> Panel:
    """From a form that was sent: lines with something wrong are left out and named."""
    problems = forms.problems()
    typed = forms.version.cleaned_data
    version = RecipeVersion(**{key: value for key, value in typed.items() if value not in (None, "")})
    profile = forms.recipe.cleaned_data.get("profile")
    return _panel(version, forms.lines.ingredients(), profile, problems, asked_in_form(forms.recipe.data))


def of_version(version: RecipeVersion) -> Panel:
    """From a version as it is stored."""
    ingredients = list(queries.INGREDIENTS.filter(version=version))
    return _panel(version, ingredients, version.recipe.profile, [], IN_THE_PANEL)


def blank() -> Panel:
    """Of a recipe that is not begun."""
    return Panel([], IN_THE_PANEL)


def _panel(
    version: RecipeVersion,
    ingredients: list[Ingredient],
    meant: Profile | None,
    problems: list[str],
    switches: Switches,
) -> Panel:
    profile = findings.profile_of(switches, meant)
    if profile is None or not ingredients:
        return Panel(problems, switches)
    portions = [queries.portion(ingredient) for ingredient in ingredients]
    told = tuple(obstacles.discontinued(portions))
    try:
        found = findings.of(version, portions, switches, profile)
    except ValueError as problem:
        return Panel([*problems, str(problem)], switches, discontinued=told)
    return Panel(problems, switches, found, told)
