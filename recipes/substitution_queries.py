"""Reads for substitutions: which foods may be offered, and how a substitution stands as a recipe."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from django.db.models import Case, IntegerField, QuerySet, Value, When

from nutrients import queries as nutrients
from nutrients.composition import SUMS
from nutrients.models import Caution, Food, FoodValue, Profile
from recipes import obstacles, queries
from recipes.analysis import Portion
from recipes.differences import Differences, differences
from recipes.dogs import LibraryDog
from recipes.models import Ingredient, RecipeVersion, Substitution
from recipes.substitution_rules import Refusal, refusals
from recipes.substitutions import ENERGY, PROTEIN, WEIGHT, Setting, Swap, moment, related

MOST_READ = 400  # foods that are read to be matched; the nearest group, or the richest, first


@dataclass(frozen=True)
class Pool:
    """Portions that may be offered, in 1 g each, and the foods left out with the reason for each."""

    portions: list[Portion]
    left_out: dict[str, str]


def portion_of(food: Food, grams: float, when: str) -> Portion:
    return queries.portion(Ingredient(food=food, grams=grams, when=when))


def pool(line: Portion, match: str, dog: LibraryDog | None) -> Pool:
    """Foods that may stand in for a line: still bought, not forbidden, not on the dog's list."""
    foods = list(_foods(line, match).select_related("supplement").prefetch_related("measures")[:MOST_READ])
    groups = {food.name: food.group for food in foods}
    avoided = dog.avoided(groups) if dog else {}
    forbidden = nutrients.toxic_cautions(groups)
    offered = [food for food in foods if food.name not in avoided.keys() | forbidden.keys()]
    portions = [portion_of(food, 1, moment(line, portion_of(food, 1, line.when))) for food in offered]
    return Pool(portions, avoided)


def _foods(line: Portion, match: str) -> QuerySet[Food]:
    """The nearest foods first: by group for a match by energy, protein or weight, else the richest."""
    foods = Food.objects.filter(discontinued=False).exclude(name=line.food)
    if match in (ENERGY, PROTEIN, WEIGHT):
        near = Case(
            When(group=line.group, state=line.state, then=Value(0)),
            When(group=line.group, then=Value(1)),
            default=Value(2),
            output_field=IntegerField(),
        )
        return foods.filter(group__in=related(line.group)).order_by(near, "name")
    rich = FoodValue.objects.filter(nutrient__key__in=SUMS.get(match, {match: 1}), per_100g__gt=0)
    richest = rich.filter(food__discontinued=False).order_by("-per_100g").values_list("food", flat=True)
    return foods.filter(pk__in=list(richest[:MOST_READ])).order_by("name")


def setting_of(version: RecipeVersion, foods: Collection[str], profile: Profile | None = None) -> Setting:
    """What the version is judged with; foods: the names of all that any of its swaps holds."""
    return Setting(
        table=nutrients.food_table(foods=foods),
        retention=nutrients.retention_table(),
        negligible=nutrients.negligible(),
        method=version.method,
        limits=nutrients.profile_limits(profile or version.recipe.profile),
    )


def substitutions_of(version: RecipeVersion) -> QuerySet[Substitution]:
    return (
        Substitution.objects.filter(version=version)
        .select_related("version__recipe__profile__standard", "replaces", "food__supplement", "approved_by")
        .prefetch_related("food__measures", "amounts__food")
    )


def swap_of(substitution: Substitution) -> Swap:
    """A stored substitution as the calculations take it."""
    amounts = {amount.food.name: amount.grams for amount in substitution.amounts.all()}
    portion = portion_of(substitution.food, substitution.grams, substitution.when)
    return Swap(substitution.replaces.name, portion, amounts)


@dataclass(frozen=True)
class Stand:
    """A swap as a recipe of its own. portions: of that recipe. problem: why it cannot be worked out, or "".

    refusals: (field, sentence) of what it may not be at all. obstacles: what keeps it from being approved
    beside those. found: what changes against the version, None with a problem.
    """

    swap: Swap
    portions: list[Portion]
    refusals: list[Refusal]
    obstacles: list[str]
    found: Differences | None
    problem: str = ""

    def against_approval(self) -> list[str]:
        off = [f"{each.sentence}." for each in self.found.keep_from_offering] if self.found else []
        wrong = [sentence for _, sentence in self.refusals]
        return [*wrong, *([self.problem] if self.problem else []), *self.obstacles, *off]


def stand_of(
    version: RecipeVersion, swap: Swap, food: Food, *, portions: Sequence[Portion], besides: int | None = None
) -> Stand:
    """food: of the swap's portion. portions: of the version. besides: the stored substitution it is."""
    swapped = swap.applied(portions)
    others = Substitution.objects.filter(version=version).exclude(pk=besides)
    wrong = refusals(swap, portions, others.values_list("replaces__name", "food__name"))
    if hot := obstacles.too_hot(food, swap.portion.when):
        wrong.append(("when", hot))
    if others.filter(replaces__name=swap.replaces, food=food).exists():
        wrong.append(("food", f"{food} stands in for {swap.replaces} already: change that substitution."))
    found, problem = None, ""
    try:
        setting = setting_of(version, {line.food for line in (*portions, *swapped)})
        found = differences(setting.judged(portions), setting.judged(swapped))
    except ValueError as raised:
        problem = str(raised)
    return Stand(swap, swapped, wrong, _obstacles(version, portions, swapped), found, problem)


def _obstacles(version: RecipeVersion, portions: Sequence[Portion], swapped: Sequence[Portion]) -> list[str]:
    """Cautions that forbid it and do not forbid the version itself, and foods that are no longer bought."""
    known = {(name, caution.pk) for name, caution in obstacles.cautions(portions, version.method)}
    blocked = [
        f"{name}. {obstacles.forbidden(caution)}"
        for name, caution in obstacles.cautions(swapped, version.method)
        if caution.action == Caution.Action.BLOCK and (name, caution.pk) not in known
    ]
    new = [line for line in swapped if line.food not in {each.food for each in portions}]
    return blocked + obstacles.discontinued(new)
