"""Everything that the page of a recipe's version shows, read and worked out."""

from dataclasses import dataclass
from itertools import groupby

from nutrients import queries as nutrients
from nutrients.adequacy import is_open
from nutrients.adequacy_table import AdequacyRow, grouped_rows
from nutrients.composition import RATIOS
from nutrients.models import Caution, Nutrient, Profile
from recipes import obstacles, presentation, queries
from recipes.analysis import Analysis, Portion, no_factor_published
from recipes.models import KitchenStep, RecipeVersion
from recipes.services import fingerprint


@dataclass(frozen=True)
class WorkedOut:
    """What follows from a version that holds energy, against the profile that was chosen.

    groups: the rows of the judgement that are shown, all or the open ones. fully_known: how many of `limits`
    rest on a value in every ingredient. no_factor: nutrients without a published retention factor.
    """

    analysis: Analysis
    figures: presentation.Figures
    facts: list[presentation.Fact]
    watched: list[presentation.Watched]
    groups: list[tuple[str, list[AdequacyRow]]]
    limits: int
    fully_known: int
    no_factor: tuple[str, ...]
    nutrients: list[tuple[str, list[Nutrient]]]
    nutrient: Nutrient
    brought: list[presentation.BroughtRow]


@dataclass(frozen=True)
class VersionPage:
    """worked_out None: nothing could be worked out, and `problem` says why."""

    version: RecipeVersion
    sentence: str
    ingredients: list[presentation.IngredientRow]
    steps: list[tuple[KitchenStep, str]]
    cautions: list[tuple[str, Caution]]
    profile: Profile
    profiles: list[Profile]
    only_open: bool
    estimates: bool
    versions: list[RecipeVersion]
    obstacles: list[str]
    discontinued: list[str]
    seen: str
    worked_out: WorkedOut | None
    problem: str

    @property
    def next_number(self) -> int:
        return self.versions[0].number + 1

    @property
    def is_latest(self) -> bool:
        return self.version == self.versions[0]


def of(
    version: RecipeVersion, *, profile_key: str, nutrient_key: str, only_open: bool, estimates: bool = True
) -> VersionPage:
    """profile_key and nutrient_key as they were asked for: what is not known gives way to the usual.

    estimates: whether values that are estimates count, or are unknown.
    """
    recipe = version.recipe
    profiles = list(nutrients.feeding_profiles())
    profile = next((each for each in profiles if each.key == profile_key), recipe.profile)
    lines = list(queries.INGREDIENTS.filter(version=version))
    portions = [queries.portion(line) for line in lines]
    given = queries.reference(portions, estimates=estimates)
    worked_out, problem = None, "" if lines else "There is no ingredient in it yet."
    try:
        worked_out = lines and _work_out(version, portions, given, profile, nutrient_key, only_open) or None
    except ValueError as found:
        problem = str(found)
    return VersionPage(
        version=version,
        sentence=presentation.sentence(
            recipe.title, version.get_method_display(), worked_out and worked_out.figures
        ),
        ingredients=presentation.ingredient_rows(lines, portions, worked_out and worked_out.analysis),
        steps=[(step, presentation.temperature(step.temperature_c)) for step in version.kitchen_steps.all()],
        cautions=obstacles.cautions(portions, version.method),
        profile=profile,
        profiles=profiles,
        only_open=only_open,
        estimates=estimates,
        versions=list(recipe.versions.select_related("author", "approved_by")),
        obstacles=obstacles.to_approval(version),
        discontinued=obstacles.discontinued(portions),
        seen=fingerprint(version),
        worked_out=worked_out,
        problem=problem,
    )


def _work_out(
    version: RecipeVersion,
    portions: list[Portion],
    given: queries.Reference,
    profile: Profile,
    nutrient_key: str,
    only_open: bool,
) -> WorkedOut:
    """Raises ValueError when the portions hold no energy."""
    analysis = given.analysis(version, portions, nutrients.profile_limits(profile))
    judgement = analysis.judgement
    opened = is_open(judgement)
    choices = [each for each in Nutrient.objects.all() if each.key not in RATIOS]
    usual = next((key for key in judgement.index[opened] if key not in RATIOS), "protein")
    chosen = {each.key: each for each in choices}
    nutrient = chosen.get(nutrient_key) or chosen[usual]
    return WorkedOut(
        analysis=analysis,
        figures=presentation.figures(analysis),
        facts=presentation.facts(analysis),
        watched=presentation.watched(analysis, nutrients.watch_levels()),
        groups=grouped_rows(judgement[opened] if only_open else judgement, analysis.estimated),
        limits=len(judgement),
        fully_known=sum(not foods for foods in judgement["missing"]),
        no_factor=no_factor_published(judgement, given.retention, version.method),
        nutrients=[(group, list(each)) for group, each in groupby(choices, key=lambda each: each.group)],
        nutrient=nutrient,
        brought=presentation.brought(analysis, nutrient.key),
    )
