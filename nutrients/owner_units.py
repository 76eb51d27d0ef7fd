"""The units in which an owner weighs, measures and heats: metric, or US customary. Pure.

Grams are the truth: ounces stand beside them and never replace them, and what is weighed in small amounts, a
powder above all, is told in grams alone.
"""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from nutrients.language import number, plain, say
from nutrients.units import cups_from, fahrenheit, lb_from_kg, oz_from_g, quarts_from

UNITS = {"metric": "grams, kilograms, °C", "us": "ounces, pounds, °F"}
METRIC, US = "metric", "us"
OZ_PER_LB = 16
LEAST_OZ = 1  # common practice, no source: below it a kitchen scale in ounces is too coarse
WHOLE_GRAMS_FROM = 50  # below it half a gram is more than 1 %
ROUNDING = 1e-9

_used: ContextVar[str] = ContextVar("used", default=METRIC)


@contextmanager
def measuring(units: str) -> Iterator[None]:
    """Amounts told inside are in these units first. Raises ValueError for units that nobody uses here."""
    if units not in UNITS:
        raise ValueError(f"There are no units {units!r}: choose one of {', '.join(UNITS)}.")
    before = _used.set(units)
    try:
        yield
    finally:
        _used.reset(before)


def units_used() -> str:
    return _used.get()


def weight(grams: float) -> str:
    """A food's weight, such as `620 g`, or `1 lb 5.9 oz (620 g)`; to the tenth below 50 g."""
    places = 0 if grams >= WHOLE_GRAMS_FROM else 1
    metric = f"{plain(round(grams, places))} g"
    in_ounces = ounces(grams)
    return f"{in_ounces} ({metric})" if units_used() == US and in_ounces else metric


def ounces(grams: float) -> str:
    """Such as `7.3 oz` or `1 lb 5.9 oz`, told in tenths of an ounce; "" for less than an ounce."""
    tenths = round(oz_from_g(grams) * 10)
    if tenths < LEAST_OZ * 10:
        return ""
    pounds, left = divmod(tenths, OZ_PER_LB * 10)
    parts = [f"{pounds} lb"] if pounds else []
    return " ".join([*parts, f"{plain(left / 10)} oz"] if left else parts)


def body(kg: float) -> tuple[str, str]:
    """A dog's weight in the owner's unit and in the other, such as `18.4 kg` and `40.6 lb`."""
    told = f"{number(kg, 1)} kg", f"{number(lb_from_kg(kg), 1)} lb"
    return told[::-1] if units_used() == US else told


def heat(celsius: float) -> str:
    """A temperature, such as `74 °C (165 °F)` or `165 °F (74 °C)`."""
    return _both(f"{number(celsius)} °C", f"{fahrenheit(celsius)} °F")


def water(grams: float) -> str:
    """Water as it is measured, such as `650 ml` or `2¾ cups`, in quarters."""
    if units_used() == METRIC:
        return f"{number(grams)} ml"
    return say("{count} US cups").format(count=plain(max(1, round(cups_from(grams) * 4)) / 4))


def volume(litres: float, upwards: bool = False) -> str:
    """What a pot holds, such as `6 litres (6.3 quarts)`, to the tenth; upwards: to the next tenth."""
    tenth = _up if upwards else lambda value: round(value, 1)
    metric = say("{litres} litres").format(litres=plain(tenth(litres)))
    return _both(metric, say("{quarts} quarts").format(quarts=plain(tenth(quarts_from(litres)))))


def _both(metric: str, us: str) -> str:
    first, second = (us, metric) if units_used() == US else (metric, us)
    return f"{first} ({second})"


def _up(value: float) -> float:
    """To the next tenth: a pot that is said to be enough must be enough."""
    return math.ceil(value * 10 - ROUNDING) / 10
