"""What is looked at before a sheet is issued, one check after the other. Pure.

A check stops the sheet, asks a person to accept something or a veterinarian to agree, tells what nobody has
said yet, or is good. Those of adequacy and cautions are in `patients.issuing`, which puts them all together.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from nutrients.language import plain, say
from patients.batch import NO_SCALE
from patients.dog import Dog
from patients.plan_checks import avoided_sentence
from patients.portions import as_weighed
from patients.premix import smallest_weighable
from patients.workings import Workings

STOP, ASK, UNKNOWN, GOOD = "stop", "ask", "unknown", "good"
# Where what a check finds is mended.
DOG, PLAN, RECIPE, VISIT, CAUTIONS, NUTRIENTS, SUBSTITUTIONS = (
    "dog", "plan", "recipe", "visit", "cautions", "nutrients", "substitutions"
)  # fmt: skip
SUM_OFF = 0.01  # of the batch: how far the meals on the sheet may add up to something else
POWDER_UNIT = "g"


@dataclass(frozen=True)
class Check:
    """refusals: why nothing can be issued. to_acknowledge: what a practitioner must have read and accepted.
    sign_off_for: what needs the veterinarian's agreement. told: what is not known, and stops nothing.
    good: what to say when there is none of them.
    """

    subject: str
    good: str
    mend: str
    refusals: tuple[str, ...] = ()
    to_acknowledge: tuple[str, ...] = ()
    sign_off_for: tuple[str, ...] = ()
    told: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        if self.refusals:
            return STOP
        if self.to_acknowledge or self.sign_off_for:
            return ASK
        return UNKNOWN if self.told else GOOD

    @property
    def sentences(self) -> tuple[str, ...]:
        return (*self.refusals, *self.sign_off_for, *self.to_acknowledge, *self.told) or (self.good,)


def dog_check(dog: Dog, not_in_care: str) -> Check:
    refusals = [not_in_care] if not_in_care else []
    if dog.weight_kg is None:
        refusals.append(f"{dog.name} was never weighed here: record a visit first.")
    return Check("The dog", f"{dog.name} is in our care and was weighed.", DOG, tuple(refusals))


def plan_check(workings: Workings, avoided: Iterable[str], ended: bool) -> Check:
    """Every problem of the plan but the foods to avoid."""
    refusals = [sentence for _, sentence in workings.problems if sentence not in avoided]
    if ended:
        refusals.append("This plan has ended: make a new one.")
    return Check("The plan", "Its numbers can be worked out and cooked.", PLAN, tuple(refusals))


def avoided_check(workings: Workings, avoided: Iterable[str]) -> Check:
    refusals = tuple(sentence for _, sentence in workings.problems if sentence in avoided)
    return Check("Foods to avoid", "None of them is in the recipe.", SUBSTITUTIONS, refusals)


def avoided_sentences(workings: Workings) -> frozenset[str]:
    if workings.batch is None:
        return frozenset()
    foods = {portion.food: portion.group for portion in workings.batch.scaled.portions()}
    return frozenset(avoided_sentence(workings.dog, *found) for found in workings.dog.avoided(foods))


def recipe_check(approved: bool) -> Check:
    refusal = "The recipe's version is not approved: approve it first, or choose another."
    return Check("The recipe", "Its version is approved.", RECIPE, () if approved else (refusal,))


def doses_check(workings: Workings) -> Check:
    """Can the owner measure every powder? Tablets, drops and millilitres need no scale."""
    subject, good = "Doses", "Each can be measured with what the owner has."
    powders = _powders(workings)
    if not powders:
        return Check(subject, good, PLAN)
    scale = workings.plan.scale
    if not scale:
        least = min(grams for _, grams in powders)
        told = f"The owner's scale is not told. The smallest amount of powder to be weighed is {least:g} g."
        return Check(subject, good, PLAN, told=(told,))
    by_hand = [_weighed_here(food, grams) for food, grams in powders if not _measured(workings, food, grams)]
    return Check(subject, good, PLAN, to_acknowledge=tuple(by_hand))


def pot_check(workings: Workings) -> Check:
    subject = "The pot"
    filled = workings.filling
    if filled is None:
        return Check(subject, "", PLAN, told=("The size of the pot is not told: nobody knows if it fits.",))
    if filled.divided:
        return Check(subject, f"The batch fits {filled.pots} pots of {filled.vessel_litres:g} litres.", PLAN)
    return Check(subject, f"The batch fits a pot of {filled.vessel_litres:g} litres.", PLAN)


def portions_check(workings: Workings) -> Check:
    """Do the meals, as the sheet prints them, add up to the batch?"""
    batch, plan = workings.batch, workings.plan
    meals = [grams for _, grams in batch.meals(plan.meal_split)] or [batch.meal_g] * plan.meals_per_day
    off = sum(map(as_weighed, meals)) * batch.scaled.days / batch.analysis.cooked_g - 1
    refusals = ()
    if abs(off) > SUM_OFF:
        refusals = (
            f"The meals as printed add up to {off * 100:+.1f} % of the batch: give fewer meals a day.",
        )
    return Check("Portions", "The meals add up to the batch within 1 %.", PLAN, refusals)


def dates_check(dog: Dog, today: date, expires: date, next_recheck: date | None) -> Check:
    """A weight older than a sheet may become is no ground for one; the re-check comes before its end."""
    asked, told = [], []
    valid_days = (expires - today).days
    if dog.weighed_on and (today - dog.weighed_on).days > valid_days:
        stale = say(
            "The weight is {days} days old, a sheet for this dog is good for {valid_days}: weigh it again."
        )
        asked.append(stale.format(days=(today - dog.weighed_on).days, valid_days=valid_days))
    if next_recheck and next_recheck > expires:
        told.append(f"The next re-check, {_day(next_recheck)}, comes after the sheet ends: set it earlier.")
    old = [each.subject for each in dog.agreements if each.is_old]
    if old:
        told.append(f"Agreed more than a year ago: {', '.join(old)}. Ask the veterinarian again.")
    good = f"The sheet would be good until {_day(expires)}."
    return Check("Dates", good, VISIT, to_acknowledge=tuple(asked), told=tuple(told))


def _powders(workings: Workings) -> list[tuple[str, float]]:
    """What is weighed of each at a time [g]: for the batch, or for one meal."""
    return [
        (dose.food, dose.batch_amount if dose.meal_amount is None else dose.meal_amount)
        for dose in workings.batch.doses
        if dose.dose_unit == POWDER_UNIT
    ]


def _measured(workings: Workings, food: str, grams: float) -> bool:
    """By the owner's scale as it is, or as a part of the month's premix."""
    scale = workings.plan.scale
    if scale == NO_SCALE:
        return False
    mixed = workings.premix
    in_premix = mixed is not None and food in {weighing.food for weighing in mixed.weighings}
    return in_premix or grams >= smallest_weighable(float(scale))


def _weighed_here(food: str, grams: float) -> str:
    told = say("{food}, {grams} g: it cannot be weighed at home, so it is handed out weighed.")
    return told.format(food=say(food), grams=plain(grams))


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
