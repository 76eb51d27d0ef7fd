"""The dogs for which the library can be looked at, as `recipes.dogs` asks for them."""

from collections.abc import Callable, Mapping

from django.utils import timezone

from nutrients import queries as nutrients
from nutrients.adequacy import ProfileLimits, for_patient
from nutrients.models import Caution, Profile
from patients.cautions import Feeding, applying
from patients.dog import Dog
from patients.energy import recipe_energy
from patients.models import Patient, Plan
from patients.plan_checks import avoided_sentence
from patients.plan_queries import ALLOWANCES, dog_of
from patients.queries import present_plan
from recipes.analysis import COOKED_STATES, IN_THE_BOWL, NOT_HEATED, Portion
from recipes.dogs import LibraryDog


def choices() -> list[tuple[int, str]]:
    """Every dog in the practice's care, by its name, with its owner."""
    named = Patient.objects.fed().order_by("name", "pk").values_list("pk", "name", "owner__name")
    return [(pk, _label(name, owner)) for pk, name, owner in named]


def find(pk: int) -> LibraryDog | None:
    patient = Patient.objects.fed().select_related("owner").filter(pk=pk).first()
    if patient is None:
        return None
    dog, plan = dog_of(patient, timezone.localdate()), present_plan(patient)
    kcal = _kcal_from_recipe(plan) if plan else None
    return LibraryDog(
        pk=patient.pk,
        label=_label(patient.name, patient.owner.name),
        kcal_per_day=kcal,
        weight_kg=plan.target_kg if plan else _weight(dog),
        profile_keys=_profile_keys(dog),
        avoided=lambda foods: {
            food: avoided_sentence(dog, food, entry) for food, entry in dog.avoided(dict(foods))
        },
        blocked=_blocked(dog, plan.goal if plan else Plan.Goal.HOLD),
        raised=None if kcal is None else _raised(kcal / plan.recipe_share, plan.target_kg),
    )


def _label(name: str, owner: str) -> str:
    return f"{name} ({owner})"


def _kcal_from_recipe(plan: Plan) -> float | None:
    """None for a draft whose numbers cannot be right."""
    try:
        return recipe_energy(plan.kcal_per_day, plan.extras_kcal, plan.recipe_share)
    except ValueError:
        return None


def _weight(dog: Dog) -> float | None:
    """A growing dog's own; a grown one's ideal weight, by which allowances go."""
    return dog.weight_kg if dog.weight_kg is None or dog.stage.growing else dog.ideal_kg()


def _raised(whole_kcal: float, target_kg: float) -> Callable[[ProfileLimits], ProfileLimits]:
    """By the whole of what the dog eats: its recipe owes its share of the nutrients, as in a plan."""
    allowances = nutrients.profile_limits(Profile.objects.get(key=ALLOWANCES))
    return lambda profile: for_patient(profile, allowances, whole_kcal, target_kg)


def _profile_keys(dog: Dog) -> tuple[str, ...]:
    """The one that a plan begins with; for a grown dog every published profile for adults beside it."""
    if dog.needs_growth_profile:
        return (dog.profile_key,)
    adult = nutrients.feeding_profiles().filter(growth=False, own=False).values_list("key", flat=True)
    return tuple(dict.fromkeys([dog.profile_key, *adult]))


def _blocked(dog: Dog, goal: str) -> Callable[[Mapping[str, str]], list[str]]:
    """Asked for many recipes in a row: what a food's name says is looked up once.

    Foods are taken as cooked: what raw ones bring up belongs to the recipe, not to the dog.
    """
    table = list(Caution.objects.filter(action=Caution.Action.BLOCK))
    by_food: dict[str, list[Caution]] = {}

    def blocked(foods: Mapping[str, str]) -> list[str]:
        if new := foods.keys() - by_food.keys():
            toxic = nutrients.toxic_cautions(new)
            by_food.update({food: [toxic[food]] if food in toxic else [] for food in new})
        portions = [
            Portion(food, 1, IN_THE_BOWL, group, "", COOKED_STATES[0]) for food, group in foods.items()
        ]
        found = applying(table, by_food, Feeding(dog, goal, portions, NOT_HEATED))
        return [f"{each.because}: {each.subject}. {each.text}." for each in found]

    return blocked
