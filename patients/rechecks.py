"""What a re-check found beside what was expected. Pure: weights in kg, energy in kcal a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from patients.concerns import FASTEST_LOSS_PERCENT_PER_WEEK
from patients.suggestions import SLOWEST_GAIN
from patients.weigh_ins import STEADY_PERCENT_PER_WEEK

RATE_WEEKS = 6  # common practice, no source: two or three weigh-ins, and a standstill is seen in time
START_DAYS = 14  # common practice, no source: how old the weigh-in may be that a plan starts from
# Insulin is also written down by the name of its kind alone.
INSULINS = ("insulin", "glargin", "detemir", "degludec", "isophan", "protamine zinc", "lente")
DIABETES_WORDS = (*INSULINS, "diabet")
MUCH_LEFT = "much"

DayAndKg = tuple[date, float]


def recent(weigh_ins: Iterable[DayAndKg], began: date, on: date) -> list[DayAndKg]:
    """The weigh-ins that tell how the weight goes on a day, under what is fed since `began`.

    Those of the last six weeks, or the last two; never from before the one that the plan starts with.
    """
    until = sorted(entry for entry in weigh_ins if entry[0] <= on)
    start = max((day for day, _ in until if day <= began), default=began)
    if (began - start).days > START_DAYS:
        start = began
    under = [entry for entry in until if entry[0] >= start]
    late = [entry for entry in under if (on - entry[0]).days <= RATE_WEEKS * 7]
    return late if len(late) > 1 else under[-2:]


def started_from(weigh_ins: list[DayAndKg], began: date) -> DayAndKg:
    """The weigh-in that a plan starts from: the last of the two weeks before it, else the first after it.

    weigh_ins: in the order of time, at least one; where it was weighed long before and never since, that.
    """
    before = [entry for entry in weigh_ins if entry[0] <= began]
    after = [entry for entry in weigh_ins if entry[0] > began]
    if before and ((began - before[-1][0]).days <= START_DAYS or not after):
        return before[-1]
    return after[0]


def weeks_under(weigh_ins: list[DayAndKg], began: date) -> float:
    """The weeks of these weigh-ins in which the plan was fed: a rate from before it says nothing of it."""
    if not weigh_ins:
        return 0.0
    return max((weigh_ins[-1][0] - max(weigh_ins[0][0], began)).days / 7, 0.0)


def weeks_of(weigh_ins: list[DayAndKg]) -> float:
    return (weigh_ins[-1][0] - weigh_ins[0][0]).days / 7 if weigh_ins else 0.0


def fed_share(
    plan_kcal: float, fed_kcal: float | None, fed_percent: float | None, leftovers: str = ""
) -> float | None:
    """What was really fed as a share of the plan [1 = as planned].

    None when nobody told, or when much of it was left: then it is not what was eaten.
    """
    if leftovers == MUCH_LEFT:
        return None
    if fed_kcal is not None:
        return fed_kcal / plan_kcal
    return None if fed_percent is None else fed_percent / 100


def expected_words(goal: str, slow: float, fast: float, *, breeding: bool = False) -> str:
    """What a goal lets expect of the weight, a week. breeding: pregnant or nursing."""
    if breeding:
        return "by the week of pregnancy or nursing, not by a goal"
    return {
        "lose": f"{slow:g} to {fast:g} % less a week",
        "gain": f"at least {SLOWEST_GAIN:g} % more a week",
        "grow": "a steady rise: see the growth curve",
    }.get(goal, f"steady: within {STEADY_PERCENT_PER_WEEK:g} % a week")


def rate_words(percent_per_week: float | None) -> str:
    if percent_per_week is None:
        return "not known yet"
    if not round(percent_per_week, 1):
        return "no change"
    return f"{abs(percent_per_week):.1f} % {'less' if percent_per_week < 0 else 'more'} a week"


@dataclass(frozen=True)
class AtHome:
    """How the weight goes by what the owner weighed after the last visit. rate: percent a week."""

    last: date
    rate: float
    weeks: float
    growing: bool

    @property
    def refers(self) -> bool:
        if self.growing:
            return self.rate < 0
        return round(-self.rate, 6) > FASTEST_LOSS_PERCENT_PER_WEEK

    @property
    def words(self) -> str:
        return f"{rate_words(self.rate)} over {self.weeks:.1f} weeks"


def is_diabetic(texts: Iterable[str]) -> bool:
    """Does a condition, a medicine or a note speak of diabetes or insulin? Also when it denies it."""
    return any(word in text.casefold() for text in texts for word in DIABETES_WORDS)


@dataclass(frozen=True)
class TabletCheck:
    """A count of tablets as a check of what was given.

    a_day: by the plan's doses, None when it has no such supplement; days: since the count before.
    """

    what: str
    had: float
    left: float
    a_day: float | None
    days: int

    @property
    def expected_left(self) -> float | None:
        """None when the plan does not say, and when there were too few to last."""
        if self.a_day is None or self.had < self.a_day * self.days:
            return None
        return self.had - self.a_day * self.days

    @property
    def words(self) -> str:
        used = self.had - self.left
        if used < 0:
            return "More are left than there were: count again, with those bought since."
        if self.a_day is None:
            return "The plan has no dose of it to compare with."
        planned = self.a_day * self.days
        said = f"{used:g} used in {self.days} days; by the plan {planned:.3g}."
        return said if abs(used - planned) <= max(1.0, planned / 10) else f"{said} Ask how it is given."
