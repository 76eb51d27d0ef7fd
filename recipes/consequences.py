"""What gets worse in one judgement against another: which limits, from what, to what. Pure calculation."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from nutrients.adequacy import ProfileLimits, answer_word
from nutrients.composition import SUMS, Composition
from nutrients.language import inside, later_many, listed, say, say_many

GRAVITY = {"": 0, "meets": 0, "cannot_confirm": 1, "below": 2, "above": 2}
ORDER = ("below", "above", "cannot_confirm")
# Common practice, no source: an open limit is told again once it moves by this much of the limit [percent].
TOLD_FROM_PERCENT = 1
WORTH_A_WORD = 0.05  # common practice, no source: share of an amount
SIDES = ("minimum", "maximum")
FALL = {
    "below": later_many("{names} falls below the minimum", "{names} fall below the minimum"),
    "above": later_many("{names} goes above the maximum", "{names} go above the maximum"),
    "cannot_confirm": later_many(
        "{names} cannot be confirmed any more", "{names} cannot be confirmed any more"
    ),
}
FURTHER = {
    "below": later_many("{names} falls further below the minimum", "{names} fall further below the minimum"),
    "above": later_many("{names} goes further above the maximum", "{names} go further above the maximum"),
    "cannot_confirm": later_many(
        "{names} gets less, as far as it is known", "{names} get less, as far as they are known"
    ),
}


@dataclass(frozen=True)
class Worse:
    """A limit, before and after, that is worse or holds less than before.

    side: minimum or maximum, of the kind named. before, after: answers of `nutrients.adequacy`. Amounts are
    per 1000 kcal in `unit` (a ratio as such), percents of the minimum or the maximum; None: not known. Of
    vitamin A the maximum is judged on retinol alone, and so are the amounts told beside it.
    """

    key: str
    name: str
    unit: str
    decimals: int
    side: str
    kind: str
    before: str
    after: str
    amount_before: float | None
    amount_after: float | None
    limit: float
    percent_before: float | None
    percent_after: float | None

    @property
    def is_new(self) -> bool:
        """The answer changed; else a limit that was open already moved further off."""
        return self.before != self.after

    @property
    def word(self) -> str:
        return answer_word(self.after, "minimum" if self.side == "minimum" else self.kind)


@dataclass(frozen=True)
class Judged:
    """A batch and its judgement: what two are compared by."""

    composition: Composition
    kcal: float
    judgement: pd.DataFrame
    profile: ProfileLimits

    @cached_property
    def lines(self) -> dict[str, dict]:
        """The judgement's lines by nutrient: quicker to read one by one."""
        return self.judgement.to_dict("index")

    def amount(self, key: str, side: str) -> float:
        """The amount that was judged: for the maximum of vitamin A its retinol alone. NaN: not known."""
        if (key, side) != ("vitamin_a", "maximum"):
            return self.lines[key]["amount"]
        factor = self.profile.limits.at[key, "factor"] * SUMS["vitamin_a"]["retinol"]
        return float(self.composition.totals["retinol"]) * factor * 1000 / self.kcal


def worse(before: Judged, after: Judged) -> tuple[Worse, ...]:
    """The limits that `after` is worse in: those whose answer changed first, the gravest first of each."""
    found = [each for key in after.lines for side in SIDES if (each := _worse(key, side, before, after))]
    return tuple(sorted(found, key=_weight))


def _weight(each: Worse) -> tuple:
    off = each.percent_after if each.percent_after is not None else 0
    return (not each.is_new, ORDER.index(each.after), off if each.side == "minimum" else -off)


def _worse(key: str, side: str, before: Judged, after: Judged) -> Worse | None:
    answers = [each.lines[key][f"{side}_answer"] for each in (before, after)]
    if GRAVITY[answers[1]] < max(1, GRAVITY[answers[0]]):
        return None
    found = _compared(key, side, before, after)
    moved_off = _further(side, found.after, found.percent_before or 0, found.percent_after or 0)
    return found if moved_off or (found.is_new and not _only_known_now(found)) else None


def _compared(key: str, side: str, before: Judged, after: Judged) -> Worse:
    was, now = before.lines[key], after.lines[key]
    amounts = before.amount(key, side), after.amount(key, side)
    percents = [100 * amount / line[side] for amount, line in zip(amounts, (was, now), strict=True)]
    return Worse(
        key=key, name=now["name"], unit=now["unit"], decimals=int(now["decimals"]), side=side,
        kind=now["maximum_kind"], before=was[f"{side}_answer"], after=now[f"{side}_answer"],
        amount_before=_known(amounts[0]), amount_after=_known(amounts[1]), limit=float(now[side]),
        percent_before=_known(percents[0]), percent_after=_known(percents[1]),
    )  # fmt: skip


def falls_most(before: Judged, after: Judged) -> Worse | None:
    """The minimum whose amount falls by the largest share; None when none falls by a twentieth."""
    was, now = (each.judgement.loc[before.judgement["minimum"].notna(), "amount"] for each in (before, after))
    lost = (1 - now / was).dropna()
    if lost.empty or lost.max() < WORTH_A_WORD:
        return None
    return _compared(lost.idxmax(), "minimum", before, after)


def _only_known_now(found: Worse) -> bool:
    """What could not be confirmed is below now, without holding less: only a food without a value is gone."""
    return (found.before, found.after) == ("cannot_confirm", "below")


def _further(side: str, answer: str, before: float, after: float) -> bool:
    """Does a limit that was open move further off? before, after: percent of it, as far as it is known."""
    if side == "maximum":
        return answer == "above" and after - before >= TOLD_FROM_PERCENT
    return after < 100 and before - after >= TOLD_FROM_PERCENT


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def in_words(found: Sequence[Worse], most: int) -> str:
    """Such as "zinc and vitamin E fall below the minimum; iodine cannot be confirmed any more".

    At most so many nutrients are named for each; the others are counted. "" when nothing gets worse.
    """
    parts = []
    for is_new, words in ((True, FALL), (False, FURTHER)):
        for answer in ORDER:
            names = list(
                dict.fromkeys(
                    inside(say(each.name)) for each in found if (each.is_new, each.after) == (is_new, answer)
                )
            )
            if names:
                said = say_many(*words[answer], len(names))
                parts.append(said.format(names=in_short(names, most)))
    return "; ".join(parts)


def in_short(names: Sequence[str], most: int) -> str:
    """ "a", "a and b", "a, b and c"; beyond `most` "a, b and 4 more"."""
    if len(names) <= most:
        return listed(names)
    others = len(names) - most + 1
    return listed([*names[: most - 1], say_many("{count} more", "{count} more", others).format(count=others)])
