"""The letter to the referring veterinarian: what was found, what is fed, what waits for an agreement. Pure.

The record holds plain values, ready to be printed. It makes no diagnosis and names no dose of a medicine.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from nutrients.adequacy import counts
from nutrients.adequacy_table import AdequacyRow, adequacy_rows
from patients.agreements import agreed_sentences, held_against
from patients.cautions import BLOCK, SIGN_OFF, AppliedCaution
from patients.dog import Dog
from patients.issuing import Gate
from patients.sentences import describe_change, describe_weights, in_kg, wanted_kg
from patients.sheet.words import GOALS, amount_of, counted, figure, known_amount
from patients.weigh_ins import WeighIn
from patients.workings import Batch, Workings

LAST_WEIGH_INS = 6  # the course that a letter of one or two pages has room for
TOLD_NUTRIENTS = ("protein", "fat", "calcium", "phosphorus", "sodium", "potassium", "copper")
ANSWERS = {"meets": "met", "below": "below", "above": "above", "cannot_confirm": "cannot be confirmed"}
NO_MEDICINE = (
    "This letter reports what a nutritionist found. It makes no diagnosis and suggests no change of any "
    "medicine or its dose."
)


@dataclass(frozen=True)
class Seen:
    """The last visit. weight, muscle and appetite in words.

    faecal_score: 1 hard to 7 watery, None when not told. owner_tells: (what, in words) of what the owner was
    asked.
    """

    on: date
    weight: str
    bcs: int
    muscle: str
    appetite: str
    faecal_score: int | None
    notes: str = ""
    owner_tells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Fed:
    """The present plan, worked out. gate: on what conditions a sheet may be issued from it."""

    workings: Workings
    gate: Gate
    recipe: str
    version: int
    method: str
    is_draft: bool


def assemble(
    dog: Dog,
    *,
    sentence: str,
    owner: str,
    to: tuple[str, str],
    practice: dict[str, str],
    by: str,
    on: date,
    seen: Seen | None,
    weights: Sequence[WeighIn],
    cautions: Sequence[AppliedCaution],
    fed: Fed | None,
    next_recheck: date | None,
    given_supplements: Sequence[str] = (),
    left: str = "",
    died: bool = False,
) -> dict:
    """The record. sentence: the dog in a sentence. to: the veterinarian and the clinic, either may be empty.

    practice: name, address, phone, email, paper. weights: in the order of time. fed: None without a plan.
    given_supplements: what the owner gives beside any plan, with how much and for what.
    left: that the dog is not in care, and since when; nothing is asked or planned then. died: did it die?
    """
    return {
        "practice": dict(practice),
        "to": [line for line in to if line],
        "on": on.isoformat(),
        "by": by,
        "dog": {"name": dog.name, "owner": owner, "sentence": sentence},
        "findings": _findings(dog, seen, weights)
        | {"supplements": list(given_supplements)}
        | ({"concerns": []} if died else {}),
        "left": left,
        "plan": _plan(fed, left) if fed else None,
        "adequacy": _adequacy(fed.workings) if fed and fed.workings.batch else None,
        "cautions": [_caution(caution) for caution in cautions if caution.action != BLOCK and not died],
        "to_agree": [] if left else list(fed.gate.sign_off_for) if fed else _unagreed(dog, cautions),
        "stops": list(fed.gate.refusals) if fed and not left else [],
        "agreed": agreed_sentences(dog.agreements),
        "held_against": [] if left else _held_against(dog, fed),
        "next_recheck": next_recheck.isoformat() if next_recheck else None,
        "closing": NO_MEDICINE,
    }


def _findings(dog: Dog, seen: Seen | None, weights: Sequence[WeighIn]) -> dict:
    return {
        "seen_on": seen.on.isoformat() if seen else None,
        "facts": _facts(seen) if seen else [],
        "owner_tells": [list(each) for each in seen.owner_tells] if seen else [],
        "notes": seen.notes if seen else "",
        "course": [
            {"on": weighed.day.isoformat(), "weight": in_kg(weighed.kg), "change": describe_change(weighed)}
            for weighed in list(weights)[-LAST_WEIGH_INS:]
        ],
        "course_words": describe_weights(list(weights)),
        "concerns": list(dog.concerns),
        "conditions": list(dog.conditions),
        "medicines": list(dog.medicines),
        "results": list(dog.results),
    }


def _facts(seen: Seen) -> list[list[str]]:
    faeces = f"{seen.faecal_score} (1 hard to 7 watery)" if seen.faecal_score else "not told"
    return [
        ["Weight", seen.weight],
        ["Body condition score", f"{seen.bcs} of 9"],
        ["Muscle condition", seen.muscle],
        ["Appetite", seen.appetite],
        ["Faecal score", faeces],
    ]


def _plan(fed: Fed, left: str) -> dict:
    plan, batch = fed.workings.plan, fed.workings.batch
    target = wanted_kg(plan)
    issued = "as it was fed last" if left else "as it is fed now"
    return {
        "state": "a draft, not yet issued" if fed.is_draft else issued,
        "goal": GOALS[plan.goal],
        "target": in_kg(target) if target else "",
        "kcal_per_day": f"{plan.kcal_per_day:,.0f}",
        "method": plan.method,
        "extras": f"extras {plan.extras_kcal:,.0f} kcal of it" if plan.extras_kcal else "no extras counted",
        "share_percent": round(plan.recipe_share * 100),
        "meals_per_day": plan.meals_per_day,
        "days": plan.batch_days,
        "recipe": fed.recipe,
        "version": fed.version,
        "cooking": fed.method,
        "foods": _foods(batch) if batch else [],
        "supplements": _supplements(batch) if batch else [],
    }


def _foods(batch: Batch) -> list[str]:
    return [f"{line.portion.food} {counted(line.grams, 'g')}" for line in batch.foods]


def _supplements(batch: Batch) -> list[str]:
    return [f"{dose.food} {counted(dose.batch_amount, dose.dose_unit)}" for dose in batch.doses]


def _adequacy(workings: Workings) -> dict:
    judgement = workings.batch.strictest
    found = counts(judgement)
    rows = adequacy_rows(judgement)
    return {
        "profile": workings.profile.name,
        "edition": workings.profile.edition,
        "for_dog": workings.batch.for_dog is not None,
        "counts": ", ".join(f"{found[key]} {word}" for key, word in ANSWERS.items() if found[key]),
        "told": [known_amount(row) for row in rows if row.key in TOLD_NUTRIENTS],
        "open": [_open(row) for row in rows if row.open],
    }


def _open(row: AdequacyRow) -> str:
    """Such as `Iron 5.2 mg (minimum 10.0 mg): Below minimum`, with the foods that have no value."""
    limits = (("minimum", row.minimum), ("maximum", row.maximum))
    told = ", ".join(f"{name} {figure(row, value)}" for name, value in limits if value is not None)
    answers = "; ".join(dict.fromkeys(answer.word for answer in row.answers))
    unknown = any(answer.answer == "cannot_confirm" for answer in row.answers)
    missing = f" (no value in {', '.join(row.missing)})" if unknown and row.missing else ""
    return f"{amount_of(row)} ({told}): {answers}{missing}"


def _caution(caution: AppliedCaution) -> dict:
    return {"subject": caution.subject, "because": caution.because, "text": caution.text}


def _unagreed(dog: Dog, cautions: Sequence[AppliedCaution]) -> list[str]:
    return [
        f"{caution.subject}: {caution.because}"
        for caution in cautions
        if caution.action == SIGN_OFF and dog.agreement_on(caution.subject) is None
    ]


def _held_against(dog: Dog, fed: Fed | None) -> list[str]:
    """The numbers that are kept or cannot be confirmed; a broken one stands among the stops."""
    if fed is None or fed.workings.batch is None:
        return []
    answers = held_against(dog.agreements, fed.workings.batch.analysis)
    return [answer.sentence for answer in answers if answer.sentence not in fed.gate.refusals]
