"""What a dog's veterinarian agreed to, and a batch held against the numbers the veterinarian set. Pure.

A number is per 1000 kcal of metabolizable energy. What is not known is never
taken for zero: a number is kept or broken only when what is known decides it (`nutrients.adequacy.judge`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from nutrients.adequacy import ProfileLimits, judge
from nutrients.language import day, later, number, plain, say, unit_name
from recipes.analysis import Analysis

AT_MOST, AT_LEAST = "at_most", "at_least"
BOUNDS = {
    AT_MOST: later("at most {amount} per 1000 kcal"),
    AT_LEAST: later("at least {amount} per 1000 kcal"),
}
KEPT, CANNOT_CONFIRM = "meets", "cannot_confirm"
VERDICTS = {
    KEPT: later("{nutrient} is within what {who} set: {amount} of {limit}."),
    "above": later("{nutrient} is above what {who} set: {amount} of {limit}."),
    "below": later("{nutrient} is below what {who} set: {amount} of {limit}."),
}
UNCONFIRMED = later("{nutrient} cannot be confirmed against what {who} set, {limit}: no value in {foods}.")

# The agreement to feed less than `patients.plan_checks.LOWEST_OF_RER`; every other one is about a caution.
LITTLE_ENERGY = later("energy below 0.8 x RER of the ideal weight")


@dataclass(frozen=True)
class AgreedNumber:
    """At most or at least so much of a nutrient, in `unit` per 1000 kcal. factor: turns its unit into it."""

    key: str
    name: str
    unit: str
    factor: float
    decimals: int
    bound: str
    per_1000_kcal: float

    def __str__(self) -> str:
        """Such as `Fat at most 25 g per 1000 kcal`."""
        return f"{say(self.name)} {self.limit}"

    @property
    def limit(self) -> str:
        """Such as `at most 25 g per 1000 kcal`."""
        amount = f"{plain(float(f'{self.per_1000_kcal:.4g}'))} {unit_name(self.unit)}"
        return say(BOUNDS[self.bound]).format(amount=amount)


@dataclass(frozen=True)
class Agreement:
    """One that stands. lowest_kcal [kcal a day]: the least energy that was agreed, None where it is open.
    is_old: more than a year ago.
    """

    subject: str
    veterinarian: str
    clinic: str
    on: date
    agreed: str
    numbers: tuple[AgreedNumber, ...] = ()
    lowest_kcal: float | None = None
    is_old: bool = False

    @property
    def who_and_when(self) -> str:
        said = say("{who}, {clinic}, on {day}")
        return said.format(who=self.veterinarian, clinic=self.clinic, day=day(self.on))

    @property
    def terms(self) -> tuple[str, ...]:
        """The numbers in words."""
        energy = [] if self.lowest_kcal is None else [self._least_energy()]
        return (*energy, *map(str, self.numbers))

    def _least_energy(self) -> str:
        return say("At least {kcal} kcal a day").format(kcal=number(self.lowest_kcal))


@dataclass(frozen=True)
class NumberAnswer:
    """A number held against a batch.

    amount: what is known of it per 1000 kcal, None when nothing is; answer: meets, above, below or
    cannot_confirm; missing: the foods without a value.
    """

    agreement: Agreement
    number: AgreedNumber
    amount: float | None
    answer: str
    missing: tuple[str, ...] = ()

    @property
    def kept(self) -> bool:
        return self.answer == KEPT

    @property
    def word(self) -> str:
        return {KEPT: "kept", CANNOT_CONFIRM: "cannot confirm: data missing"}.get(self.answer, self.answer)

    @property
    def sentence(self) -> str:
        """Such as `Fat is above what Dr M. Sorrel set: 34.0 g of at most 25 g per 1000 kcal.`"""
        agreed = self.number
        known = {"nutrient": say(agreed.name), "who": self.agreement.veterinarian, "limit": agreed.limit}
        if self.answer == CANNOT_CONFIRM:
            missing = ", ".join(map(say, self.missing)) or say("the data")
            return say(UNCONFIRMED).format(foods=missing, **known)
        amount = f"{number(self.amount, agreed.decimals)} {unit_name(agreed.unit)}"
        return say(VERDICTS[self.answer]).format(amount=amount, **known)


def held_against(agreements: Sequence[Agreement], analysis: Analysis) -> tuple[NumberAnswer, ...]:
    """Every number of the agreements, held against a batch as it is rounded."""
    pairs = [(agreement, number) for agreement in agreements for number in agreement.numbers]
    if not pairs:
        return ()
    made_of = analysis.composition
    limits = _limits([number for _, number in pairs])
    rows = judge(made_of.totals, made_of.completeness, analysis.energy.kcal, limits).to_dict("records")
    return tuple(_answer(*pair, row) for pair, row in zip(pairs, rows, strict=True))


def _answer(agreement: Agreement, number: AgreedNumber, row: dict) -> NumberAnswer:
    amount = None if math.isnan(row["amount"]) else row["amount"]
    answer = row["minimum_answer"] or row["maximum_answer"]
    return NumberAnswer(agreement, number, amount, answer, tuple(row["missing"]))


def _limits(numbers: Sequence[AgreedNumber]) -> ProfileLimits:
    """The numbers as a profile of their own, one row each."""
    rows = [
        {
            "key": number.key, "name": number.name, "group": "", "unit": number.unit, "factor": number.factor,
            "decimals": number.decimals,
            "minimum": number.per_1000_kcal if number.bound == AT_LEAST else math.nan,
            "maximum": number.per_1000_kcal if number.bound == AT_MOST else math.nan,
            "maximum_kind": "", "source": "", "certainty": "", "maximum_certainty": "", "note": "",
            "raised": False, "changed": False,
        }
        for number in numbers
    ]  # fmt: skip
    return ProfileLimits("agreed", "agreed", "", "", False, pd.DataFrame(rows).set_index("key"))


def newly_broken(agreements: Sequence[Agreement], planned: Analysis, other: Analysis) -> list[str]:
    """A sentence per number that the planned batch keeps and the other does not."""
    kept = [answer.kept for answer in held_against(agreements, planned)]
    answers = held_against(agreements, other)
    return [
        answer.sentence for answer, before in zip(answers, kept, strict=True) if before and not answer.kept
    ]


def agreed_sentences(agreements: Sequence[Agreement]) -> list[str]:
    """For the take-home sheet, such as `Agreed with Dr M. Sorrel, Sallow Bridge, on 3 March 2026: heart.`"""
    return [
        say("Agreed with {whom}: {what}.").format(
            whom=agreement.who_and_when, what="; ".join((say(agreement.subject), *agreement.terms))
        )
        for agreement in agreements
    ]
