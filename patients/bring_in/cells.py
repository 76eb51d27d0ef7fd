"""The cells of a file, read: days, weights, sex, yes or no. Each raises ValueError with what to do. Pure."""

import re
from collections.abc import Iterable
from datetime import date, datetime
from enum import StrEnum

from nutrients.units import kg_from
from patients.energy import check_weight
from patients.weigh_ins import LIGHTEST_KG

NUMERIC_DAY = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4})")
CLOCK = re.compile(r"[T ]\d{1,2}:\d{2}(:\d{2})?(\.\d+)?Z?$")
SPOKEN_DAYS = ("%Y-%m-%d", "%Y/%m/%d", "%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y")
WEIGHT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(kgs?|kilos?|lbs?|pounds?)?\.?", re.IGNORECASE)
FEMALE, MALE = ("female", "f", "bitch"), ("male", "m")
NEUTERED = ("neutered", "spayed", "castrated", "desexed", "sterilised", "sterilized")
ENTIRE = ("entire", "intact", "unneutered", "unspayed")
YES, NO = ("yes", "y", "true", "1", "x"), ("no", "n", "false", "0")


class Order(StrEnum):
    """Of day and month where a date is written in three numbers."""

    DAY_FIRST = "day", "3/11/2026 is 3 November"
    MONTH_FIRST = "month", "3/11/2026 is 11 March"

    def __new__(cls, value: str, words: str):
        member = str.__new__(cls, value)
        member._value_, member.words = value, words
        return member


def order_of(cells: Iterable[str]) -> Order | None:
    """What the dates themselves tell of their order; None when none does, or they contradict each other.

    With dots the day comes first wherever dates are written so.
    """
    found = {order for cell in cells if (order := _order(cell))}
    return found.pop() if len(found) == 1 else None


def has_open_order(cells: Iterable[str]) -> bool:
    """Some date reads both ways."""
    return any(_is_open(cell) for cell in cells)


def read_day(cell: str, order: Order | None) -> date:
    text = CLOCK.sub("", cell.strip())
    if parts := _numeric(text):
        first, sign, second, year = parts
        order = order or _order(text)
        if order is None and _is_open(text):
            raise ValueError(f"“{cell}” reads two ways: write it as 2026-11-03")
        is_month_first = sign != "." and order == Order.MONTH_FIRST
        day, month = (second, first) if is_month_first else (first, second)
        try:
            return date(year, month, day)
        except ValueError:
            raise ValueError(f"“{cell}” is no day: write it as 2026-11-03") from None
    plain = re.sub(r"[,\s]+|(?<=\d)\.\s*", " ", text).strip()
    for form in SPOKEN_DAYS:
        try:
            return datetime.strptime(plain, form).date()
        except ValueError:
            continue
    raise ValueError(f"“{cell[:40]}” is no day with a year of four digits: write it as 2026-11-03")


def unit_of(cell: str) -> str:
    """kg or lb, where the cell of a weight says it."""
    found = WEIGHT.fullmatch(cell)
    return "" if not (found and found[2]) else "lb" if found[2][0] in "lLpP" else "kg"


def read_weight(cell: str, unit: str) -> float:
    """In kg. unit: kg or lb, for a cell that does not say it itself."""
    found = WEIGHT.fullmatch(cell)
    if not found:
        raise ValueError(f"“{cell[:40]}” is no weight: write it as 18.2 kg")
    unit = unit_of(cell) or unit
    if not unit:
        raise ValueError(f"“{cell}” has no unit: add kg or lb")
    kg = check_weight(kg_from(float(found[1].replace(",", ".")), unit))
    if kg < LIGHTEST_KG:
        raise ValueError(f"{cell}: a dog weighs at least {LIGHTEST_KG:g} kg: check the number and its unit")
    return kg


def read_sex(cell: str) -> tuple[str, bool | None]:
    """The sex, and whether neutered where the cell says that too, such as `spayed female`."""
    words = re.findall(r"\w+", cell.casefold())
    sexes = {"female" for word in words if word in FEMALE} | {"male" for word in words if word in MALE}
    states = {True for word in words if word in NEUTERED} | {False for word in words if word in ENTIRE}
    if len(sexes) != 1 or len(states) > 1:
        raise ValueError(f"“{cell[:40]}” is no sex: write female or male")
    return sexes.pop(), states.pop() if states else None


def read_yes_no(cell: str) -> bool:
    """Also in the words for a dog that is neutered or is not."""
    word = cell.strip().casefold()
    if word in (*YES, *NEUTERED):
        return True
    if word in (*NO, *ENTIRE):
        return False
    raise ValueError(f"“{cell[:40]}” is neither yes nor no: write one of them")


def read_score(cell: str) -> int:
    """A body condition score of nine; written 5 or 5/9."""
    found = re.fullmatch(r"([1-9])(?:\.0+)?(?:\s*/\s*9)?", cell.strip())
    if not found:
        raise ValueError(f"“{cell[:40]}” is no body condition score: write a whole number from 1 to 9")
    return int(found[1])


def _numeric(text: str) -> tuple[int, str, int, int] | None:
    found = NUMERIC_DAY.fullmatch(CLOCK.sub("", text.strip()))
    return (int(found[1]), found[2], int(found[3]), int(found[4])) if found else None


def _is_open(cell: str) -> bool:
    parts = _numeric(cell)
    return bool(parts) and parts[1] != "." and parts[0] != parts[2] and not _order(cell)


def _order(cell: str) -> Order | None:
    """What one date tells of its order."""
    parts = _numeric(cell)
    if not parts or parts[1] == ".":
        return None
    first, _, second, _ = parts
    if first > 12 >= second:
        return Order.DAY_FIRST
    if second > 12 >= first:
        return Order.MONTH_FIRST
    return None
