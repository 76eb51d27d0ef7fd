"""Reads what the chart of a dog's weights shows, and the table beside it."""

from dataclasses import dataclass, field
from datetime import date

from patients.curves import GrowthPoint, LossCorridor, growth_curve
from patients.fed_plans import FedPlan, fed_plans
from patients.life_stage import life_stage
from patients.models import Patient, Plan
from patients.queries import Weighed, present_plan, weights_of
from patients.recheck_queries import pace_of
from patients.rechecks import started_from
from patients.sentences import in_kg, wanted_kg

MARKS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class PlanMark:
    """The beginning of a plan on the time axis, under its letter."""

    letter: str
    day: date
    words: str


@dataclass(frozen=True)
class CurveRow:
    """A weigh-in of the table; corridor: (lowest, highest) weight of a loss on that day [kg], or None;
    percent: of the expected adult weight of a growing dog, or None.
    """

    weighed: Weighed
    corridor: tuple[float, float] | None
    percent: float | None


@dataclass(frozen=True)
class WeightCurve:
    """weights: those that count, the first one first."""

    patient: Patient
    weights: list[Weighed]
    target_kg: float | None = None
    corridor: LossCorridor | None = None
    marks: list[PlanMark] = field(default_factory=list)
    growth: list[GrowthPoint] = field(default_factory=list)

    def row(self, weighed: Weighed) -> CurveRow:
        day = weighed.entry.day
        percents = {point.day: point.percent for point in self.growth}
        corridor = self.corridor.on(day) if self.corridor else None
        return CurveRow(weighed, corridor, None if weighed.left_out else percents.get(day))


def weight_curve(patient: Patient) -> WeightCurve:
    weights, plan, fed = weights_of(patient), present_plan(patient), fed_plans(patient)
    return WeightCurve(
        patient=patient,
        weights=weights,
        target_kg=wanted_kg(plan) if plan else None,
        corridor=_corridor(patient, plan, fed, weights),
        marks=[_mark(letter, each) for letter, each in zip(MARKS, fed[-len(MARKS) :], strict=False)],
        growth=_growth(patient, weights),
    )


def _mark(letter: str, fed: FedPlan) -> PlanMark:
    plan = fed.plan
    aim = "" if wanted_kg(plan) is None else f", target {in_kg(plan.target_kg)}"
    title = plan.recipe_version.recipe.title
    words = f"{plan.kcal_per_day:,.0f} kcal a day, {plan.get_goal_display()}{aim}; {title}"
    return PlanMark(letter, fed.began, words)


def _corridor(patient: Patient, plan: Plan | None, fed: list[FedPlan], weights) -> LossCorridor | None:
    """From where the loss began, over all its plans; of a draft that nothing came before, from now on."""
    if not weights or plan is None or plan.goal != Plan.Goal.LOSE:
        return None
    run: list[FedPlan] = []
    for each in reversed(fed):
        if each.plan.goal != Plan.Goal.LOSE:
            break
        run.append(each)
    began = run[-1].began if run else weights[-1].entry.day
    day, kg = started_from([(each.entry.day, each.entry.kg) for each in weights], began)
    if plan.target_kg >= kg:
        return None
    return LossCorridor(kg, plan.target_kg, max(began, day), *pace_of(patient))


def _growth(patient: Patient, weights: list[Weighed]) -> list[GrowthPoint]:
    adult_kg = patient.expected_adult_kg
    if not weights or not adult_kg:
        return []
    last = weights[-1].entry.day
    if last < patient.born or not life_stage(patient.born, last, adult_kg).growing:
        return []
    return growth_curve(((w.entry.day, w.entry.kg) for w in weights), patient.born, adult_kg)
