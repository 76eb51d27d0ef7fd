"""What a re-check suggests: keep, a tenth less or more, find out what is really fed, or refer. Pure.

It suggests and says why; the practitioner decides. Refer comes before any other answer. Nothing is changed
by itself for a growing dog or one on insulin, and energy is never raised for a dog that is ill or gains above
its target.
"""

from dataclasses import dataclass

from patients.concerns import FASTEST_LOSS_PERCENT_PER_WEEK, THIN_BCS
from patients.curves import SLOW_PERCENT
from patients.energy import IDEAL_BCS
from patients.weigh_ins import STEADY_PERCENT_PER_WEEK

KEEP, LESS, MORE, CHECK, REFER = "keep", "less", "more", "check", "refer"
WORDS = {
    KEEP: "Keep the plan",
    LESS: "10 % less",
    MORE: "10 % more",
    CHECK: "Find out what is really fed",
    REFER: "Stop and refer to the veterinarian",
}
STEP = 0.10  # AAHA 2014 Weight Management Guidelines: change by about 10 % at a time
FACTORS = {LESS: 1 - STEP, MORE: 1 + STEP}
FED_AS_PLANNED = 0.10  # common practice, no source: intake within a tenth of the plan
THIN_WHILE_LOSING_BCS = 4
HEAVY_BCS = 7  # common practice, no source: from here on a plan that only holds the weight is asked about
SLOWEST_GAIN = 0.25  # common practice, no source: percent a week below which a dog does not gain
SHORTEST_WEEKS = 2.0  # common practice, no source: sooner, water and bowels hide the trend


@dataclass(frozen=True)
class Findings:
    """What a re-check found. percent_per_week: None when not known yet; weeks: the time it tells of the plan.

    fed_share: what is really fed as a share of the plan [1 = as planned], None when not known. much_left: a
    quarter or more of it stays in the bowl. slow: the least loss a week that is wanted [percent]. loose: very
    soft or watery faeces. breeding: pregnant or nursing. since_last: the change since the weigh-in before
    alone [percent a week].
    """

    goal: str
    weight_kg: float
    target_kg: float
    bcs: int
    percent_per_week: float | None
    weeks: float = 0.0
    fed_share: float | None = None
    much_left: bool = False
    muscle: str = "normal"
    appetite: str = "good"
    vomiting: bool = False
    loose: bool = False
    growing: bool = False
    on_insulin: bool = False
    breeding: bool = False
    pregnant: bool = False
    since_last: float | None = None
    slow: float = SLOW_PERCENT


@dataclass(frozen=True)
class Suggestion:
    """An answer with its reasons, the first one first."""

    action: str
    reasons: tuple[str, ...]

    @property
    def words(self) -> str:
        return WORDS[self.action]

    @property
    def factor(self) -> float:
        """By what the day's energy is multiplied; 1 for every answer but less and more."""
        return FACTORS.get(self.action, 1.0)


def suggest(found: Findings) -> Suggestion:
    if reasons := _reasons_to_refer(found):
        return Suggestion(REFER, reasons)
    if found.growing:
        return _keep(found, "A growing dog's food is never changed by itself: look at its growth.")
    if found.on_insulin:
        return _keep(
            found, "With diabetes or on insulin any change of food is agreed with the veterinarian first."
        )
    if found.breeding:
        reason = "A pregnant or nursing dog's food is never changed by itself: its need changes by the week."
        return _keep(found, reason)
    if found.goal == "grow":
        return _keep(found, "The dog is grown: make the next plan one that holds its weight.")
    if found.percent_per_week is None or found.weeks < SHORTEST_WEEKS:
        return _keep(found, "Too early to tell: weigh again two weeks after the last change.")
    answer = {"lose": _losing, "gain": _gaining}.get(found.goal, _holding)
    return answer(found, found.percent_per_week)


def _reasons_to_refer(found: Findings) -> tuple[str, ...]:
    rate = found.percent_per_week
    losing = rate is not None and rate < -STEADY_PERCENT_PER_WEEK
    reasons = []
    if found.appetite == "poor":
        reasons.append("The appetite is poor.")
    if found.vomiting:
        reasons.append("The dog vomits.")
    if found.loose:
        reasons.append("The faeces are very soft or watery.")
    if found.bcs <= THIN_WHILE_LOSING_BCS and (losing or found.goal == "lose"):
        reasons.append(f"BCS {found.bcs} while losing weight.")
    elif found.bcs <= THIN_BCS and not (found.goal == "gain" and (rate or 0) > 0):
        reasons.append(f"The dog is thin: BCS {found.bcs}.")
    if found.goal == "lose" and (found.growing or found.breeding):
        reasons.append("This plan is to lose weight: not while growing, pregnant or nursing.")
    if found.pregnant and losing:
        reasons.append("A pregnant dog has lost weight.")
    if found.muscle == "severe":
        reasons.append("The loss of muscle is severe.")
    if found.on_insulin and (found.much_left or _eats_less(found)):
        reasons.append("A dog with diabetes or on insulin does not eat what was planned.")
    if found.growing and rate is not None and rate < 0:
        reasons.append("A growing dog has lost weight.")
    else:
        reasons += _too_fast(rate, "The weight falls by") or _too_fast(
            found.since_last, "Since the weigh-in before the weight fell by"
        )
    return tuple(reasons)


def _eats_less(found: Findings) -> bool:
    return found.fed_share is not None and found.fed_share < 1 - FED_AS_PLANNED - 1e-9


def _too_fast(rate: float | None, words: str) -> list[str]:
    if rate is None or round(-rate, 6) <= FASTEST_LOSS_PERCENT_PER_WEEK:
        return []
    return [f"{words} {-rate:.3g} % a week, more than {FASTEST_LOSS_PERCENT_PER_WEEK:g} %."]


def _as_told(rate: float) -> float:
    """To the tenth, as it is read: nobody is to read that 1.0 % falls short of 1 %."""
    return round(rate, 1)


def _losing(found: Findings, rate: float) -> Suggestion:
    if found.weight_kg <= found.target_kg:
        return Suggestion(KEEP, ("The target is reached: make the next plan one that holds the weight.",))
    if _as_told(rate) <= -found.slow:
        return _keep(found, f"The weight falls by {-rate:.1f} % a week, as it should.")
    said = f"The weight falls by {-rate:.1f} %" if rate < 0 else f"The weight rises by {rate:.1f} %"
    return _change(found, LESS, f"{said} a week; at least {found.slow:g} % of loss is wanted.")


def _holding(found: Findings, rate: float) -> Suggestion:
    if abs(_as_told(rate)) <= STEADY_PERCENT_PER_WEEK:
        if found.bcs >= HEAVY_BCS:
            return _keep(found, f"The weight is steady, at BCS {found.bcs}: is it the weight to hold?")
        return _keep(found, "The weight is steady.")
    if rate > 0:
        if found.weight_kg < found.target_kg:
            return _keep(found, "The weight rises towards the target.")
        return _change(found, LESS, f"The weight rises by {rate:.1f} % a week.")
    if found.weight_kg > found.target_kg:
        return _keep(found, "The weight falls towards the target.")
    return _change(found, MORE, f"The weight falls by {-rate:.1f} % a week.")


def _gaining(found: Findings, rate: float) -> Suggestion:
    if found.weight_kg >= found.target_kg:
        if rate > STEADY_PERCENT_PER_WEEK:
            return _change(found, LESS, "The target is passed and the weight still rises.")
        return Suggestion(KEEP, ("The target is reached: make the next plan one that holds the weight.",))
    if rate >= SLOWEST_GAIN:
        return _keep(found, f"The weight rises by {rate:.1f} % a week.")
    return _change(found, MORE, "The weight does not rise as it should.")


def _keep(found: Findings, reason: str) -> Suggestion:
    """No change of the plan, unless it is not what was eaten: its nutrients are not either."""
    if otherwise := _fed_otherwise(found):
        return Suggestion(CHECK, (reason, otherwise))
    return Suggestion(KEEP, (reason,))


def _change(found: Findings, action: str, reason: str) -> Suggestion:
    """A change of the plan; when it is not what was fed, that is found out first."""
    if otherwise := _fed_otherwise(found):
        return Suggestion(CHECK, (reason, otherwise))
    if speaks_against_it := _body_against(found, action):
        return Suggestion(KEEP, (reason, speaks_against_it))
    if found.fed_share is None:
        return Suggestion(CHECK, (reason, "What was really fed is not known."))
    return Suggestion(action, (reason, f"What was fed is as planned: {100 * found.fed_share:.0f} %."))


def _body_against(found: Findings, action: str) -> str:
    """Less for a body that has nothing to lose, or more for one that is too heavy: the target is in doubt."""
    leanest = IDEAL_BCS if found.goal == "lose" else THIN_WHILE_LOSING_BCS
    less = action == LESS
    if found.bcs > leanest if less else found.bcs <= IDEAL_BCS:
        return ""
    return (
        f"But BCS {found.bcs} speaks against {'less' if less else 'more'}: look at the target weight again."
    )


def _fed_otherwise(found: Findings) -> str:
    if found.much_left:
        return "Much of the food is left: what was eaten is not known."
    if found.fed_share is None or abs(found.fed_share - 1) <= FED_AS_PLANNED + 1e-9:
        return ""
    return f"What was really fed is {100 * found.fed_share:.0f} % of the plan: mend that first."
