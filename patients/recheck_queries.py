"""Reads what a re-check says: the weight against the plan, what was fed, and what it suggests."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from patients.concerns import WATERY_FAECES
from patients.curves import FAST_PERCENT, GENTLE, SLOW_PERCENT, weekly_rate
from patients.dog import Dog
from patients.fed_plans import FedPlan, fed_before
from patients.models import Patient, Plan, TabletCount, Visit
from patients.plan_queries import dog_of
from patients.queries import Weighed, newest_visit, weighed_visits, weights_of
from patients.rechecks import (
    MUCH_LEFT,
    AtHome,
    TabletCheck,
    expected_words,
    fed_share,
    is_diabetic,
    rate_words,
    recent,
    weeks_of,
    weeks_under,
)
from patients.suggestions import REFER, Findings, Suggestion, suggest
from patients.timing import PIECES
from patients.workings import Workings


@dataclass(frozen=True)
class RecheckAnswer:
    """`fed`: the plan that was fed until the visit; None when none was. `suggestion` is None without one,
    unless the dog belongs to the veterinarian. weeks: what the rate was measured over.
    """

    visit: Visit
    fed: FedPlan | None
    rate: str
    weeks: float
    expected: str
    fed_kcal: float | None
    fed_share: float | None
    suggestion: Suggestion | None
    is_last: bool

    @property
    def plan(self) -> Plan | None:
        return self.fed and self.fed.plan

    @property
    def fed_percent(self) -> float | None:
        return None if self.fed_share is None else self.fed_share * 100

    @property
    def refers(self) -> bool:
        return bool(self.suggestion) and self.suggestion.action == REFER

    @property
    def can_change(self) -> bool:
        """A next plan follows: the dog is in care, the visit is its last, and the plan is still fed."""
        changes = bool(self.suggestion) and self.suggestion.factor != 1 and self.visit.patient.is_fed
        return changes and self.is_last and self.plan is not None and self.plan.state == Plan.State.ISSUED


def pace_of(patient: Patient) -> tuple[float, float]:
    return wanted_pace(patient.gentle_loss)


def wanted_pace(gentle: bool) -> tuple[float, float]:
    """The loss that is wanted [percent a week]: at least, at most."""
    return GENTLE if gentle else (SLOW_PERCENT, FAST_PERCENT)


def answer_of(visit: Visit) -> RecheckAnswer:
    """What a visit says of the plan that was fed until then."""
    patient = visit.patient
    fed = fed_before(patient, visit.date)
    weighed = weights_of(patient, with_left_out=True)
    weights = [(each.entry.day, each.entry.kg) for each in weighed if not each.left_out]
    used = recent(weights, fed.began if fed else date.min, visit.date)
    rate, plan = weekly_rate(used), fed and fed.plan
    dog = dog_of(patient, visit.date)
    same_day = [each.visit for each in weighed if each.visit and each.visit.date == visit.date]
    answer = _suggestion_of(visit, same_day, dog, fed, used, rate)
    return RecheckAnswer(
        visit=visit,
        fed=fed,
        rate=rate_words(rate),
        weeks=weeks_of(used),
        expected=expected_words(plan.goal, *pace_of(patient), breeding=_breeding(dog)) if plan else "",
        fed_kcal=_fed_kcal(visit, plan),
        fed_share=_fed_share(visit, plan),
        suggestion=answer if plan or answer.action == REFER else None,
        is_last=visit == newest_visit(patient),
    )


def at_home_since(patient: Patient, weights: list[Weighed], growing: bool) -> AtHome | None:
    """weights: in the order of time. None unless the owner weighed last, and while that tells no rate."""
    counted = [each for each in weights if not each.left_out]
    if not counted or not counted[-1].home:
        return None
    last = counted[-1].entry.day
    fed = fed_before(patient, last)
    used = recent(((each.entry.day, each.entry.kg) for each in counted), fed.began if fed else date.min, last)
    rate = weekly_rate(used)
    return None if rate is None else AtHome(last, rate, weeks_of(used), growing)


def _suggestion_of(
    visit: Visit, same_day: list[Visit], dog: Dog, fed: FedPlan | None, used, rate
) -> Suggestion:
    """The visit's own; when another one of that day refers, that comes first."""
    trends = {each.visit.pk: each.entry.trend_percent_per_week for each in weighed_visits(visit.patient)}
    others = [each for each in same_day if each != visit]
    own, *rest = (suggest(_findings(each, dog, fed, used, rate, trends)) for each in (visit, *others))
    return next((answer for answer in (own, *rest) if answer.action == REFER), own)


def _fed_share(visit: Visit, plan: Plan | None) -> float | None:
    if plan is None:
        return None
    return fed_share(plan.kcal_per_day, visit.fed_kcal, visit.fed_percent, visit.leftovers)


def _fed_kcal(visit: Visit, plan: Plan | None) -> float | None:
    if visit.fed_kcal is not None or visit.fed_percent is None or plan is None:
        return visit.fed_kcal
    return plan.kcal_per_day * visit.fed_percent / 100


def _breeding(dog: Dog) -> bool:
    return dog.needs_growth_profile and not dog.stage.growing


def _findings(visit: Visit, dog: Dog, fed: FedPlan | None, used, rate, trends) -> Findings:
    plan = fed and fed.plan
    weight_kg = used[-1][1] if used and visit.left_out else visit.weight_kg
    return Findings(
        goal=plan.goal if plan else "hold",
        weight_kg=weight_kg,
        target_kg=plan.target_kg if plan else weight_kg,
        bcs=visit.bcs,
        percent_per_week=rate,
        weeks=weeks_under(used, fed.began) if fed else weeks_of(used),
        fed_share=_fed_share(visit, plan),
        much_left=visit.leftovers == MUCH_LEFT,
        muscle=visit.mcs,
        appetite=visit.appetite,
        vomiting=bool(visit.vomiting),
        loose=(visit.faecal_score or 0) >= WATERY_FAECES,
        growing=dog.stage.growing,
        on_insulin=is_diabetic([*dog.conditions, *dog.medicines, dog.notes]),
        breeding=_breeding(dog),
        pregnant=dog.stage.energy_stage == "gestation",
        since_last=trends.get(visit.pk),
        slow=pace_of(visit.patient)[0],
    )


def counted_supplements(plan: Plan | None) -> list[str]:
    """The plan's supplements that come as tablets or capsules."""
    if plan is None:
        return []
    lines = plan.recipe_version.ingredients.filter(food__supplement__dose_unit__in=PIECES)
    return list(dict.fromkeys(lines.values_list("food__name", flat=True)))


def last_count(patient: Patient, before: date) -> dict[str, TabletCount]:
    """What -> the newest count of it at a visit earlier than a day."""
    counts = TabletCount.objects.filter(visit__patient=patient, visit__date__lt=before)
    return {count.what: count for count in counts.select_related("visit").order_by("visit__date", "pk")}


def tablet_checks(visit: Visit, workings: Workings | None, began: date | None) -> list[TabletCheck]:
    """The visit's counts beside the doses of the plan that was fed since `began`."""
    batch = workings and workings.batch
    doses: Iterable = batch.doses if batch else ()
    days = workings.plan.batch_days if workings else 1
    a_day = {dose.food: dose.batch_amount / days for dose in doses}
    counted = last_count(visit.patient, visit.date)
    checks = []
    for count in visit.tablet_counts.order_by("pk"):
        known = [day for day in (began, _day_of(counted.get(count.what))) if day]
        since = max(known, default=None)
        per_day = a_day.get(count.what) if since else None
        passed = (visit.date - since).days if since else 0
        checks.append(TabletCheck(count.what, count.had, count.left, per_day, passed))
    return checks


def _day_of(count: TabletCount | None) -> date | None:
    return count.visit.date if count else None
