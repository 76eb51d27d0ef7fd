"""Everything that the page of a recipe's version shows, read and worked out."""

from dataclasses import dataclass, replace
from itertools import groupby

from nutrients.adequacy import is_open
from nutrients.composition import RATIOS
from nutrients.models import Caution, Nutrient, Profile
from recipes import findings, obstacles, presentation, queries
from recipes.models import KitchenStep, RecipeVersion
from recipes.services import fingerprint
from recipes.switches import Switches

Groups = list[tuple[str, list[Nutrient]]]
PROTEIN = "protein"  # shown when nothing is open


@dataclass(frozen=True)
class VersionPage:
    """worked_out None: nothing could be worked out, and `problem` says why."""

    version: RecipeVersion
    sentence: str
    ingredients: list[presentation.IngredientRow]
    steps: list[tuple[KitchenStep, str]]
    cautions: list[tuple[str, Caution]]
    profile: Profile
    options: findings.Options
    switches: Switches
    nutrients: Groups
    versions: list[RecipeVersion]
    obstacles: list[str]
    discontinued: list[str]
    seen: str
    worked_out: findings.Findings | None
    problem: str

    @property
    def next_number(self) -> int:
        return self.versions[0].number + 1

    @property
    def link(self) -> str:
        """To this page as it is looked at now."""
        return "?" + "&".join(filter(None, (f"version={self.version.number}", self.switches.query())))

    @property
    def is_latest(self) -> bool:
        return self.version == self.versions[0]


def of(version: RecipeVersion, switches: Switches) -> VersionPage:
    """What is asked for and not known gives way to the usual."""
    recipe = version.recipe
    profile = findings.profile_of(switches, recipe.profile)
    lines = list(queries.INGREDIENTS.filter(version=version))
    portions = [queries.portion(line) for line in lines]
    nutrients = _nutrients()
    worked_out, problem = None, "" if lines else "There is no ingredient in it yet."
    try:
        worked_out = findings.of(version, portions, switches, profile) if lines else None
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
        options=findings.options(),
        switches=switches,
        nutrients=nutrients,
        versions=list(recipe.versions.select_related("author", "approved_by")),
        obstacles=_obstacles(version, worked_out),
        discontinued=obstacles.discontinued(portions),
        seen=fingerprint(version),
        worked_out=worked_out and _with_parts(worked_out, nutrients),
        problem=problem,
    )


def _obstacles(version: RecipeVersion, found: findings.Findings | None) -> list[str]:
    """What stands in the way of an approval; what was worked out already serves when it is the same."""
    if version.approved:
        return []
    same = found and found.switches.estimates and found.profile == version.recipe.profile
    return obstacles.to_approval(version, found.analysis.judgement if same else None)


def _with_parts(found: findings.Findings, nutrients: Groups) -> findings.Findings:
    """With what brings the nutrient that was asked for, else the first that is open."""
    if found.nutrient is not None:
        return found
    judgement = found.shown.judgement
    opened = (key for key in judgement.index[is_open(judgement)] if key not in RATIOS)
    usual = next(opened, PROTEIN)
    nutrient = next(each for _, group in nutrients for each in group if each.key == usual)
    return replace(found, nutrient=nutrient, brought=presentation.brought(found.shown, usual))


def _nutrients() -> Groups:
    """Those that ingredients bring, by their groups."""
    with_parts = Nutrient.objects.exclude(key__in=RATIOS)
    return [(group, list(each)) for group, each in groupby(with_parts, key=lambda each: each.group)]
