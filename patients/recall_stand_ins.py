"""The approved stand-ins of the versions that a correction may touch: what an owner may have been offered."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from django.db.models import Q, QuerySet

from nutrients.corrections import FOOD_VALUE, Correction
from patients.models import Sheet
from patients.recall import Change
from recipes.analysis import Portion
from recipes.models import RecipeVersion, Substitution
from recipes.substitution_queries import swap_of
from recipes.substitutions import Swap

Judged = Callable[[list[Portion]], tuple[Change, ...]]


def versions_offering(correction: Correction) -> QuerySet[Substitution]:
    """The versions with an approved stand-in whose food the correction of a value or a factor speaks of."""
    entry = correction.turns[0].entry
    food = (
        Q(food=entry.food_id) if correction.kind == FOOD_VALUE else Q(food__retention_group=entry.food_group)
    )
    return Substitution.objects.filter(food, approved_at__isnull=False).values("version")


def approved_swaps(versions: Collection[RecipeVersion]) -> Mapping[int, list[Swap]]:
    """By the version's primary key."""
    found = defaultdict(list)
    approved = Substitution.objects.filter(version__in=versions, approved_at__isnull=False)
    related = approved.select_related("replaces", "food__supplement")
    for each in related.prefetch_related("food__measures", "amounts__food"):
        found[each.version_id].append(swap_of(each))
    return found


def offered_by(sheet: Sheet, swaps: Iterable[Swap]) -> list[Swap]:
    """Those that stand on the sheet."""
    printed = {(each["instead_of"], each["food"]) for each in sheet.record.get("substitutions", [])}
    return [swap for swap in swaps if (swap.replaces, swap.portion.food) in printed]


def changes_with(swaps: Iterable[Swap], portions: Sequence[Portion], judged: Judged) -> tuple[Change, ...]:
    """What changes in the batches with a stand-in, each nutrient named together with it."""
    return tuple(
        replace(change, name=f"{change.name}, with {swap.portion.food} instead of {swap.replaces}")
        for swap in swaps
        for change in judged(swap.applied(portions))
    )
