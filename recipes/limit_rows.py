"""The rows of a judgement as a recipe's page shows them: on a basis, with both answers. Pure."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from nutrients.adequacy import answer_word
from nutrients.adequacy_scale import ScaleMark, scale_mark
from nutrients.adequacy_table import AdequacyRow, AnswerWord, adequacy_rows
from nutrients.composition import RATIOS
from nutrients.profile_basis import decimals_of
from recipes.analysis import Analysis
from recipes.basis import Basis
from recipes.notes import retinol_share

SIDES = ("amount", "minimum", "maximum")
NOISE = 1e-6  # of a percent: rounding of floating point must not take a percent off


@dataclass(frozen=True)
class LimitRow(AdequacyRow):
    """Amounts on the basis that is shown; the answers are those per 1000 kcal.

    room_percent: what is left up to the maximum, in percent of it; below 0 above it, None without one.
    both_answers: of the minimum, of the maximum. has_parts: a nutrient that ingredients bring, no ratio.
    """

    room_percent: float | None = None
    both_answers: tuple[AnswerWord, ...] = ()
    has_parts: bool = True

    @property
    def of_minimum(self) -> int | None:
        """Whole percent of the minimum, never rounded up to it."""
        return None if self.percent_of_minimum is None else math.floor(self.percent_of_minimum + NOISE)

    @property
    def room(self) -> str:
        """Such as `38 % left` or `2 % above`, never rounded down to the maximum; "" where it is not known."""
        if self.room_percent is None:
            return ""
        left = math.floor(self.room_percent + NOISE)
        return f"{left} % left" if left >= 0 else f"{-left} % above"


def limit_rows(analysis: Analysis, basis: Basis) -> list[LimitRow]:
    """A row per limit, in the order of the judgement."""
    judgement = analysis.judgement
    towards_maximum = judgement["amount"].copy()
    if "vitamin_a" in judgement.index:
        towards_maximum["vitamin_a"] *= retinol_share(analysis)
    lines = zip(
        adequacy_rows(judgement, analysis.estimated),
        towards_maximum.tolist(),
        judgement["minimum_answer"],
        judgement["maximum_answer"],
        judgement["maximum_kind"],
        strict=True,
    )
    return [_row(row, towards, basis, _both(*answers)) for row, towards, *answers in lines]


def _both(minimum: str, maximum: str, kind: str) -> tuple[AnswerWord, ...]:
    given = [(minimum, "minimum"), (maximum, kind)]
    words = [AnswerWord(answer, answer_word(answer, side)) for answer, side in given if answer]
    return tuple(dict.fromkeys(words))


def _row(row: AdequacyRow, towards_maximum: float, basis: Basis, both: tuple[AnswerWord, ...]) -> LimitRow:
    shown = {side: basis.amount(getattr(row, side), row.unit, row.key) for side in SIDES}
    limit = shown["minimum"] or shown["maximum"] or 0
    has_room = row.maximum is not None and not math.isnan(towards_maximum)
    return LimitRow(
        **vars(row)
        | shown
        | {
            "unit": basis.unit(row.unit, row.key),
            "decimals": row.decimals if basis.is_usual else decimals_of(limit),
            "mark": _mark(row, towards_maximum) if has_room else row.mark,
            "room_percent": 100 * (1 - towards_maximum / row.maximum) if has_room else None,
            "both_answers": both,
            "has_parts": row.key not in RATIOS,
        }
    )


def _mark(row: AdequacyRow, towards_maximum: float) -> ScaleMark:
    """Up to the minimum the dot goes by the whole amount, beyond it by what counts towards the maximum."""
    amount = max(towards_maximum, min(row.amount, row.minimum or 0))
    return scale_mark(amount, row.minimum, row.maximum, not row.mark.unconfirmed)


def grouped(
    rows: Iterable[LimitRow], groups: Iterable[str], only_open: bool = False
) -> list[tuple[str, list[LimitRow]]]:
    """The rows under the names of their groups, in order. groups: of each row."""
    named = [(group, row) for group, row in zip(groups, rows, strict=True) if row.open or not only_open]
    return [(group, [row for _, row in lines]) for group, lines in groupby(named, key=lambda pair: pair[0])]
