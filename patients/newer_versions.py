"""Plans that use an older approved version of a recipe than the newest one that may be fed."""

from django.db.models import F, OuterRef, QuerySet, Subquery
from django.urls import reverse

from patients.models import Patient, Plan
from patients.plan_queries import approved_versions
from recipes.models import Recipe
from recipes.outdated import Outdated


def plans_behind() -> QuerySet[Plan]:
    """Of dogs in care, in draft or issued. Each has `newest` and `newest_number`: the version that would
    take over.

    follower: the draft that follows the plan with that version already, None when there is none.
    """
    newest = approved_versions().filter(recipe=OuterRef("recipe_version__recipe"))
    followers = Plan.objects.filter(
        supersedes=OuterRef("pk"), state=Plan.State.DRAFT, recipe_version=OuterRef("newest")
    )
    return (
        Plan.objects.filter(patient__in=Patient.objects.fed())
        .exclude(state=Plan.State.ENDED)
        .annotate(
            newest=Subquery(newest.values("pk")[:1]), newest_number=Subquery(newest.values("number")[:1])
        )
        .filter(newest_number__gt=F("recipe_version__number"))
        .annotate(follower=Subquery(followers.values("pk")[:1]))
        .select_related("patient", "recipe_version__recipe")
        .order_by("patient__name", "pk")
    )


def outdated(plans: QuerySet[Plan]) -> list[Outdated]:
    """plans: of `plans_behind`."""
    return [_outdated(plan) for plan in plans]


def in_plans(recipe: Recipe) -> list[Outdated]:
    return outdated(plans_behind().filter(recipe_version__recipe=recipe))


def _outdated(plan: Plan) -> Outdated:
    next_url = f"{reverse('patients:plan-edit', args=[plan.pk])}?recipe_version={plan.newest}"
    next_label = f"Change the draft to version {plan.newest_number}"
    if plan.follower:
        next_url = reverse("patients:plan-detail", args=[plan.follower])
        next_label = f"The next plan, with version {plan.newest_number}, is in draft"
    elif plan.state == Plan.State.ISSUED:
        next_label = f"Make the next plan with version {plan.newest_number}"
    return Outdated(
        label=plan.patient.name,
        url=plan.get_absolute_url(),
        where=f"{plan.recipe_version}, {plan.get_state_display().lower()}",
        next_url=next_url,
        next_label=next_label,
    )


def with_asked_version(plan: Plan, asked: str) -> Plan:
    """The plan, unsaved, with the newest version of its recipe when its primary key is asked for."""
    newest = approved_versions().filter(recipe=plan.recipe_version.recipe_id).first()
    if newest is not None and asked == str(newest.pk):
        plan.recipe_version = newest
    return plan
