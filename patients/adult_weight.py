"""The usual ways to estimate what a puppy will weigh as a grown dog, side by side. Pure: weights in kg.

They differ, and none is chosen here. Every one of them is common practice, no source.
"""

from dataclasses import dataclass

YOUNG_WEEKS = (14, 16)  # the ages at which the rule for medium breeds is used
YOUNG_FACTOR = 2.5
GROWN_WEEKS = 52  # the rule of even growth counts on a year
REMARK_EVEN = "as if growth were even for a year; tends to be too high, most for small breeds"


@dataclass(frozen=True)
class Puppy:
    """What is known of it; None is unknown. breed_low_kg and breed_high_kg: the breed's usual grown weight.

    young_kg: a weight at the age of young_weeks.
    """

    breed_low_kg: float | None = None
    breed_high_kg: float | None = None
    mother_kg: float | None = None
    father_kg: float | None = None
    young_kg: float | None = None
    young_weeks: float | None = None


@dataclass(frozen=True)
class Estimate:
    """One way and its answer as a range [kg]; both ends None: something it needs is not known.

    basis: a key of Patient.AdultWeightFrom.
    """

    way: str
    basis: str
    low_kg: float | None
    high_kg: float | None
    remark: str

    @property
    def middle_kg(self) -> float | None:
        return None if self.low_kg is None else (self.low_kg + self.high_kg) / 2


def estimates(puppy: Puppy) -> list[Estimate]:
    """Every way, also those that cannot answer yet."""
    return [_of_breed(puppy), _of_parents(puppy), _of_young_weight(puppy), _of_even_growth(puppy)]


def _of_breed(puppy: Puppy) -> Estimate:
    known = [kg for kg in (puppy.breed_low_kg, puppy.breed_high_kg) if kg is not None]
    low, high = (min(known), max(known)) if known else (None, None)
    return Estimate("The breed's usual weight", "breed", low, high, "as typed; of a cross it says little")


def _of_parents(puppy: Puppy) -> Estimate:
    parents = (puppy.mother_kg, puppy.father_kg)
    low, high = (None, None) if None in parents else (min(parents), max(parents))
    remark = "from the lighter parent to the heavier; females tend to the lower end"
    return Estimate("Between its parents", "parents", low, high, remark)


def _of_young_weight(puppy: Puppy) -> Estimate:
    first, last = YOUNG_WEEKS
    kg, weeks = puppy.young_kg, puppy.young_weeks
    fits = kg is not None and weeks is not None and first <= weeks < last + 1
    grown = kg * YOUNG_FACTOR if fits else None
    way = f"Weight at {first} to {last} weeks × {YOUNG_FACTOR:g}"
    return Estimate(way, "young", grown, grown, "for medium breeds; other sizes grow at another pace")


def _of_even_growth(puppy: Puppy) -> Estimate:
    kg, weeks = puppy.young_kg, puppy.young_weeks
    grown = kg / weeks * GROWN_WEEKS if kg is not None and weeks and weeks <= GROWN_WEEKS else None
    way = f"Weight ÷ age in weeks × {GROWN_WEEKS}"
    return Estimate(way, "young", grown, grown, REMARK_EVEN)
