"""Dogs of a life stage, picked by the database: the rules of `patients.life_stage.stage_on` as conditions.

So a list of many thousand dogs is filtered without working out each one. A test holds both side by side.
"""

from datetime import date, timedelta

from django.db.models import F, Q, QuerySet

from patients.energy import GESTATION_WEEKS
from patients.life_stage import (
    ADULT_STAGES,
    BREEDING_STAGES,
    EARLY,
    EARLY_GROWTH_WEEKS,
    GIANT_BREED_KG,
    GIANT_GROWN_AT_MONTHS,
    GROWING_STAGES,
    GROWN,
    GROWN_AT_MONTHS,
    LARGE,
    LARGE_BREED_KG,
    LARGE_GROWN_AT_MONTHS,
    LATE,
    NURSING,
    OLD,
    PREGNANT,
    SENIOR_AFTER_YEARS,
    STAGES,
    WORKING,
    born_at_most,
)
from patients.models import Patient
from patients.reproduction import NURSING_WEEKS, OVERDUE_DAYS

GROWING = "growing"
CHOICES = (
    (GROWING, "growing, all"), (EARLY, STAGES[EARLY]), (LATE, "growing, smaller breed"),
    (LARGE, "growing, large or size unknown"),
    *((key, STAGES[key]) for key in (*ADULT_STAGES, *BREEDING_STAGES)),
)  # fmt: skip


def in_stage(patients: QuerySet[Patient], stage: str, on: date) -> QuerySet[Patient]:
    """stage: a key of STAGES, or GROWING for every stage of growth."""
    keys = GROWING_STAGES if stage == GROWING else (stage,)
    nursing, pregnant = _nursing(on), _pregnant(on)
    found = Q(pk__in=[])
    for key in keys:
        if key == NURSING:
            by_record = nursing
        elif key == PREGNANT:
            by_record = pregnant & ~nursing
        else:
            by_record = _by_age(key, on) & ~nursing & ~pregnant
        found |= Q(stage_by_hand=key) | (Q(stage_by_hand="") & by_record)
    return patients.filter(found)


def _nursing(on: date) -> Q:
    since = on - timedelta(weeks=NURSING_WEEKS)
    whelped = Q(whelped_on__isnull=False, whelped_on__gt=since, whelped_on__lte=on)
    return whelped & (Q(litter__isnull=True) | Q(litter__gt=0))


def _pregnant(on: date) -> Q:
    since = on - timedelta(days=GESTATION_WEEKS * 7 + OVERDUE_DAYS)
    mated = Q(mated_on__isnull=False, mated_on__gt=since, mated_on__lte=on)
    over = Q(whelped_on__isnull=False, whelped_on__gte=F("mated_on"), whelped_on__lte=on)
    return mated & ~over


def _by_age(key: str, on: date) -> Q:
    grown = _grown(on)
    old = Q(born__lte=born_at_most((SENIOR_AFTER_YEARS + 1) * 12, on))
    early = Q(born__gt=on - timedelta(weeks=EARLY_GROWTH_WEEKS))
    large = Q(expected_adult_kg__isnull=True) | Q(expected_adult_kg__gte=LARGE_BREED_KG)
    return {
        EARLY: ~grown & early,
        LATE: ~grown & ~early & ~large,
        LARGE: ~grown & ~early & large,
        GROWN: grown & ~old,
        OLD: grown & old,
        WORKING: Q(pk__in=[]),  # only ever set by hand
    }[key]


def _grown(on: date) -> Q:
    small = Q(expected_adult_kg__isnull=False, expected_adult_kg__lt=LARGE_BREED_KG)
    giant = Q(expected_adult_kg__isnull=False, expected_adult_kg__gte=GIANT_BREED_KG)
    return (
        (small & Q(born__lte=born_at_most(GROWN_AT_MONTHS, on)))
        | (~giant & Q(born__lte=born_at_most(LARGE_GROWN_AT_MONTHS, on)))
        | Q(born__lte=born_at_most(GIANT_GROWN_AT_MONTHS, on))
    )
