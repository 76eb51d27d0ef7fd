"""May a sheet be issued from a plan, and on what conditions? Pure: reasons in plain sentences."""

from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

from nutrients.adequacy import CRITICAL, worst_answers
from nutrients.composition import RATIOS
from nutrients.language import ENGLISH, later, number, say, spoken, unit_name
from patients.agreements import AT_LEAST, CANNOT_CONFIRM, held_against
from patients.cautions import BLOCK, SIGN_OFF, AppliedCaution
from patients.dog import Dog
from patients.issue_checks import (
    CAUTIONS,
    NUTRIENTS,
    STOP,
    Check,
    avoided_check,
    avoided_sentences,
    dates_check,
    dog_check,
    doses_check,
    plan_check,
    portions_check,
    pot_check,
    recipe_check,
)
from patients.workings import Workings


@dataclass(frozen=True)
class GoodDays:
    """For how many days a sheet is good, as the practice says; these are common practice, no source."""

    puppy: int = 14
    loss: int = 28
    adult: int = 182


USUAL = GoodDays()
ANSWERS = {
    "below": later("{nutrient} is below the minimum: {amount} of {limit}."),
    "above": later("{nutrient} is above the maximum ({kind}): {amount} of {limit}."),
    "cannot_confirm": later("{nutrient} cannot be confirmed: no value in {foods}."),
}


@dataclass(frozen=True)
class Gate:
    """Everything that was looked at, and what it asks for together."""

    checks: tuple[Check, ...]

    @property
    def refusals(self) -> tuple[str, ...]:
        """Why nothing can be issued."""
        return tuple(sentence for check in self.checks for sentence in check.refusals)

    @property
    def to_acknowledge(self) -> tuple[str, ...]:
        """What a practitioner must have read and accepted."""
        return tuple(sentence for check in self.checks for sentence in check.to_acknowledge)

    @property
    def sign_off_for(self) -> tuple[str, ...]:
        """What needs the veterinarian's agreement."""
        return tuple(sentence for check in self.checks for sentence in check.sign_off_for)

    @property
    def needs_tick(self) -> bool:
        return bool(self.to_acknowledge or self.sign_off_for)

    @property
    def stops(self) -> int:
        """How many checks stop the sheet."""
        return sum(check.state == STOP for check in self.checks)


def gate(
    workings: Workings,
    *,
    today: date,
    approved: bool,
    ended: bool,
    not_in_care: str = "",
    next_recheck: date | None = None,
    good: GoodDays = USUAL,
) -> Gate:
    """approved: the recipe's version is, and the recipe is in use. ended: another plan has taken over.
    not_in_care: why the dog is not fed by us now, or empty. next_recheck: as it is booked.
    """
    avoided = avoided_sentences(workings)
    expires = expires_on(today, workings.dog, workings.plan.goal, good)
    checks = [
        dog_check(workings.dog, not_in_care),
        plan_check(workings, avoided, ended),
        recipe_check(approved),
        avoided_check(workings, avoided),
        _cautions(workings),
    ]
    if workings.batch:
        checks += [_adequacy(workings), _agreed_numbers(workings)]
        checks += [_whole_day(workings)] if workings.whole else []
        checks += [doses_check(workings), pot_check(workings), portions_check(workings)]
    checks.append(dates_check(workings.dog, today, expires, next_recheck))
    return Gate(tuple(checks))


def _cautions(workings: Workings) -> Check:
    """A standing sign-off opens the gate for its caution. What is blocked is never passed."""
    return Check(
        "Cautions",
        "None asks for a sign-off that is not on record.",
        CAUTIONS,
        refusals=tuple(
            f"{caution.subject}: {caution.text} (because of: {caution.because}). This must not be fed."
            for caution in workings.cautions
            if caution.action == BLOCK
        ),
        sign_off_for=tuple(
            _to_agree(caution)
            for caution in workings.cautions
            if caution.action == SIGN_OFF and workings.dog.agreement_on(caution.subject) is None
        ),
    )


def _to_agree(caution: AppliedCaution) -> str:
    """With what brought it up; that stands on the dog's record, and in English alone."""
    subject = say(caution.subject)
    return f"{subject}: {caution.because}" if spoken() == ENGLISH else subject


def _whole_day(workings: Workings) -> Check:
    """What the recipe and the food beside it ask for together.

    A critical limit that is known to be missed or passed is never issued; others are accepted. What the other
    food does not tell is told, to be accepted.
    """
    whole = workings.whole
    with_it, food = say("The whole day with {food}: {what}"), say(whole.food)
    answers = [(key, answer) for key, answer in worst_answers(whole.judgement).items() if answer != "meets"]
    off = {key: answer for key, answer in answers if answer in ("below", "above")}
    told = {
        key: with_it.format(food=food, what=_sentence(whole.judgement.loc[key], answer))
        for key, answer in off.items()
    }
    names = whole.judgement["name"]
    unknown = [say(names[key]) for key, answer in answers if answer == "cannot_confirm"]
    missing = say("not confirmed, for want of data: {nutrients}.").format(nutrients=", ".join(unknown))
    gap = [with_it.format(food=food, what=missing)] if unknown else []
    return Check(
        "The whole day",
        f"With {whole.food} every limit is met as far as values are known.",
        NUTRIENTS,
        refusals=tuple(said for key, said in told.items() if key in CRITICAL),
        to_acknowledge=(*(said for key, said in told.items() if key not in CRITICAL), *gap),
    )


def _agreed_numbers(workings: Workings) -> Check:
    """A number that the veterinarian set is never broken; one that cannot be confirmed is asked about."""
    answers = held_against(workings.dog.agreements, workings.batch.analysis)
    open_answers = [answer for answer in answers if not answer.kept]
    return Check(
        "The veterinarian's numbers",
        "All of them are kept." if answers else "None were set for this dog.",
        CAUTIONS,
        refusals=tuple(a.sentence for a in open_answers if a.answer != CANNOT_CONFIRM),
        sign_off_for=tuple(a.sentence for a in open_answers if a.answer == CANNOT_CONFIRM),
    )


def _adequacy(workings: Workings) -> Check:
    """What open limits ask for.

    A critical one that is below or above is never issued; one that cannot be confirmed needs the
    veterinarian's agreement, and is never issued for a dog that grows, is pregnant or nurses. Where the
    veterinarian set a lower minimum for a grown dog, that one stands instead and is told.
    """
    refused, accepted, agreed = [], [], []
    judgement = workings.batch.strictest
    for key, answer in worst_answers(judgement).items():
        off_limits, unconfirmed = answer in ("below", "above"), answer == "cannot_confirm"
        if answer == "below" and (instead := _own_minimum(workings, key)):
            accepted.append(f"{_sentence(judgement.loc[key], answer)} {instead}")
        elif key in CRITICAL and (off_limits or (unconfirmed and workings.dog.needs_growth_profile)):
            refused.append(_sentence(judgement.loc[key], answer))
        elif key in CRITICAL and unconfirmed:
            agreed.append(_sentence(judgement.loc[key], answer))
        elif off_limits:
            accepted.append(_sentence(judgement.loc[key], answer))
    good = f"{workings.profile.name}: nothing is below or above, as far as values are known."
    return Check("Nutrients for this dog", good, NUTRIENTS, tuple(refused), tuple(accepted), tuple(agreed))


def _own_minimum(workings: Workings, key: str) -> str:
    """Who set which minimum of this nutrient for a grown dog, or ""; that it is kept is asked elsewhere."""
    if workings.dog.needs_growth_profile:
        return ""
    set_by = [
        say("Agreed with {whom}: {what}.").format(whom=agreement.who_and_when, what=agreed)
        for agreement in workings.dog.agreements
        for agreed in agreement.numbers
        if agreed.key == key and agreed.bound == AT_LEAST
    ]
    return " ".join(set_by)


def _sentence(line: pd.Series, answer: str) -> str:
    """Such as `Calcium is below the minimum: 0.62 of 1.25 g per 1000 kcal.`"""
    name, kind, unit = line["name"], line["maximum_kind"], line["unit"]
    unit = "" if unit == "ratio" else f" {unit_name(unit)}"
    basis = "" if line.name in RATIOS else f" {say('per 1000 kcal')}"
    if answer == "cannot_confirm":
        foods = ", ".join(map(say, line["missing"])) or say("the data")
        return say(ANSWERS[answer]).format(nutrient=say(name), foods=foods)
    limit = line["minimum"] if answer == "below" else line["maximum"]
    places = int(line["decimals"])
    return say(ANSWERS[answer]).format(
        nutrient=say(name), kind=say(kind), amount=number(line["amount"], places),
        limit=f"{number(limit, places)}{unit}{basis}",
    )  # fmt: skip


def expires_on(issued_on: date, dog: Dog, goal: str, good: GoodDays) -> date:
    """The last day on which a sheet is good. Growing, pregnant and nursing dogs change fastest."""
    days = good.puppy if dog.needs_growth_profile else good.loss if goal == "lose" else good.adult
    return issued_on + timedelta(days=days)
