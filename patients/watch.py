"""What wants looking at between visits: late weigh-ins, a loss off its pace, a new life stage. Pure.

Weights in kg, rates in percent a week.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from patients.curves import weekly_rate
from patients.life_stage import life_stage
from patients.rechecks import DayAndKg, recent, weeks_of, weeks_under
from patients.suggestions import SHORTEST_WEEKS
from patients.weigh_ins import STEADY_PERCENT_PER_WEEK

LATE_AFTER_DAYS = 14  # common practice, no source: a loss and a growth are weighed every two weeks
STAGE_DAYS_BACK, STAGE_DAYS_AHEAD = 30, 14  # common practice, no source: time to make the next plan


def days_without(last: date | None, began: date, on: date) -> int:
    """Days since the last weigh-in; of a dog that was never weighed, since its plan began."""
    return (on - (last or began)).days


def is_late(days: int) -> bool:
    return days > LATE_AFTER_DAYS


@dataclass(frozen=True)
class Pace:
    """How a planned loss goes. weeks: of the weigh-ins, weeks_fed: of them under the plan. slow, fast: the
    loss that is wanted.
    """

    rate: float
    weeks: float
    weight_kg: float
    target_kg: float
    slow: float
    fast: float
    weeks_fed: float

    @property
    def too_fast(self) -> bool:
        return round(-self.rate, 6) > self.fast

    @property
    def standing_still(self) -> bool:
        """Steady or rising above the target, for long enough to tell."""
        if self.weight_kg <= self.target_kg or self.weeks_fed < SHORTEST_WEEKS:
            return False
        return round(-self.rate, 6) < min(self.slow, STEADY_PERCENT_PER_WEEK)

    @property
    def words(self) -> str:
        weeks = f"{self.weeks:.1f}".removesuffix(".0")
        span = f"over {weeks} week{'' if weeks == '1' else 's'}"
        return f"{self._rate_words} {span}; {self.slow:g} to {self.fast:g} % less is wanted"

    @property
    def _rate_words(self) -> str:
        """To the hundredth: 2.04 % is too fast where 2 % is not."""
        if not round(self.rate, 2):
            return "no change"
        return f"{abs(self.rate):.2f} % {'less' if self.rate < 0 else 'more'} a week"


def pace(
    weigh_ins: list[DayAndKg], began: date, on: date, target_kg: float, wanted: tuple[float, float]
) -> Pace | None:
    """How the weight goes under a plan that began on a day; None until that can be told.

    wanted: the least and the most loss.
    """
    used = recent(weigh_ins, began, on)
    rate = weekly_rate(used)
    if rate is None:
        return None
    return Pace(rate, weeks_of(used), used[-1][1], target_kg, *wanted, weeks_fed=weeks_under(used, began))


@dataclass(frozen=True)
class NewStage:
    """label: of the life stage that begins on `day`."""

    day: date
    label: str

    def words(self, on: date) -> str:
        return f"{self.label} {'since' if self.day <= on else 'from'} {self.day.day} {self.day:%B}"


def new_stage(born: date, expected_adult_kg: float | None, on: date) -> NewStage | None:
    """The life stage that began in the last 30 days or begins in the next 14; of several, the last."""
    until = on + timedelta(days=STAGE_DAYS_AHEAD)
    first = max(born, on - timedelta(days=STAGE_DAYS_BACK))

    def label(day: date) -> str:
        return life_stage(born, day, expected_adult_kg).label

    if first > until or label(first) == label(until):
        return None
    day = until
    while label(day - timedelta(days=1)) == label(until):
        day -= timedelta(days=1)
    return NewStage(day, label(until))
