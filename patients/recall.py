"""What a correction changes in the answers of recipes, plans and sheets. Pure calculation.

The reference data as it stood is put together again and judged beside what stands now.
"""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

import pandas as pd

from nutrients.adequacy import ProfileLimits, answer_word
from nutrients.adequacy_table import AnswerWord, adequacy_rows
from nutrients.composition import PARTS, with_derived_foods

WORKED_OUT = AnswerWord("meets", "Worked out")
NOT_WORKED_OUT = AnswerWord("cannot_confirm", "Cannot be worked out")
NO_ANSWER = AnswerWord("", "")
FINE = ("meets", "")  # an answer that asks for nothing, and none at all
ANSWER_COLUMNS = ("name", "minimum_answer", "maximum_answer", "maximum_kind")
# Whoever changes one of these changes the energy, and with it every amount per 1000 kcal.
ENERGY_PARTS = ("water", "protein", "fat", "ash", "fiber", "nfe")


@dataclass(frozen=True)
class Change:
    """A nutrient whose answers are other ones since: of a judgement one side, of a sheet all that it says."""

    name: str
    before: tuple[AnswerWord, ...]
    since: tuple[AnswerWord, ...]

    @property
    def is_open(self) -> bool:
        return any(word.answer not in FINE for word in self.since)


def nutrients_reached(changed: Collection[str]) -> frozenset[str] | None:
    """The nutrients whose amounts per 1000 kcal follow from the changed ones; None stands for all."""
    if set(changed) & set(ENERGY_PARTS):
        return None
    return frozenset(changed) | {key for key, parts in PARTS.items() if set(parts) & set(changed)}


def limits_reached(changed: Collection[str]) -> frozenset[str]:
    """The nutrients whose limits follow from the changed ones: arginine rises with the protein's minimum."""
    return frozenset(changed) | ({"arginine"} if "protein" in changed else set())


def columns_for(nutrients: Collection[str]) -> list[str]:
    """The columns of the food table that it takes to judge these nutrients."""
    parts = [part for key in sorted(nutrients) for part in PARTS.get(key, (key,))]
    return list(dict.fromkeys([*parts, *ENERGY_PARTS]))


def narrowed(profile: ProfileLimits, nutrients: Collection[str]) -> ProfileLimits:
    """The profile with the limits of these nutrients, and protein's, from which arginine's minimum rises."""
    kept = {*nutrients, *(["protein"] if "arginine" in nutrients else [])}
    return replace(profile, limits=profile.limits[profile.limits.index.isin(kept)])


def with_values(table: pd.DataFrame, values: Mapping[tuple[str, str], float | None]) -> pd.DataFrame:
    """The food table with other amounts per 100 g, by (food, nutrient); None is unknown."""
    other = table.drop(columns="nfe").copy()
    for (food, key), amount in values.items():
        if food in other.index and key in other.columns:
            other.at[food, key] = math.nan if amount is None else amount
    return with_derived_foods(other)


def with_factors(
    retention: pd.DataFrame, factors: Mapping[tuple[str, str, str], float | None]
) -> pd.DataFrame:
    """The retention table with other percentages, by (food group, method, nutrient); None is none."""
    other = retention.copy()
    for (group, method, key), percent in factors.items():
        other.loc[(group, method), key] = math.nan if percent is None else percent / 100
    return other


def changes(before: pd.DataFrame | None, since: pd.DataFrame | None) -> tuple[Change, ...]:
    """The answers for minimum and maximum that differ between two judgements, the open ones first.

    None stands for what could not be worked out.
    """
    if before is None or since is None:
        if before is since:
            return ()
        words = [NOT_WORKED_OUT if judgement is None else WORKED_OUT for judgement in (before, since)]
        return (Change("All of it", (words[0],), (words[1],)),)
    was, now = _answers(before), _answers(since)
    found = [
        Change(name, _said(was.get((name, side), NO_ANSWER)), _said(now.get((name, side), NO_ANSWER)))
        for name, side in dict.fromkeys([*now, *was])
        if _differ(was.get((name, side), NO_ANSWER), now.get((name, side), NO_ANSWER))
    ]
    return _open_first(found)


def _answers(judgement: pd.DataFrame) -> dict[tuple[str, str], AnswerWord]:
    """By the nutrient's name and the side, for every limit."""
    found = {}
    lines = zip(*(judgement[column] for column in ANSWER_COLUMNS), strict=True)
    for name, minimum_answer, maximum_answer, kind in lines:
        for side, answer, named in (
            ("minimum", minimum_answer, "minimum"),
            ("maximum", maximum_answer, kind),
        ):
            if answer:
                found[name, side] = _worded(answer, side, named)
    return found


def _worded(answer: str, side: str, kind: str) -> AnswerWord:
    word = answer_word(answer, kind)
    return AnswerWord(answer, f"{word} ({side})" if answer == "cannot_confirm" else word)


def _differ(was: AnswerWord, now: AnswerWord) -> bool:
    return was.answer != now.answer and not (was.answer in FINE and now.answer in FINE)


def _said(word: AnswerWord) -> tuple[AnswerWord, ...]:
    return (word,) if word.answer else ()


def changes_since_issued(groups: Iterable, since: pd.DataFrame | None) -> tuple[Change, ...]:
    """What a sheet's record says that does not hold any more, the open ones first.

    groups: the record's adequacy groups, pairs of a heading and rows with `key`, `name` and `answers`.
    """
    if since is None:
        return (Change("All of it", (WORKED_OUT,), (NOT_WORKED_OUT,)),)
    issued = {row["key"]: row for _, rows in groups for row in rows}
    found = []
    for row in adequacy_rows(since):
        record = issued.get(row.key, {"answers": ()})
        before = tuple(AnswerWord(**answer) for answer in record["answers"])
        if {word.answer for word in before} - {"meets"} != {word.answer for word in row.answers} - {"meets"}:
            found.append(Change(row.name, before, row.answers))
    return _open_first(found)


def _open_first(found: list[Change]) -> tuple[Change, ...]:
    return tuple(sorted(found, key=lambda change: not change.is_open))
