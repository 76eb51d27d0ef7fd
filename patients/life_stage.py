"""A dog's age and life stage, and the profile it is judged against. Pure calculation.

An unknown adult weight is treated as a large breed while the dog may still be growing: its limits are the
stricter ones.
"""

from dataclasses import dataclass
from datetime import date

EARLY_GROWTH_WEEKS = 14  # FEDIAF: early growth ends at 14 weeks
LARGE_BREED_KG = 31.8  # AAFCO: large size means 70 lb or more as a grown dog
GIANT_BREED_KG = 45.0  # common practice, no source
GROWN_AT_MONTHS, LARGE_GROWN_AT_MONTHS, GIANT_GROWN_AT_MONTHS = 12, 18, 24  # common practice, no source
SENIOR_AFTER_YEARS = 7  # FEDIAF, Annex 1 (energy), the age band above 7 years, from memory
OLDEST_YEARS = 30  # common practice, no source: an older dog is a typing error

WEEKS_SPOKEN, MONTHS_SPOKEN = 16, 24  # up to which an age is said in weeks, and in months


@dataclass(frozen=True)
class LifeStage:
    """`energy_stage` is the stage that `patients.energy.methods_for` asks for."""

    label: str
    growing: bool
    profile_key: str
    energy_stage: str


ADULT = LifeStage("adult", False, "aafco-adult", "adult")
SENIOR = LifeStage("senior", False, "aafco-adult", "adult")


def age_in_months(born: date, on: date) -> int:
    """Whole months. Raises ValueError when `on` lies before the birth."""
    if on < born:
        raise ValueError(
            f"The dog was born on {born.day} {born:%B %Y}, after {on.day} {on:%B %Y}: check both dates."
        )
    return (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)


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
    label = f"puppy under {EARLY_GROWTH_WEEKS} weeks" if early else "growing, from 14 weeks to adult"
    if not is_large_breed(expected_adult_kg):
        return LifeStage(label, True, "aafco-growth", "puppy")
    size = "large breed" if expected_adult_kg else "judged as a large breed: adult weight unknown"
    return LifeStage(f"{label}, {size}", True, "aafco-growth-large", "puppy")
