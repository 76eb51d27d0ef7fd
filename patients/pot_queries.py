"""Plans that can be cooked in one pot, and the pot as pages and paper show it."""

from nutrients.adequacy import counts
from nutrients.adequacy_table import grouped_rows
from nutrients.language import later, listed, say
from patients.models import Patient, Plan
from patients.plan_queries import grounds_of
from patients.services import gate_of, work_out
from patients.shared_pot import Eater, Share, SharedPot, share_pot
from patients.sheet.doses import by_moment

ANSWERS = {
    "below": later("below the minimum"),
    "above": later("above the maximum"),
    "cannot_confirm": later("cannot be confirmed"),
}


def those_of_one_pot(plan: Plan) -> list[Plan]:
    """Other dogs' plans in use or in draft with the same version of the recipe, the newest of each dog."""
    same = Plan.objects.filter(recipe_version=plan.recipe_version, patient__in=Patient.objects.fed())
    same = same.exclude(state=Plan.State.ENDED).exclude(patient=plan.patient_id)
    same = same.select_related("patient__owner", "profile__standard", "recipe_version")
    newest: dict[int, Plan] = {}
    for each in same.order_by("-state", "-created_at"):
        newest.setdefault(each.patient_id, each)
    return sorted(newest.values(), key=lambda each: each.patient.name)


def pot_of(plans: list[Plan]) -> SharedPot:
    """For the days of the first plan's batch. Raises ValueError for a plan that could not be issued."""
    eaters = []
    for plan in plans:
        workings = work_out(plan)
        refused = gate_of(plan, workings).refusals
        if workings.batch is None or refused:
            raise ValueError(f"{plan.patient.name}: {' '.join(refused) or 'the plan cannot be worked out.'}")
        grounds = grounds_of(plan.recipe_version, plan.profile)
        eaters.append(Eater(plan.patient.name, plan, grounds, workings.recipe_kcal))
    return share_pot(eaters, plans[0].batch_days)


def pot_record(plan: Plan, pot: SharedPot) -> dict:
    """What the page and the paper say, as plain values. Weights in g."""
    return {
        "dogs": listed([share.name for share in pot.shares]),
        "recipe": say("{recipe}, version {version}").format(
            recipe=say(plan.recipe_version.recipe.title), version=plan.recipe_version.number
        ),
        "days": pot.days,
        "foods": [[say(line.portion.food), line.grams, line.household] for line in pot.foods],
        "water_g": pot.water_g,
        "cooked_g": round(pot.cooked_g),
        "is_estimate": pot.cooked_is_estimate,
        "doses": by_moment(pot.doses),
        "fresh_days": pot.fresh_days,
        "frozen_days": pot.frozen_days,
        "shares": [_share(each, pot.days) for each in pot.shares],
    }


def _share(each: Share, days: int) -> dict:
    rows = [row for _, rows in grouped_rows(each.judgement) for row in rows if row.open]
    return {
        "name": each.name,
        "percent": round(each.share * 100),
        "pot_g": round(each.pot_g),
        "meal_g": round(each.meal_g),
        "meals": each.meals,
        "meals_of_pot": each.meals * days,
        "bowl": by_moment(each.bowl),
        "bowl_foods": [[say(line.portion.food), round(grams, 1)] for line, grams in each.bowl_foods],
        "met": counts(each.judgement)["meets"],
        "open": [[say(row.name), [say(ANSWERS[each.answer]) for each in row.answers]] for row in rows],
    }
