"""The page that lays two or more ways of cooking a version side by side, read and worked out."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrients import queries as nutrients
from nutrients.models import Method, Nutrient, Retention
from recipes import obstacles, queries
from recipes.analysis import LIQUID_KEPT, NOT_HEATED, Portion
from recipes.cooking import Comparison, Row, Way, compare, sentence
from recipes.models import KitchenStep, RecipeVersion

MOST_WAYS = 4  # side by side on a narrow screen
USUAL, USUAL_FOR_SLOW = Method.SLOW_COOKED_KEPT, Method.PAN_COOKED  # laid beside when none was asked for
UNCERTAIN = ("estimate", "memory")


@dataclass(frozen=True)
class WayColumn:
    """A way with its words, and why the recipe must not be cooked so, if it must not."""

    way: Way
    word: str
    is_own: bool
    refusals: list[str]


@dataclass(frozen=True)
class LimitRow:
    """A row; gaps: (the ways in words, the foods without a published factor in them)."""

    row: Row
    gaps: list[tuple[str, tuple[str, ...]]]


@dataclass(frozen=True)
class Compared:
    sentence: str
    columns: list[WayColumn]
    differing: list[LimitRow]
    alike: list[LimitRow]
    uncertain: list[tuple[str, str, str]]


@dataclass(frozen=True)
class CookingPage:
    """compared None: nothing could be worked out, and `problem` says why.

    liquid: what becomes of it, in words; minutes: of all steps that say so; untimed: steps that do not.
    """

    version: RecipeVersion
    liquid: str
    steps: list[KitchenStep]
    minutes: int
    untimed: int
    methods: list[tuple[str, str, bool]]
    compared: Compared | None
    problem: str


def of(version: RecipeVersion, asked: Sequence[str]) -> CookingPage:
    """asked: the methods to lay beside the version's own; those that are none are passed over."""
    steps = list(version.kitchen_steps.all())
    others = [method for method in dict.fromkeys(asked) if method in Method.values]
    others = [method for method in others if method != version.method][: MOST_WAYS - 1]
    if not others:
        others = [USUAL_FOR_SLOW if version.method == USUAL else USUAL]
    compared, problem = None, ""
    try:
        compared = _compared(version, [version.method, *others])
    except ValueError as found:
        problem = str(found)
    return CookingPage(
        version=version,
        liquid=_liquid(version.method),
        steps=steps,
        minutes=sum(step.minutes or 0 for step in steps),
        untimed=sum(step.minutes is None for step in steps),
        methods=[(*choice, choice[0] in others) for choice in Method.choices if choice[0] != version.method],
        compared=compared,
        problem=problem,
    )


def _liquid(method: str) -> str:
    if method == NOT_HEATED:
        return "not cooked: there is none"
    return "kept and fed" if method in LIQUID_KEPT else "drained off or cooked away: not fed"


def _compared(version: RecipeVersion, methods: list[str]) -> Compared:
    portions = queries.portions_of(version)
    given = queries.reference(portions)
    found = compare(
        portions,
        given.table,
        given.retention,
        methods,
        nutrients.profile_limits(version.recipe.profile),
        given.negligible,
        given.yields,
        version.added_water_g,
        {version.method: version.cooked_weight_g},
    )
    words = {value: str(label) for value, label in Method.choices}
    return Compared(
        sentence=sentence(found, words),
        columns=[_column(way, version, portions, words) for way in found.ways],
        differing=[_limit_row(row, found, words) for row in found.differing],
        alike=[_limit_row(row, found, words) for row in found.alike],
        uncertain=_uncertain(portions, methods, words),
    )


def _column(way: Way, version: RecipeVersion, portions: list[Portion], words: dict[str, str]) -> WayColumn:
    refusals = obstacles.unboiled_beans(version, portions, way.method)
    return WayColumn(way, words[way.method], way.method == version.method, refusals)


def _limit_row(row: Row, found: Comparison, words: dict[str, str]) -> LimitRow:
    def ways(places: tuple[int, ...]) -> str:
        if len(places) == len(found.ways):
            return "either way"
        return "; ".join(words[found.ways[place].method] for place in places)

    return LimitRow(row, [(ways(places), foods) for places, foods in row.gaps])


def _uncertain(
    portions: list[Portion], methods: list[str], words: dict[str, str]
) -> list[tuple[str, str, str]]:
    """(method, certainty, nutrients) of the factors in use that are no published figures as they stand."""
    groups = {portion.retention_group for portion in portions if portion.meets_heat}
    factors = Retention.objects.filter(
        food_group__in=groups, method__in=methods, certainty__in=UNCERTAIN, percent__lt=100
    )
    names = dict(Nutrient.objects.values_list("pk", "name"))
    order = factors.order_by("certainty", "nutrient__order").values_list("method", "certainty", "nutrient")
    by_method: dict[tuple[str, str], dict[str, None]] = {}
    for method, certainty, nutrient in order:
        by_method.setdefault((method, certainty), {})[names[nutrient]] = None
    return [(words[method], certainty, ", ".join(found)) for (method, certainty), found in by_method.items()]
