"""Two versions of a recipe laid side by side: what stands in each, and what changes in its answers. Pure."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

import pandas as pd

from nutrients.adequacy import NOISE, answer_word
from recipes.analysis import Portion

SAME, ADDED, LEFT_OUT, CHANGED = "as before", "added", "left out", "changed"
REWORDED_FROM = 0.4  # common practice, no source: share of words in common that makes it the same step
MOVED_FROM_PERCENT = 5  # an amount per 1000 kcal that moves by more than this is told


@dataclass(frozen=True)
class LineChange:
    """One ingredient before and after; None where it does not stand. what: of the words above."""

    food: str
    before: Portion | None
    after: Portion | None
    what: str

    @property
    def percent(self) -> float | None:
        """How much more or less goes in [percent]; None unless the grams of both differ."""
        if self.before is None or self.after is None or self.before.grams == self.after.grams:
            return None
        return 100 * (self.after.grams / self.before.grams - 1)


@dataclass(frozen=True)
class ParticularChange:
    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Piece:
    """Some words of a kitchen step; told: stands on this side alone."""

    words: str
    told: bool


@dataclass(frozen=True)
class StepChange:
    """One kitchen step before and after, in pieces; empty where it does not stand."""

    what: str
    before: tuple[Piece, ...]
    after: tuple[Piece, ...]


@dataclass(frozen=True)
class AnswerChange:
    """One limit whose answer changed or whose amount moved: per 1000 kcal in `unit`, a ratio as such.

    answers: (side, before, after) in words, of each side whose answer changed. percent: of the amount before,
    None when one of them is not known or there was nothing.
    """

    name: str
    unit: str
    decimals: int
    before: float | None
    after: float | None
    answers: tuple[tuple[str, str, str], ...]
    percent: float | None


def line_changes(before: Sequence[Portion], after: Sequence[Portion]) -> list[LineChange]:
    """In the order of the version after; what was left out stands last.

    A food in two lines is told apart by when it goes in; a line alone may also have changed its moment.
    """
    left = list(before)
    pairs = [(_take(left, line, same_moment=True), line) for line in after]
    pairs = [(was or _take(left, now, same_moment=False), now) for was, now in pairs]
    found = [LineChange(now.food, was, now, _what(was, now)) for was, now in pairs]
    return found + [LineChange(was.food, was, None, LEFT_OUT) for was in left]


def _take(left: list[Portion], line: Portion, *, same_moment: bool) -> Portion | None:
    for each in left:
        if each.food == line.food and (each.when == line.when or not same_moment):
            left.remove(each)
            return each
    return None


def _what(was: Portion | None, now: Portion) -> str:
    if was is None:
        return ADDED
    told = ("grams", "when", "step_g", "note")
    return SAME if all(getattr(was, x) == getattr(now, x) for x in told) else CHANGED


def particular_changes(before: Mapping[str, str], after: Mapping[str, str]) -> list[ParticularChange]:
    """before, after: label -> what stands there in words, with the same labels."""
    return [
        ParticularChange(label, before[label], after[label])
        for label in before
        if before[label] != after[label]
    ]


def step_changes(before: Sequence[str], after: Sequence[str]) -> list[StepChange]:
    """Kitchen steps in words, in order; a step that was reworded is laid beside what stood there."""
    found = []
    for act, i, j, k, m in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if act == "equal":
            found += [StepChange(SAME, _whole(step, told=False), ()) for step in before[i:j]]
            continue
        was, now = before[i:j], after[k:m]
        both = min(len(was), len(now))
        found += [_reworded(*pair) for pair in zip(was, now, strict=False)]
        found += [StepChange(LEFT_OUT, _whole(step), ()) for step in was[both:]]
        found += [StepChange(ADDED, (), _whole(step)) for step in now[both:]]
    return found


def _whole(step: str, *, told: bool = True) -> tuple[Piece, ...]:
    return (Piece(step, told),)


def _reworded(was: str, now: str) -> StepChange:
    """The words of both, marked where they differ; a step with little in common is another one."""
    old, new = was.split(), now.split()
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    if matcher.ratio() < REWORDED_FROM:
        return StepChange(CHANGED, _whole(was), _whole(now))
    before, after = [], []
    for act, i, j, k, m in matcher.get_opcodes():
        if i < j:
            before.append(Piece(" ".join(old[i:j]), act != "equal"))
        if k < m:
            after.append(Piece(" ".join(new[k:m]), act != "equal"))
    return StepChange(CHANGED, tuple(before), tuple(after))


def answer_changes(before: pd.DataFrame, after: pd.DataFrame) -> list[AnswerChange]:
    """Those whose answer changed first. before, after: of `nutrients.adequacy.judge`, against one profile."""
    found = [_answer_change(before.loc[key], after.loc[key]) for key in after.index]
    told = [each for each in found if each.answers or _moved(each)]
    return sorted(told, key=lambda each: not each.answers)


def _answer_change(was: pd.Series, now: pd.Series) -> AnswerChange:
    sides = (("minimum", "minimum"), ("maximum", now["maximum_kind"]))
    answers = tuple(
        (side, _word(was[f"{side}_answer"], kind), _word(now[f"{side}_answer"], kind))
        for side, kind in sides
        if was[f"{side}_answer"] != now[f"{side}_answer"]
    )
    amounts = [None if math.isnan(line["amount"]) else float(line["amount"]) for line in (was, now)]
    known = None not in amounts and amounts[0] > 0
    return AnswerChange(
        name=now["name"],
        unit="" if now["unit"] == "ratio" else now["unit"],
        decimals=int(now["decimals"]),
        before=amounts[0],
        after=amounts[1],
        answers=answers,
        percent=100 * (amounts[1] / amounts[0] - 1) if known else None,
    )


def _word(answer: str, kind: str) -> str:
    return answer_word(answer, kind) if answer else "no limit"


def _moved(each: AnswerChange) -> bool:
    """By more than MOVED_FROM_PERCENT; from or to nothing or unknown is always told."""
    if each.percent is None:
        return each.before != each.after
    return abs(each.percent) > MOVED_FROM_PERCENT * (1 + NOISE)
