"""How the weight went from one weigh-in to the next. Pure calculation: weights in kg."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

STEADY_PERCENT_PER_WEEK = 0.5  # common practice, no source: slower than this is the scale and the bowl
LIGHTEST_KG = 0.2  # common practice, no source: lighter than any puppy that is fed
SHORTEST_DAYS = 7  # common practice, no source: over fewer days a dog's water and bowels hide the trend
UNLIKELY_PERCENT = 25  # common practice, no source: more between two visits is a slip of number or unit


@dataclass(frozen=True)
class WeighIn:
    """One weigh-in and the change since the one before; the changes are None for the first.

    `percent` and `percent_per_week` are of the weight before. `percent_per_week` is None on the same day.
    """

    day: date
    kg: float
    days: int | None = None
    change_kg: float | None = None
    percent: float | None = None
    percent_per_week: float | None = None

    @property
    def is_steady(self) -> bool:
        """The weight has hardly moved since the weigh-in before; unknown without one on an earlier day."""
        change = self.percent_per_week
        return change is not None and round(abs(change), 6) <= STEADY_PERCENT_PER_WEEK

    @property
    def trend_percent_per_week(self) -> float | None:
        """The change a week, where the time is long enough to tell one."""
        return self.percent_per_week if self.days is not None and self.days >= SHORTEST_DAYS else None

    @property
    def is_unlikely(self) -> bool:
        """The weight of a grown dog does not change as much between two visits."""
        return self.percent is not None and abs(self.percent) > UNLIKELY_PERCENT


def weigh_ins(weights: Iterable[tuple[date, float]]) -> list[WeighIn]:
    """Weigh-ins in the order of time, each with the change since the one before."""
    entries: list[WeighIn] = []
    for day, kg in sorted(weights, key=lambda weight: weight[0]):
        entries.append(_since(entries[-1], day, kg) if entries else WeighIn(day, kg))
    return entries


def _since(before: WeighIn, day: date, kg: float) -> WeighIn:
    days, change = (day - before.day).days, kg - before.kg
    percent = 100 * change / before.kg
    return WeighIn(day, kg, days, change, percent, percent / days * 7 if days else None)
