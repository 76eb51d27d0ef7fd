"""What follows from a recipe while it is being written: the panel beside its form."""

from dataclasses import dataclass

from nutrients import queries as nutrients
from nutrients.adequacy_table import AdequacyRow, grouped_rows
from nutrients.models import Profile
from recipes import obstacles, presentation, queries
from recipes.analysis import Analysis
from recipes.forms import RecipeForms
from recipes.models import Ingredient, RecipeVersion


@dataclass(frozen=True)
class Panel:
    """figures None: nothing could be worked out, and `problems` says why. discontinued: sentences."""

    problems: list[str]
    profile: Profile | None
    figures: presentation.Figures | None = None
    facts: tuple[presentation.Fact, ...] = ()
    watched: tuple[presentation.Watched, ...] = ()
    open_rows: tuple[AdequacyRow, ...] = ()
    groups: tuple[tuple[str, list[AdequacyRow]], ...] = ()
    without_energy: tuple[str, ...] = ()
    discontinued: tuple[str, ...] = ()

    @property
    def limits(self) -> int:
        return sum(len(rows) for _, rows in self.groups)

    @property
    def line(self) -> str:
        about = "About " if self.figures.about else ""
        return f"{about}{self.figures.kcal_per_100g:.0f} kcal in 100 g; {self.figures.verdict}."


def of_forms(forms: RecipeForms) -> Panel:
    """From a form that was sent: lines with something wrong are left out and named."""
    problems = forms.problems()
    typed = forms.version.cleaned_data
    version = RecipeVersion(**{key: value for key, value in typed.items() if value not in (None, "")})
    profile = forms.recipe.cleaned_data.get("profile")
    return _panel(version, forms.lines.ingredients(), profile, problems)


def of_version(version: RecipeVersion) -> Panel:
    """From a version as it is stored."""
    ingredients = list(queries.INGREDIENTS.filter(version=version))
    return _panel(version, ingredients, version.recipe.profile, [])


def _panel(
    version: RecipeVersion, ingredients: list[Ingredient], profile: Profile | None, problems: list[str]
) -> Panel:
    if profile is None or not ingredients:
        return Panel(problems, profile)
    portions = [queries.portion(ingredient) for ingredient in ingredients]
    told = tuple(obstacles.discontinued(portions))
    try:
        analysis = queries.reference(portions).analysis(version, portions, nutrients.profile_limits(profile))
    except ValueError as problem:
        return Panel([*problems, str(problem)], profile, discontinued=told)
    return _worked_out(analysis, profile, problems, told)


def _worked_out(
    analysis: Analysis, profile: Profile, problems: list[str], discontinued: tuple[str, ...]
) -> Panel:
    groups = grouped_rows(analysis.judgement, analysis.estimated)
    return Panel(
        problems=problems,
        profile=profile,
        figures=presentation.figures(analysis),
        facts=tuple(presentation.facts(analysis)),
        watched=tuple(presentation.watched(analysis, nutrients.watch_levels())),
        open_rows=tuple(row for _, rows in groups for row in rows if row.open),
        groups=tuple(groups),
        without_energy=analysis.energy.missing,
        discontinued=discontinued,
    )
