"""Open limits of a recipe: which of them a person may accept, and on what condition. Pure.

Design rule of the practice: a critical limit (nutrients.adequacy.CRITICAL) is accepted only with the sign-off
of a veterinarian, and never in a profile for growth; any other with a practitioner's reason.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import pandas as pd

from nutrients.adequacy import CRITICAL, NOISE, OPEN_ANSWERS, answer_word
from nutrients.composition import RATIOS

MINIMUM, MAXIMUM = "minimum", "maximum"


class Condition(StrEnum):
    """What it takes to accept an open limit."""

    REASON = "reason"
    SIGN_OFF = "sign_off"
    NEVER = "never"


@dataclass(frozen=True)
class OpenLimit:
    """One side of a limit that is not met or cannot be confirmed.

    amount: what is known per 1000 kcal in `unit`, for a ratio the ratio, None when nothing is; limit: what it
    is held against; word: the answer in words; missing: the foods without a value.
    """

    nutrient: str
    name: str
    side: str
    answer: str
    word: str
    amount: float | None
    limit: float
    unit: str
    decimals: int
    missing: tuple[str, ...]
    condition: Condition

    @property
    def key(self) -> str:
        """Stands for the limit as it is judged now: another one when the answer changes."""
        return f"{self.nutrient}:{self.side}:{self.answer}"

    @property
    def bare_unit(self) -> str:
        return "" if self.unit == "ratio" else self.unit

    @property
    def per(self) -> str:
        return self.bare_unit if self.nutrient in RATIOS else f"{self.unit} per 1000 kcal"


@dataclass(frozen=True)
class Accepted:
    """What was accepted of one side of a limit, as it stood then."""

    nutrient: str
    side: str
    answer: str
    amount: float | None
    signed_off: bool


def condition(nutrient: str, *, growth: bool) -> Condition:
    """growth: whether the profile is for a dog that grows, is pregnant or nurses."""
    if nutrient not in CRITICAL:
        return Condition.REASON
    return Condition.NEVER if growth else Condition.SIGN_OFF


def open_limits(judgement: pd.DataFrame, *, growth: bool) -> list[OpenLimit]:
    """Every side of a limit of `nutrients.adequacy.judge` that is open, in its order."""
    found = []
    for key, line in judgement.iterrows():
        for side in (MINIMUM, MAXIMUM):
            answer = line[f"{side}_answer"]
            if answer not in OPEN_ANSWERS:
                continue
            found.append(
                OpenLimit(
                    nutrient=key,
                    name=line["name"],
                    side=side,
                    answer=answer,
                    word=answer_word(answer, MINIMUM if side == MINIMUM else line["maximum_kind"]),
                    amount=None if math.isnan(line["amount"]) else float(line["amount"]),
                    limit=float(line[side]),
                    unit=line["unit"],
                    decimals=int(line["decimals"]),
                    missing=tuple(line["missing"]),
                    condition=condition(key, growth=growth),
                )
            )
    return found


def still_holds(accepted: Accepted, limit: OpenLimit) -> bool:
    """Does an acceptance cover the limit as it is judged now?

    It lapses when the answer is another one, when the amount is further off than it was, and when what it
    takes was never given.
    """
    if (accepted.nutrient, accepted.side, accepted.answer) != (limit.nutrient, limit.side, limit.answer):
        return False
    given = {Condition.REASON: True, Condition.SIGN_OFF: accepted.signed_off, Condition.NEVER: False}
    return given[limit.condition] and not _further_off(accepted.amount, limit)


def _further_off(before: float | None, limit: OpenLimit) -> bool:
    if limit.answer == "cannot_confirm" or before is None or limit.amount is None:
        return False
    if limit.side == MINIMUM:
        return limit.amount < before * (1 - NOISE)
    return limit.amount > before * (1 + NOISE)


def sentence(limits: list[OpenLimit]) -> str:
    """What keeps a version from being approved while these are not accepted; "" for none."""
    if not limits:
        return ""
    names = ", ".join(dict.fromkeys(limit.name for limit in limits))
    said = "limit is open and not accepted" if len(limits) == 1 else "limits are open and not accepted"
    return f"{len(limits)} {said}: {names}."
