"""What a colleague would say about a dog, built from its record.

Pure: anything with the attributes of a patient, a visit or a plan will do.
"""

import re
import unicodedata
from datetime import date

from patients.life_stage import age_in_words, age_spoken
from patients.weigh_ins import WeighIn

RIGHT_TO_LEFT = ("R", "AL")
# Control characters, and the marks that turn the direction of all text after them.
UNSEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]+")
TENTHS_FROM_KG = 10  # lighter dogs are told to the hundredth of a kilogram


def introduce(patient, on: date, visit=None, plan=None) -> str:
    """The head of a dog's page.

    Such as `Juniper, 7-year-old neutered hound cross, 18.4 kg, BCS 7. Target 15.3 kg, 640 kcal a day.`
    Without a visit or a plan it says so. Of a dog that is not in care it says since when.
    """
    left = left_sentence(patient)
    if left and patient.status == "deceased":
        seen = f" Last seen at {weight_of(visit)}, BCS {visit.bcs}." if visit else ""
        return f"{left}{seen}"
    number, unit = age_spoken(patient.born, on)
    about = "about " if patient.born_is_estimate else ""
    sex = "neutered" if patient.neutered else f"intact {patient.sex}"
    state = f"{weight_of(visit)}, BCS {visit.bcs}" if visit else "not seen here yet"
    target = left or (_target(plan) if plan else "No plan yet.")
    name, breed = isolated(patient.name), isolated(patient.breed)
    return f"{name}, {about}{number}-{unit}-old {sex} {breed}, {state}. {target}"


def weight_of(visit) -> str:
    """The weight of a visit in words; one that is not believed never stands as a fact."""
    return f"{in_kg(visit.weight_kg)} (in doubt)" if visit.left_out else in_kg(visit.weight_kg)


def left_sentence(patient) -> str:
    """Such as `Juniper, a neutered collie, died on 3 March 2026, aged 7 years.`; empty for one in care."""
    status, day = getattr(patient, "status", "active"), getattr(patient, "left_on", None)
    name = isolated(patient.name)
    when = f"{day.day} {day:%B %Y}" if day else ""
    if status == "deceased":
        sex = "neutered" if patient.neutered else f"intact {patient.sex}"
        aged = f", aged {age_in_words(patient.born, day, patient.born_is_estimate)}" if day else ""
        died = f"died on {when}" if day else "has died"
        return f"{name}, a{'n' if sex[0] == 'i' else ''} {sex} {isolated(patient.breed)}, {died}{aged}."
    if status == "archived":
        return f"{name} has not been in our care since {when}." if day else f"{name} is not in our care now."
    return ""


def isolated(name: str) -> str:
    """A name written from right to left, kept from turning the sentence around it (Unicode's isolates)."""
    turns = any(unicodedata.bidirectional(sign) in RIGHT_TO_LEFT for sign in name)
    return f"\u2068{name}\u2069" if turns else name


def wanted_kg(plan) -> float | None:
    """The weight that a plan aims at [kg]; None for a growing dog, whose weight of today is no aim."""
    return None if plan.goal == "grow" else plan.target_kg


def _target(plan) -> str:
    draft = ", still a draft" if plan.state == "draft" else ""
    wanted = wanted_kg(plan)
    aim = "Growing evenly" if wanted is None else f"Target {in_kg(wanted)}"
    return f"{aim}, {plan.kcal_per_day:,.0f} kcal a day{draft}."


def describe_change(last: WeighIn) -> str:
    """Such as `0.4 kg (2.1 %) less in 14 days`; `first weigh-in` when there is nothing to compare with."""
    if last.change_kg is None:
        return "first weigh-in"
    when = "on the same day" if not last.days else f"in {last.days} day{'' if last.days == 1 else 's'}"
    if round(last.change_kg, 2) == 0:
        return f"no change {when}"
    direction = "less" if last.change_kg < 0 else "more"
    return f"{in_kg(abs(last.change_kg))} ({abs(last.percent):.1f} %) {direction} {when}"


def describe_weights(entries: list[WeighIn]) -> str:
    """The weight chart in words: how many weigh-ins, the first, the last, the lowest and the highest."""
    if not entries:
        return "No weigh-in yet."
    first, last = entries[0], entries[-1]
    if len(entries) == 1:
        return f"One weigh-in: {_dated(first)}."
    lightest, heaviest = min(e.kg for e in entries), max(e.kg for e in entries)
    return (
        f"{len(entries)} weigh-ins, from {_dated(first)} to {_dated(last)}; "
        f"lowest {in_kg(lightest)}, highest {in_kg(heaviest)}."
    )


def _dated(entry: WeighIn) -> str:
    return f"{in_kg(entry.kg)} on {entry.day.day} {entry.day:%B %Y}"


def without_unseen(text: str) -> str:
    """A line of text without what is not seen and would upset it."""
    return UNSEEN.sub(" ", text).strip()


def is_seen(text: str) -> bool:
    """Does a name show anything at all? Joiners and blanks alone are none."""
    return any(unicodedata.category(letter)[0] not in "ZC" for letter in text)


def in_kg(kg: float) -> str:
    """Kilograms as people say them: tenths, and hundredths below 10 kg where they say more."""
    if kg >= TENTHS_FROM_KG or round(kg, 1) == round(kg, 2):
        return f"{kg:.1f} kg"
    return f"{kg:.2f} kg"
