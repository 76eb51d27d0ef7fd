"""What is asked about a weight that cannot well be right, and what the answer makes of it. Pure: kg.

An answer holds for the very weight and day it was given for: another number is asked about anew.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from nutrients.units import kg_from, lb_from_kg
from patients.curves import doubt_among
from patients.energy import check_weight
from patients.sentences import in_kg
from patients.usual_weights import Usual, unlike_usual

RIGHT, OTHER_UNIT, LEFT_OUT = "right", "other-unit", "left-out"


@dataclass(frozen=True)
class Typed:
    """A weight as it was typed: kg from a number in `unit`, kg or lb."""

    day: date
    kg: float
    unit: str

    @property
    def in_other_unit(self) -> tuple[str, float] | None:
        """How the same number reads in the other unit, and what it is then [kg]; None for no dog's weight."""
        number, other = (self.kg, "lb") if self.unit == "kg" else (lb_from_kg(self.kg), "kg")
        try:
            return f"{number:.4g} {other}", check_weight(kg_from(number, other))
        except ValueError:
            return None


@dataclass(frozen=True)
class WeightQuestion:
    """words: why it is asked; answers: (value, label), to be sent under `name`; chosen: a value, or ""."""

    name: str
    words: str
    answers: tuple[tuple[str, str], ...]
    chosen: str = ""


@dataclass(frozen=True)
class Judged:
    """The weight to keep [kg]. question: None when nothing speaks against it; it stays when answered."""

    kg: float
    left_out: bool = False
    question: WeightQuestion | None = None

    @property
    def is_open(self) -> bool:
        """Nobody has said yet what it is: nothing is to be kept."""
        return self.question is not None and not self.question.chosen


@dataclass(frozen=True)
class KnownWeights:
    """What a weight is held against. counted: weigh-ins that count, (day, kg); usual: for a first one."""

    counted: Sequence[tuple[date, float]]
    growing_on: Callable[[date], bool]
    born: date | None = None
    usual: Usual | None = None

    def doubt(self, typed: Typed) -> str:
        if self.counted:
            return doubt_among(typed.day, typed.kg, self.counted, self.growing_on, typed.unit)
        if not self.usual or not self.born:
            return ""
        weeks = (typed.day - self.born).days / 7 if self.growing_on(typed.day) else None
        return unlike_usual(typed.kg, typed.unit, self.usual, weeks)


def judge_weight(typed: Typed, known: KnownWeights, *, name: str, answer: str = "") -> Judged:
    """answer: what was sent under `name`."""
    words = known.doubt(typed)
    if not words:
        return Judged(typed.kg)
    other = typed.in_other_unit
    answers = {_value(RIGHT, typed): (f"It is right: {in_kg(typed.kg)}.", typed.kg, False)}
    if other:
        answers[_value(OTHER_UNIT, typed)] = (f"It was {other[0]}: {in_kg(other[1])}.", other[1], False)
    if known.counted:  # a dog that was weighed once has no other weight
        label = "Keep it on record, and leave it out of the curve."
        answers[_value(LEFT_OUT, typed)] = (label, typed.kg, True)
    offered = tuple((value, label) for value, (label, _, _) in answers.items())
    question = WeightQuestion(name, words, offered, answer if answer in answers else "")
    _, kg, left_out = answers.get(answer, ("", typed.kg, False))
    return Judged(kg, left_out, question)


def _value(answer: str, typed: Typed) -> str:
    return f"{answer} {typed.day.isoformat()} {typed.kg:.3f}"
