"""Mating, whelping and nursing: the week a bitch is in, and what cannot be. Pure calculation."""

from datetime import date

from patients.energy import GESTATION_WEEKS

OVERDUE_DAYS = 7  # common practice, no source: ten weeks after mating without whelping she is not pregnant
NURSING_WEEKS = 8  # common practice, no source: puppies are weaned by eight weeks
SHORTEST_GESTATION_DAYS, LONGEST_GESTATION_DAYS = 55, 75  # 57 to 72 days from mating, from memory, and room
YOUNGEST_DAYS = 150  # common practice, no source: the first season does not come before five months
SOONEST_MATED_DAYS = 42  # common practice, no source: the next season comes months after whelping, not weeks
MOST_PUPPIES = 24  # common practice, no source: a larger litter is a typing error

BREEDING_WORDS = ("pregnan", "gestation", "lactat", "nursing")
PREGNANT_WORDS = BREEDING_WORDS[:2]
NOT_BREEDING = ("pseudo", "false preg", "phantom preg", "not pregnan", "not lactat", "not nursing")

Problem = tuple[str, str]


def tells_breeding(condition: str, words: tuple[str, ...] = BREEDING_WORDS) -> bool:
    """Is she pregnant or nursing by a condition as it was typed? A false pregnancy is none."""
    text = condition.casefold()
    return any(word in text for word in words) and not any(word in text for word in NOT_BREEDING)


def condition_problem(condition: str, *, name: str, sex: str, neutered: bool) -> str:
    """Why a typed condition cannot be, or ""."""
    if sex == "male" and tells_breeding(condition):
        return f"{name} is on record as male: take “{condition}” out, or mend the sex."
    if neutered and tells_breeding(condition, PREGNANT_WORDS):
        return f"{name} is neutered on record and cannot be pregnant: take “{condition}” out."
    return ""


def gestation_week(mated_on: date | None, whelped_on: date | None, on: date) -> int | None:
    """The week of pregnancy, 1 to 9, counted from mating; None when she is not pregnant on that day."""
    if mated_on is None or on < mated_on:
        return None
    if whelped_on is not None and mated_on <= whelped_on <= on:
        return None
    days = (on - mated_on).days
    if days >= GESTATION_WEEKS * 7 + OVERDUE_DAYS:
        return None
    return min(days // 7 + 1, GESTATION_WEEKS)


def nursing_week(whelped_on: date | None, puppies: int | None, on: date) -> int | None:
    """The week of nursing, 1 to 8; None when she nurses no puppies on that day. puppies: None is unknown."""
    if whelped_on is None or on < whelped_on or puppies == 0:
        return None
    week = (on - whelped_on).days // 7 + 1
    return week if week <= NURSING_WEEKS else None


def reproduction_problems(dog, on: date) -> list[Problem]:
    """What cannot be, as (field, a sentence that says what to do). dog: with a patient's attributes."""
    if dog.sex == "male":
        return [
            (field, f"{dog.name} is on record as male: clear this, or mend the sex in the record.")
            for field in ("mated_on", "whelped_on", "litter")
            if getattr(dog, field) is not None
        ]
    problems = [*_date_problems(dog, on), *_litter_problems(dog)]
    if dog.neutered and gestation_week(dog.mated_on, dog.whelped_on, on):
        problems.append(("mated_on", neutered_sentence(dog)))
    return problems


def neutered_sentence(dog) -> str:
    return f"{dog.name} is neutered on record and cannot be pregnant: clear the mating, or mend the record."


def _date_problems(dog, on: date) -> list[Problem]:
    problems = []
    for field, what in (("mated_on", "mating"), ("whelped_on", "whelping")):
        day = getattr(dog, field)
        if day is None:
            continue
        if day > on:
            problems.append((field, f"This {what} lies in the future: enter the day on which it was."))
        elif (day - dog.born).days < YOUNGEST_DAYS:
            problems.append((field, f"{dog.name} was not five months old then: check the {what}."))
    if not dog.mated_on or not dog.whelped_on:
        return problems
    days = (dog.whelped_on - dog.mated_on).days
    if 0 < -days < SOONEST_MATED_DAYS:
        problems.append(
            ("mated_on", f"That is {-days} days after the whelping, long before the next season: check both.")
        )
    if days >= 0 and not SHORTEST_GESTATION_DAYS <= days <= LONGEST_GESTATION_DAYS:
        problems.append(
            ("whelped_on", f"That is {days} days after the mating, and dogs carry about 63: check both.")
        )
    return problems


def _litter_problems(dog) -> list[Problem]:
    if dog.litter is None:
        return []
    if dog.whelped_on is None:
        return [("whelped_on", "Enter the day of whelping, or clear the puppies.")]
    if dog.litter > MOST_PUPPIES:
        return [("litter", f"{dog.litter} puppies cannot be right: enter at most {MOST_PUPPIES}.")]
    return []
