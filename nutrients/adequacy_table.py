"""An adequacy judgement as rows that a page or a sheet only has to write down."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from types import MappingProxyType

import pandas as pd

from nutrients.adequacy import OPEN_ANSWERS, answer_word
from nutrients.adequacy_scale import ScaleMark, scale_mark

Estimated = Mapping[str, tuple[str, ...]]  # nutrient -> foods whose value of it is an estimate
NOTHING: Estimated = MappingProxyType({})


@dataclass(frozen=True)
class AnswerWord:
    answer: str
    word: str


@dataclass(frozen=True)
class AdequacyRow:
    """One nutrient: amounts per 1000 kcal in `unit`; None where the profile sets no such limit.

    raised: the minimum, for a dog; changed: the limit, by the practice. estimated: the foods whose value of
    it is an estimate.
    """

    key: str
    name: str
    unit: str
    decimals: int
    amount: float | None
    minimum: float | None
    maximum: float | None
    percent_of_minimum: float | None
    answers: tuple[AnswerWord, ...]
    open: bool
    completeness: float
    missing: tuple[str, ...]
    mark: ScaleMark | None
    source: str
    certainty: str
    maximum_certainty: str
    note: str
    raised: bool
    changed: bool
    estimated: tuple[str, ...] = ()


def _or_none(value) -> float | None:
    return None if pd.isna(value) else float(value)


def _row(key: str, line, estimated: tuple[str, ...]) -> AdequacyRow:
    amount, minimum, maximum = (_or_none(line[c]) for c in ("amount", "minimum", "maximum"))
    answers = [(line["minimum_answer"], "minimum"), (line["maximum_answer"], line["maximum_kind"])]
    words = [AnswerWord(answer, answer_word(answer, kind)) for answer, kind in answers if answer]
    unique = tuple(dict.fromkeys(words))
    is_open = any(word.answer in OPEN_ANSWERS for word in unique)
    confirmed = not any(word.answer == "cannot_confirm" for word in unique)
    drawable = amount is not None and (minimum or maximum is not None)
    return AdequacyRow(
        key=key,
        name=line["name"],
        unit=line["unit"],
        decimals=int(line["decimals"]),
        amount=amount,
        minimum=minimum,
        maximum=maximum,
        percent_of_minimum=_or_none(line["percent_of_minimum"]),
        # An open answer says more than "meets": show only what is open when something is.
        answers=tuple(w for w in unique if w.answer != "meets") if is_open else unique[:1],
        open=is_open,
        completeness=float(line["completeness"]),
        missing=tuple(line["missing"]),
        mark=scale_mark(amount, minimum, maximum, confirmed) if drawable else None,
        source=line["source"],
        certainty=line["certainty"],
        maximum_certainty=line["maximum_certainty"],
        note=line["note"],
        raised=bool(line["raised"]),
        changed=bool(line["changed"]),
        estimated=estimated,
    )


def adequacy_rows(judgement: pd.DataFrame, estimated: Estimated = NOTHING) -> list[AdequacyRow]:
    """The rows of `nutrients.adequacy.judge`, in its order."""
    return [_row(key, line, estimated.get(key, ())) for key, line in judgement.iterrows()]


def grouped_rows(
    judgement: pd.DataFrame, estimated: Estimated = NOTHING
) -> list[tuple[str, list[AdequacyRow]]]:
    """The same rows under the nutrients' group names, in order."""
    rows = adequacy_rows(judgement, estimated)
    named = zip(judgement["group"], rows, strict=True)
    return [(group, [row for _, row in lines]) for group, lines in groupby(named, key=lambda pair: pair[0])]
