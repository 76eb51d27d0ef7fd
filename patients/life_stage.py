"""A dog's age and life stage, and the profile it is judged against. Pure calculation.

An unknown adult weight is treated as a large breed while the dog may still be growing: its limits are the
stricter ones.
"""

from calendar import monthrange
from dataclasses import dataclass, replace
from datetime import date

from patients.reproduction import gestation_week, neutered_sentence, nursing_week

EARLY_GROWTH_WEEKS = 14  # FEDIAF: early growth ends at 14 weeks
LARGE_BREED_KG = 31.8  # AAFCO: large size means 70 lb or more as a grown dog
GIANT_BREED_KG = 45.0  # common practice, no source
GROWN_AT_MONTHS, LARGE_GROWN_AT_MONTHS, GIANT_GROWN_AT_MONTHS = 12, 18, 24  # common practice, no source
SENIOR_AFTER_YEARS = 7  # FEDIAF, Annex 1 (energy), the age band above 7 years, from memory
OLDEST_YEARS = 30  # common practice, no source: an older dog is a typing error
SOONEST_GROWN_MONTHS, LATEST_GROWN_MONTHS = 6, 36  # common practice, no source

WEEKS_SPOKEN, MONTHS_SPOKEN = 16, 24  # up to which an age is said in weeks, and in months


# What a practitioner may set by hand: key -> words.
EARLY, LATE, LARGE, GROWN, OLD, PREGNANT, NURSING, WORKING = (
    "early", "late", "large", "adult", "senior", "pregnant", "nursing", "working",
)  # fmt: skip
STAGES = {
    EARLY: f"puppy under {EARLY_GROWTH_WEEKS} weeks",
    LATE: f"growing, from {EARLY_GROWTH_WEEKS} weeks to adult",
    LARGE: f"growing, from {EARLY_GROWTH_WEEKS} weeks to adult, large breed",
    GROWN: "adult",
    OLD: "senior",
    PREGNANT: "pregnant",
    NURSING: "nursing",
    WORKING: "working adult",
}
GROWING_STAGES, ADULT_STAGES = (EARLY, LATE, LARGE), (GROWN, OLD, WORKING)
BREEDING_STAGES = (PREGNANT, NURSING)
ADULT_PROFILE, GROWTH_PROFILE, LARGE_GROWTH_PROFILE = "aafco-adult", "aafco-growth", "aafco-growth-large"


@dataclass(frozen=True)
class LifeStage:
    """`energy_stage` is the stage that `patients.energy_methods.methods_for` asks for.

    week: of pregnancy or nursing, None when it is not known or there is none; puppies: at the teat.
    by_hand: why it was set by hand, or "".
    """

    label: str
    growing: bool
    profile_key: str
    energy_stage: str
    week: int | None = None
    puppies: int | None = None
    by_hand: str = ""

    @property
    def breeding(self) -> bool:
        """Pregnant or nursing."""
        return self.energy_stage in ("gestation", "lactation")


ADULT = LifeStage(STAGES[GROWN], False, ADULT_PROFILE, "adult")
SENIOR = LifeStage(STAGES[OLD], False, ADULT_PROFILE, "adult")
AT_WORK = LifeStage(STAGES[WORKING], False, ADULT_PROFILE, "working")


def age_in_months(born: date, on: date) -> int:
    """Whole months. Raises ValueError when `on` lies before the birth."""
    if on < born:
        raise ValueError(
            f"The dog was born on {born.day} {born:%B %Y}, after {on.day} {on:%B %Y}: check both dates."
        )
    return (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)


def born_at_most(months: int, on: date) -> date:
    """The last birth date at which a dog is that many whole months old on a day, by `age_in_months`."""
    year, month = divmod(on.year * 12 + on.month - 1 - months, 12)
    return date(year, month + 1, min(on.day, monthrange(year, month + 1)[1]))


def age_spoken(born: date, on: date) -> tuple[int, str]:
    """The age as it is said: weeks for a young puppy, then months, from two years on years."""
    months, weeks = age_in_months(born, on), (on - born).days // 7
    if weeks < WEEKS_SPOKEN:
        return weeks, "week"
    return (months, "month") if months < MONTHS_SPOKEN else (months // 12, "year")


def age_in_words(born: date, on: date, is_estimate: bool = False) -> str:
    """Such as `9 weeks`, `1 month` or `about 7 years`."""
    number, unit = age_spoken(born, on)
    return f"{'about ' if is_estimate else ''}{number} {unit}{'' if number == 1 else 's'}"


def is_large_breed(expected_adult_kg: float | None) -> bool:
    """70 lb (31.8 kg) or more as a grown dog, or unknown."""
    return expected_adult_kg is None or expected_adult_kg >= LARGE_BREED_KG


def grown_at_months(expected_adult_kg: float | None) -> int:
    """The age from which the dog is fed as an adult; unknown adult weight: as a large breed."""
    if not is_large_breed(expected_adult_kg):
        return GROWN_AT_MONTHS
    is_giant = expected_adult_kg is not None and expected_adult_kg >= GIANT_BREED_KG
    return GIANT_GROWN_AT_MONTHS if is_giant else LARGE_GROWN_AT_MONTHS


def life_stage(born: date, on: date, expected_adult_kg: float | None = None) -> LifeStage:
    """The stage on a day. `expected_adult_kg`: expected weight of the grown dog [kg]; None = unknown.

    Raises ValueError when `on` lies before the birth.
    """
    months = age_in_months(born, on)
    if months >= grown_at_months(expected_adult_kg):
        return SENIOR if months // 12 > SENIOR_AFTER_YEARS else ADULT
    early = (on - born).days < EARLY_GROWTH_WEEKS * 7
    return _growing(STAGES[EARLY if early else LATE], expected_adult_kg)


def _growing(label: str, expected_adult_kg: float | None) -> LifeStage:
    if not is_large_breed(expected_adult_kg):
        return LifeStage(label, True, GROWTH_PROFILE, "puppy")
    size = "large breed" if expected_adult_kg else "judged as a large breed: adult weight unknown"
    return LifeStage(f"{label}, {size}", True, LARGE_GROWTH_PROFILE, "puppy")


def stage_on(dog, on: date) -> LifeStage:
    """The stage on a day: set by hand, else nursing or pregnant by its dates, else by age and size.

    dog: anything with a patient's attributes. A bitch that is mated while she nurses is fed as nursing, whose
    need is the higher one; one that still grows herself keeps the limits of her growth.
    Raises ValueError when `on` lies before the birth.
    """
    by_age = life_stage(dog.born, on, dog.expected_adult_kg)
    pregnant = gestation_week(dog.mated_on, dog.whelped_on, on)
    nursing = nursing_week(dog.whelped_on, dog.litter, on)
    if dog.stage_by_hand:
        stage = _set_by_hand(dog, by_age, pregnant, nursing)
        return replace(stage, by_hand=dog.stage_reason or "no reason was noted")
    if nursing:
        return _nursing(by_age, nursing, dog.litter)
    if pregnant:
        return _pregnant(by_age, pregnant)
    return by_age


def _set_by_hand(dog, by_age: LifeStage, pregnant: int | None, nursing: int | None) -> LifeStage:
    key = dog.stage_by_hand
    if key == PREGNANT:
        return _pregnant(by_age, pregnant)
    if key == NURSING:
        return _nursing(by_age, nursing, dog.litter or None)
    if key == LARGE:
        return LifeStage(STAGES[LARGE], True, LARGE_GROWTH_PROFILE, "puppy")
    if key in GROWING_STAGES:
        return _growing(STAGES[key], dog.expected_adult_kg)
    return {GROWN: ADULT, OLD: SENIOR, WORKING: AT_WORK}[key]


def _pregnant(by_age: LifeStage, week: int | None) -> LifeStage:
    label = f"{STAGES[PREGNANT]}, week {week}" if week else f"{STAGES[PREGNANT]}, week unknown"
    return _breeding(by_age, label, "gestation", week=week)


def _nursing(by_age: LifeStage, week: int | None, puppies: int | None) -> LifeStage:
    count = "puppies not counted" if puppies is None else f"{puppies} pupp{'y' if puppies == 1 else 'ies'}"
    label = f"{STAGES[NURSING]}, week {week or 'unknown'}, {count}"
    return _breeding(by_age, label, "lactation", week=week, puppies=puppies)


def _breeding(by_age: LifeStage, label: str, energy_stage: str, **found) -> LifeStage:
    profile = by_age.profile_key if by_age.growing else GROWTH_PROFILE
    return LifeStage(
        f"{label}, still growing herself" if by_age.growing else label, False, profile, energy_stage, **found
    )


def stage_problems(dog, on: date) -> list[tuple[str, str]]:
    """What is wrong with a stage set by hand, as (field, sentence). dog: as in `stage_on`."""
    key = dog.stage_by_hand
    if not key:
        return []
    months = age_in_months(dog.born, on)
    problems = []
    if not dog.stage_reason.strip():
        problems.append(("stage_reason", "Say why the stage is set by hand: the reason is kept."))
    if key in ADULT_STAGES and months < SOONEST_GROWN_MONTHS:
        problems.append(
            ("stage_by_hand", f"At {months} months {dog.name} still grows: no dog is grown before 6 months.")
        )
    if key in GROWING_STAGES and months >= LATEST_GROWN_MONTHS:
        problems.append(("stage_by_hand", f"At {months // 12} years {dog.name} is grown: choose another."))
    if key in BREEDING_STAGES and dog.sex == "male":
        problems.append(("stage_by_hand", f"{dog.name} is on record as male: choose another stage."))
    if key == PREGNANT and dog.sex != "male" and dog.neutered:
        problems.append(("stage_by_hand", neutered_sentence(dog)))
    if key not in BREEDING_STAGES and _breeds_by_dates(dog, on):
        problems.append(("stage_by_hand", "She is pregnant or nursing by the dates above: clear them first."))
    return problems


def _breeds_by_dates(dog, on: date) -> bool:
    return bool(
        gestation_week(dog.mated_on, dog.whelped_on, on) or nursing_week(dog.whelped_on, dog.litter, on)
    )
