"""Weigh-ins that an owner wrote down, a line each, such as `2026-11-03 18,2 kg`. Pure.

A line is a day, a weight with its unit and, if there is more, a note. A weight without its unit is not
guessed at, nor is a day such as 3/11/2026, which two people read as two days.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime

from nutrients.units import kg_from
from patients.energy import check_weight
from patients.weigh_ins import LIGHTEST_KG
from patients.weight_questions import Typed

LONGEST_NOTE = 200
DAY = r"(?P<day>\d{4}-\d{1,2}-\d{1,2}|\d{1,2}\.\s?\d{1,2}\.\s?\d{4}|\d{1,2}\.?\s+[a-z]{3,9}\.?\s+\d{4})"
UNITS = r"kgs?|kilo(?:gram(?:me)?)?s?|lbs?|pounds?"
WEIGHT = rf"(?P<number>\d+(?:[.,]\d+)?)(?!\d|[.,]\d)\s*(?P<unit>(?:{UNITS})(?!\w))?"
LINE = re.compile(rf"\s*{DAY}(?:\s*[:;,]\s*|\s+){WEIGHT}[\s,;:.]*(?P<note>.*)", re.IGNORECASE)
# A second amount at once after the first: 18 kg 200 g is not 18 kg, and of two weights one is wrong.
MORE_WEIGHT = re.compile(rf"\+?\s*\d+(?:[.,]\d+)?\s*(?:{UNITS}|g|grams?|oz|ounces?)(?!\w)", re.IGNORECASE)
NUMERIC_DAY = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})")
FORMATS = ("%Y-%m-%d", "%d %b %Y", "%d %B %Y")
EXAMPLE = "write it as 2026-11-03 18.2 kg"


@dataclass(frozen=True)
class HomeLine:
    number: int
    typed: Typed
    note: str


@dataclass(frozen=True)
class Fault:
    number: int
    words: str


def read_lines(text: str, *, today: date, born: date) -> tuple[list[HomeLine], list[Fault]]:
    """The lines in their order, and what is wrong with the others; blank lines are passed over."""
    lines, faults = [], []
    days: dict[date, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        try:
            read = _read(number, line, today, born)
            if read.typed.day in days:
                raise ValueError(f"the day of line {days[read.typed.day]} once more: keep one of them")
        except ValueError as wrong:
            faults.append(Fault(number, str(wrong)))
        else:
            days[read.typed.day] = number
            lines.append(read)
    return lines, faults


def _read(number: int, line: str, today: date, born: date) -> HomeLine:
    found = LINE.fullmatch(line)
    if not found:
        raise ValueError(f"“{line.strip()[:40]}” is not a day and a weight: {EXAMPLE}")
    day = _day(found["day"])
    if day > today:
        raise ValueError(f"{found['day']} lies in the future")
    if day < born:
        raise ValueError(f"{found['day']} lies before the birth")
    if not found["unit"]:
        raise ValueError(f"“{found['number']}” has no unit: add kg or lb")
    if MORE_WEIGHT.match(found["note"]):
        raise ValueError(f"more than one amount after the day: {EXAMPLE}")
    if len(found["note"]) > LONGEST_NOTE:
        raise ValueError(f"the note is longer than {LONGEST_NOTE} characters")
    unit = "lb" if found["unit"].lower()[0] in "lp" else "kg"
    kg = check_weight(kg_from(float(found["number"].replace(",", ".")), unit))
    if kg < LIGHTEST_KG:
        raise ValueError(f"a dog weighs at least {LIGHTEST_KG:g} kg: check the number and its unit")
    return HomeLine(number, Typed(day, kg, unit), found["note"].strip())


def _day(text: str) -> date:
    numeric = NUMERIC_DAY.fullmatch(text)
    plain = "-".join(reversed(numeric.groups())) if numeric else re.sub(r"[.\s]+", " ", text)
    for form in FORMATS:
        try:
            return datetime.strptime(plain, form).date()
        except ValueError:
            continue
    raise ValueError(f"“{text}” is no day: {EXAMPLE}")
