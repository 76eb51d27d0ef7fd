"""The record of a take-home sheet: everything it says, frozen as plain values. Pure.

The record is what pages and PDF print. It holds numbers and sentences, never a reference to a recipe, a food
or a dog, so that a later change to one of them leaves it alone. Weights in g and kg, energy in kcal.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from nutrients.language import say, spoken
from nutrients.owner_units import units_used
from patients.agreements import agreed_sentences
from patients.alternatives import Alternative, told
from patients.food_safety import CALL_THE_VETERINARIAN
from patients.leave_in import LeaveIn
from patients.sheet.answers import SignOff, adequacy_part, cautions_part, sign_off_part
from patients.sheet.changes import reissue_part
from patients.sheet.cooking import Recipe, recipe_part
from patients.sheet.doses import leave_in_part, schedule_part
from patients.sheet.feeding import (
    changeover_part,
    dog_part,
    energy_part,
    extras_part,
    feeding_part,
    keeping_part,
    when_short_part,
)
from patients.sheet.kitchen import pot_part, timeline_part
from patients.sheet.premix import premix_part
from patients.sheet.shopping import shopping_part
from patients.sheet.untold import in_english_sentence
from patients.sheet.words import accepted_sentence
from patients.shopping import Shopping
from patients.treats import Treat
from patients.workings import Workings

FORMAT = 6  # raised when the shape of the record changes


@dataclass(frozen=True)
class Issue:
    """The act of issuing. accepted: sentences on open limits that the practitioner read and accepted.

    earlier: the record of the sheet that this one takes the place of, and the reason for it.
    """

    number: int
    by: str
    on: date
    expires_on: date
    next_recheck: date | None
    accepted: tuple[str, ...] = ()
    sign_off: SignOff | None = None
    earlier: Mapping | None = None
    reason: str = ""


def assemble(
    workings: Workings,
    *,
    issue: Issue,
    recipe: Recipe,
    leave_in: LeaveIn,
    practice: Mapping[str, str],
    sentence: str,
    owner: str,
    weighed_on: date,
    food_data: Sequence[str],
    shopping: Shopping,
    currency: str = "",
    treats: Sequence[Treat] = (),
    weights: Sequence[tuple[date, float]] = (),
    alternatives: Sequence[Alternative] = (),
) -> dict:
    """The record in the language spoken and the units used, ready for JSON. sentence: the dog in a sentence.
    practice: name, address, phone, email, paper. food_data: the releases the food values come from. Raises
    ValueError for a plan without a batch.
    """
    batch = workings.batch
    if batch is None:
        raise ValueError("A plan that cannot be worked out has no sheet.")
    record = {
        "format": FORMAT,
        "language": spoken(),
        "units": units_used(),
        "practice": dict(practice),
        "number": issue.number,
        "issued_by": issue.by,
        "issued_on": issue.on.isoformat(),
        "expires_on": issue.expires_on.isoformat(),
        "next_recheck": issue.next_recheck.isoformat() if issue.next_recheck else None,
        "dog": dog_part(workings, sentence, owner, weighed_on),
        "feeding": feeding_part(workings, batch),
        "energy": energy_part(workings, batch),
        "curve": [[day.isoformat(), kg] for day, kg in weights],
        "recipe": recipe_part(recipe, workings, batch),
        "pot": pot_part(workings, batch, recipe.keeps_liquid),
        "timeline": timeline_part(workings, batch),
        "supplements": schedule_part(workings, leave_in, alternatives),
        "premix": premix_part(workings),
        "shopping": shopping_part(shopping, currency),
        "substitutions": told(alternatives, batch),
        "leave_in": leave_in_part(leave_in),
        "needs_fine_scale": any(dose.dose_unit == "g" for dose in batch.doses),
        "changeover": changeover_part(batch),
        "extras": extras_part(workings, treats),
        "when_short": when_short_part(workings, batch),
        "keeping": keeping_part(batch),
        "call": [say(sign) for sign in CALL_THE_VETERINARIAN],
        "cautions": cautions_part(workings),
        "for_owner": [say(caution.for_owner) for caution in workings.cautions if caution.for_owner],
        "adequacy": adequacy_part(workings, batch),
        "accepted": list(issue.accepted),
        "accepted_words": accepted_sentence(issue.by, issue.on) if issue.accepted else "",
        "sign_off": sign_off_part(issue.sign_off),
        "agreed": agreed_sentences(workings.dog.agreements),
        "food_data": list(food_data),
        "in_english": in_english_sentence(recipe, batch),
    }
    if issue.earlier:
        record["reissue"] = reissue_part(issue.earlier, record, issue.reason)
    return record
