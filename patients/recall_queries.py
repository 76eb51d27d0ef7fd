"""Which recipes, plans and sheets a correction touches, and what was looked into already.

The reference data and the ingredients are read once for all of them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import chain
from typing import NamedTuple

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.utils.formats import date_format

from nutrients.corrections import FOOD_VALUE, LIMIT, Correction, corrections
from nutrients.models import Profile
from nutrients.queries import chain_of
from patients.models import Patient, Plan, Recall, RecallCall, Sheet
from patients.plan_queries import ALLOWANCES
from patients.recall import Change, changes, changes_since_issued
from patients.recall_stand_ins import approved_swaps, changes_with, offered_by, versions_offering
from patients.recall_worlds import World, undone
from recipes.analysis import Portion
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.queries import INGREDIENTS, portion, reference
from recipes.substitutions import Swap
from recipes.uses import versions_in_use

WITH_PORTIONS = Prefetch("ingredients", queryset=INGREDIENTS)
PLANS = Plan.objects.select_related(
    "patient", "profile__standard", "recipe_version__recipe__profile__standard"
).prefetch_related(Prefetch("recipe_version__ingredients", queryset=INGREDIENTS))


CALLS = (
    RecallCall.objects.with_new_sheet()
    .select_related("recall", "patient__owner", "sheet", "by")
    .defer("sheet__pdf", "sheet__record", "recall__touched")
)


@dataclass(frozen=True)
class TouchedRow:
    """Something whose answers change. pk: of the recipe, plan or sheet; number: of the recipe's version.

    patient: the dog that eats by it, None for a recipe; fed: is it what the dog gets now?
    """

    pk: int
    label: str
    note: str
    changes: tuple[Change, ...]
    number: int | None = None
    patient: int | None = None
    fed: bool = False


@dataclass(frozen=True)
class Touched:
    recipes: list[TouchedRow]
    plans: list[TouchedRow]
    sheets: list[TouchedRow]


def touched_by(correction: Correction, on: date) -> Touched:
    """Whose answers are other ones than before the correction; of sheets those not expired on that day."""
    rests_on = _resting_on(correction)
    plans = _plans(correction, rests_on)
    sheets = _sheets(correction, rests_on, on)
    versions = _versions(correction, rests_on, plans)
    of_plans = [*plans, *(sheet.plan for sheet in sheets)]
    portions = _portions([*versions, *(plan.recipe_version for plan in of_plans)])
    swaps = approved_swaps({plan.recipe_version for plan in of_plans})
    undo = undone(correction)
    stand_ins = [swap.portion for offered in swaps.values() for swap in offered]
    whole = World(reference([*chain.from_iterable(portions.values()), *stand_ins]))
    since = whole.narrowed(undo.reached)
    before = since.before(undo)

    batches = {version: portions[version.pk] for version in versions}
    was, now = before.judged(batches), since.judged(batches)

    def judged(plan: Plan, lines: list[Portion]) -> tuple[Change, ...]:
        return changes(*(world.fed(plan, lines) for world in (before, since)))

    def with_stand_ins(plan: Plan, offered: Iterable[Swap]) -> tuple[Change, ...]:
        return changes_with(offered, portions[plan.recipe_version_id], partial(judged, plan))

    def of_plan(plan: Plan) -> tuple[Change, ...]:
        own = judged(plan, portions[plan.recipe_version_id])
        return own + with_stand_ins(plan, swaps[plan.recipe_version_id])

    def of_sheet(sheet: Sheet) -> tuple[Change, ...]:
        """What it says that does not hold; without answers in its record, as for its plan."""
        plan, issued = sheet.plan, sheet.record.get("adequacy", {}).get("groups")
        if issued is None:
            return of_plan(plan)
        own = changes_since_issued(issued, whole.fed(plan, portions[plan.recipe_version_id]))
        return own + with_stand_ins(plan, offered_by(sheet, swaps[plan.recipe_version_id]))

    return Touched(
        recipes=_changed(_recipe(version, changes(was[version.pk], now[version.pk])) for version in versions),
        plans=_changed(_plan(plan, of_plan(plan)) for plan in plans),
        sheets=_changed(_sheet(sheet, of_sheet(sheet)) for sheet in sheets),
    )


class RestsOn(NamedTuple):
    """What picks the versions and the plans that a correction can touch."""

    versions: Q
    plans: Q


def _resting_on(correction: Correction) -> RestsOn:
    entry = correction.turns[0].entry
    if correction.kind == LIMIT:
        profiles = Profile.objects.select_related("standard", "inherits")
        heirs = [each for each in profiles if entry.profile_id in {above.pk for above in chain_of(each)}]
        every_dog = ALLOWANCES in {each.key for each in heirs}
        return RestsOn(Q(recipe__profile__in=heirs), Q() if every_dog else Q(profile__in=heirs))
    lines = (
        Ingredient.objects.filter(food=entry.food_id)
        if correction.kind == FOOD_VALUE
        else Ingredient.objects.filter(food__retention_group=entry.food_group)
    )
    versions = lines.values("version")
    offering = versions_offering(correction)
    return RestsOn(Q(pk__in=versions), Q(recipe_version__in=versions) | Q(recipe_version__in=offering))


def _plans(correction: Correction, rests_on: RestsOn) -> list[Plan]:
    """Plans of living dogs, made before the correction, that have not ended and gave no sheet since."""
    since = Sheet.objects.filter(plan=OuterRef("pk"), issued_at__gte=correction.at)
    plans = PLANS.exclude(state=Plan.State.ENDED).filter(rests_on.plans, created_at__lt=correction.at)
    plans = plans.exclude(Exists(since)).exclude(patient__status=Patient.Status.DECEASED)
    return list(plans.order_by("patient__name", "pk"))


def _versions(correction: Correction, rests_on: RestsOn, plans: Iterable[Plan]) -> list[RecipeVersion]:
    """The latest and the latest approved version of recipes in use, and those of the plans."""
    in_use = versions_in_use().exclude(recipe__state=Recipe.State.RETIRED).values("pk")
    versions = RecipeVersion.objects.filter(
        rests_on.versions,
        Q(pk__in=in_use) | Q(pk__in={plan.recipe_version_id for plan in plans}),
        created_at__lt=correction.at,
    )
    ordered = versions.select_related("recipe__profile__standard").order_by("recipe__title", "-number")
    return list(ordered.prefetch_related(WITH_PORTIONS))


def _sheets(correction: Correction, rests_on: RestsOn, on: date) -> list[Sheet]:
    """The newest sheet of every dog that lives, when issued before the correction and not expired.

    A dog that was archived may still be fed by it.
    """
    newest = (
        Sheet.objects.filter(plan__patient=OuterRef("plan__patient"))
        .order_by("-issued_at", "-pk")
        .values("pk")[:1]
    )
    plans = PLANS.filter(rests_on.plans)
    sheets = Sheet.objects.filter(
        pk=Subquery(newest), issued_at__lt=correction.at, expires_on__gte=on, plan__in=plans.values("pk")
    ).exclude(plan__patient__status=Patient.Status.DECEASED)
    found = list(sheets.select_related("patient").defer("pdf").order_by("patient__name", "pk"))
    by_pk = plans.in_bulk([sheet.plan_id for sheet in found])
    for sheet in found:
        sheet.plan = by_pk[sheet.plan_id]
    return found


def _portions(versions: Iterable[RecipeVersion]) -> dict[int, list[Portion]]:
    return {version.pk: [portion(line) for line in version.ingredients.all()] for version in versions}


def _changed(rows: Iterable[TouchedRow]) -> list[TouchedRow]:
    return [row for row in rows if row.changes]


def _recipe(version: RecipeVersion, found: tuple[Change, ...]) -> TouchedRow:
    state = "approved" if version.approved else "not approved"
    note = f"version {version.number}, {state}"
    return TouchedRow(version.recipe_id, version.recipe.title, note, found, number=version.number)


def _plan(plan: Plan, found: tuple[Change, ...]) -> TouchedRow:
    return TouchedRow(
        pk=plan.pk,
        label=f"{plan.patient.name}: {plan.recipe_version}",
        note=plan.get_state_display(),
        changes=found,
        patient=plan.patient_id,
        fed=plan.state == Plan.State.ISSUED and plan.patient.is_fed,
    )


def _sheet(sheet: Sheet, found: tuple[Change, ...]) -> TouchedRow:
    issued = f"issued on {date_format(sheet.issued_at, 'j F Y')}"
    return TouchedRow(sheet.pk, str(sheet), issued, found, patient=sheet.plan.patient_id, fed=True)


@dataclass(frozen=True)
class ListedCorrection:
    """A correction, and what was found when somebody looked into it; `to_call`: owners not reached yet."""

    correction: Correction
    recall: Recall | None
    to_call: int


def listed_corrections() -> list[ListedCorrection]:
    """The newest first."""
    recalls = {(recall.kind, recall.entry): recall for recall in Recall.objects.defer("touched")}
    waiting = list(RecallCall.objects.to_make().values_list("recall", flat=True))
    rows = []
    for correction in corrections():
        recall = recalls.get((correction.kind, correction.entry))
        rows.append(ListedCorrection(correction, recall, waiting.count(recall.pk) if recall else 0))
    return rows


def calls_of(recall: Recall) -> list[RecallCall]:
    """Those to be made first."""
    return sorted(CALLS.filter(recall=recall), key=lambda call: not call.is_waiting)


def calls_to_make() -> QuerySet[RecallCall]:
    """Owners who were not told yet, the oldest correction first."""
    return CALLS.to_make().order_by("recall__corrected_at", "patient__name", "pk")


def unseen_corrections() -> list[Correction]:
    """Corrections that nobody has looked into."""
    looked_into = set(Recall.objects.values_list("kind", "entry"))
    return [each for each in corrections() if (each.kind, each.entry) not in looked_into]
