"""Reads for feeding plans: the dog, what its numbers rest on, and what may be chosen for it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, F, OuterRef, Q, QuerySet, Subquery

from nutrients import queries as nutrients
from nutrients.food_amounts import KCAL, with_energy
from nutrients.language import later, say
from nutrients.models import Caution, Food, FoodValue, Profile
from patients.batch import Grounds
from patients.cautions import AppliedCaution, Feeding, applying, in_order
from patients.concerns import concerns
from patients.diet import intake
from patients.dog import Avoided, Dog
from patients.energy_choices import EnergyChoice
from patients.energy_methods import Eater, methods_for
from patients.life_stage import age_in_months, stage_on
from patients.medicines import of_medicines
from patients.models import EnergyFactor, LabResult, Patient, Visit
from patients.plan_checks import avoided_sentence
from patients.queries import last_diet, newest_visit, weighed_visits
from patients.sign_off_queries import agreements_of, medicine_rules
from patients.treats import TREATS, Treat, treats_within
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.obstacles import discontinued, unboiled_beans
from recipes.queries import portion, portions_of

ALLOWANCES = "nrc-adult-per-mbw"  # minima per kg^0.75 for dogs that eat little


def dog_of(patient: Patient, on: date) -> Dog:
    """The dog as it is on a day: the findings of the last visit, and the last weight that is believed."""
    stage = stage_on(patient, on)
    weights = weighed_visits(patient)
    seen = newest_visit(patient)
    visit = weights[-1].visit if weights else None
    trend = weights[-1].entry.trend_percent_per_week if weights else None
    results = [each for each in patient.lab_results.all() if each.date <= on]
    found = {} if visit is None else {
        "weight_kg": visit.weight_kg,
        "weighed_on": visit.date,
        "bcs": visit.bcs,
        "is_steady": weights[-1].entry.is_steady,
        "activity": visit.activity,
    }  # fmt: skip
    if seen:
        found["concerns"] = tuple(concerns(
            bcs=seen.bcs, appetite=seen.appetite, muscle=seen.mcs, faecal_score=seen.faecal_score,
            percent_per_week=trend, growing=stage.growing, vomiting=seen.vomiting,
        ))  # fmt: skip
    return Dog(
        name=patient.name,
        breed=patient.breed,
        stage=stage,
        age_months=age_in_months(patient.born, on),
        neutered=patient.neutered,
        conditions=tuple(condition.name for condition in patient.conditions.all()),
        notes=patient.medical_notes,
        avoids=tuple(
            Avoided(avoid.food.name if avoid.food else "", avoid.word, avoid.why)
            for avoid in patient.avoids.select_related("food")
        ),
        medicines=tuple(each.name for each in patient.medicines.all() if each.is_given(on)),
        freezer=patient.freezer,
        given_supplements=tuple(each.name for each in patient.given_supplements.all()),
        results=tuple(each.told for each in results),
        within_range=tuple(each.told for each in results if each.mark == LabResult.Mark.WITHIN),
        agreements=agreements_of(patient),
        **found,
    )


def grounds_of(version: RecipeVersion, profile: Profile, other_food: Food | None = None) -> Grounds:
    """What the numbers of a plan with this version and profile rest on, as it stands now.

    other_food: what is fed beside the recipe."""
    portions = tuple(portions_of(version))
    beside = portion(Ingredient(food=other_food, grams=100)) if other_food else None
    foods = {each.food for each in portions} | ({beside.food} if beside else set())
    return Grounds(
        portions=portions,
        method=version.method,
        table=nutrients.food_table(foods=foods),
        retention=nutrients.retention_table(),
        profile=nutrients.profile_limits(profile),
        allowances=nutrients.profile_limits(Profile.objects.get(key=ALLOWANCES)),
        negligible=nutrients.negligible(),
        yields=nutrients.batch_yields(),
        added_water_g=version.added_water_g,
        cooked_weight_g=version.cooked_weight_g,
        estimates=nutrients.estimates(foods),
        discontinued=tuple(discontinued(portions)),
        unsafe=tuple(unboiled_beans(version, portions)),
        beside=beside,
        steps=tuple(version.kitchen_steps.values_list("text", flat=True)),
        watch_levels=tuple(
            (level.nutrient.key, level.per_1000_kcal, level.text) for level in nutrients.watch_levels()
        ),
    )


def cautions_for(dog: Dog, goal: str, grounds: Grounds) -> tuple[AppliedCaution, ...]:
    """The cautions that apply to this dog and what would go into its bowl."""
    return cautions_of(Feeding(dog, goal, grounds.portions, grounds.method))


def cautions_of(feeding: Feeding) -> tuple[AppliedCaution, ...]:
    """The cautions that apply to a dog and what is fed, if anything; its medicines among them."""
    foods = {portion.food for portion in feeding.portions}
    by_food = nutrients.cautions_for_foods(foods)
    for food, forbidden in nutrients.toxic_cautions(foods).items():
        by_food[food] = [forbidden, *by_food.get(food, [])]
    found = applying(list(Caution.objects.all()), by_food, feeding)
    return in_order([*found, *of_medicines(medicine_rules(), feeding)])


@dataclass(frozen=True)
class RecipeChoice:
    """An approved version; `unfit` says why it is not for this dog, or is empty."""

    version: RecipeVersion
    unfit: str


def approved_versions() -> QuerySet[RecipeVersion]:
    """The newest approved version of every recipe in use, also while the next version is written.

    As RecipeVersion.in_use: what was approved before its recipe was retired has to be approved anew.
    """
    newest = RecipeVersion.objects.filter(recipe=OuterRef("recipe"), approved_at__isnull=False)
    never_retired = Q(recipe__brought_back_at__isnull=True)
    return (
        RecipeVersion.objects.filter(pk=Subquery(newest.order_by("-number").values("pk")[:1]))
        .filter(never_retired | Q(approved_at__gt=F("recipe__brought_back_at")))
        .exclude(recipe__state=Recipe.State.RETIRED)
        .select_related("recipe__profile__standard")
        .order_by("recipe__title")
    )


def recipe_choices(dog: Dog) -> list[RecipeChoice]:
    """Every approved recipe; those that do not fit this dog say why."""
    versions = list(approved_versions())
    foods: dict[int, dict[str, str]] = {version.pk: {} for version in versions}
    lines = Ingredient.objects.filter(version__in=versions)
    for pk, name, group in lines.values_list("version", "food__name", "food__group"):
        foods[pk][name] = group
    return [RecipeChoice(version, _unfit(dog, version.recipe, foods[version.pk])) for version in versions]


def _unfit(dog: Dog, recipe: Recipe, foods: dict[str, str]) -> str:
    for found in dog.avoided(foods):
        return avoided_sentence(dog, *found)
    if dog.needs_growth_profile and not recipe.profile.growth:
        return f"meant for {recipe.profile.life_stage}"
    return "" if foods else "empty"


def energy_choices(
    patient: Patient, dog: Dog, target_kg: float, *, for_comparison: bool = False
) -> list[EnergyChoice]:
    """Every method that fits the dog, side by side. Raises ValueError when a weight cannot be right.

    What the dog was found to eat is its need only while the weight of a grown dog holds steady on it.
    for_comparison: also what is not offered for a plan.
    """
    eater = Eater(
        weight_kg=dog.weight_kg or target_kg,
        ideal_kg=target_kg,
        stage=dog.stage.energy_stage,
        age_months=dog.age_months,
        expected_adult_kg=patient.expected_adult_kg,
        neutered=dog.neutered,
        week=dog.stage.week,
        puppies=dog.stage.puppies,
        breed=dog.breed,
        traits=dog.traits,
        observed_kcal=intake(last_diet(patient)).kcal or None,
        steady=dog.is_steady and not dog.needs_growth_profile,
    )
    choices = methods_for(EnergyFactor.objects.all(), eater)
    return choices if for_comparison else [choice for choice in choices if choice.offered]


def last_visit(patient: Patient) -> Visit | None:
    """The last one whose weight is believed."""
    return next((visit for visit in patient.visits.all() if not visit.left_out), None)


NOT_PUBLISHED = {
    FoodValue.Kind.LABEL: later("labels of products"),
    FoodValue.Kind.LABORATORY: later("laboratory reports"),
    FoodValue.Kind.ESTIMATE: later("estimates"),
}


def releases_of(foods: Iterable[str]) -> list[str]:
    """Where the values of these foods come from: the releases, the one with most values first, then labels,
    laboratory reports and estimates. What a source adds after a semicolon is about one value.
    """
    values = FoodValue.objects.filter(food__name__in=list(foods))
    published = values.filter(kind=FoodValue.Kind.PUBLISHED).values_list("source")
    by_number = published.annotate(rows=Count("pk")).order_by("-rows", "source")
    kinds = set(values.order_by().values_list("kind", flat=True))
    releases = dict.fromkeys(source.partition(";")[0] for source, _ in by_number)
    return [*releases, *(say(words) for kind, words in NOT_PUBLISHED.items() if kind in kinds)]


def treats_of(budget_kcal: float, dog: Dog) -> list[Treat]:
    """Plain treats of the food table within a plan's extras."""
    if not budget_kcal:
        return []
    kcal = with_energy(nutrients.food_table(foods=TREATS))[KCAL]
    return treats_within(budget_kcal, kcal.to_dict(), dog)
