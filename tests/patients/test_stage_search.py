"""Life stages as the database picks them, held against the rules that work one dog out."""

from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patients.life_stage import STAGES, age_in_months, born_at_most, stage_on
from patients.models import Patient
from patients.stage_search import CHOICES, GROWING, in_stage
from tests import cast

TODAY = date(2026, 8, 31)


@pytest.mark.parametrize(
    ("months", "on", "born"),
    [
        (12, date(2026, 7, 1), date(2025, 7, 1)),
        (6, date(2026, 8, 31), date(2026, 2, 28)),  # no dog is born on 31 February
        (24, date(2026, 2, 28), date(2024, 2, 28)),
        (1, date(2026, 1, 15), date(2025, 12, 15)),
        (96, date(2028, 2, 29), date(2020, 2, 29)),
    ],
)
def test_the_last_birth_date_of_an_age(months, on, born):
    assert born_at_most(months, on) == born
    assert age_in_months(born, on) == months
    assert age_in_months(born + timedelta(days=1), on) == months - 1


def key_of(dog) -> str:
    """The key of the stage that is worked out, by its words."""
    if dog.stage_by_hand:
        return dog.stage_by_hand
    words = stage_on(dog, TODAY).label
    if words.startswith(STAGES["late"]):
        return "large" if "large breed" in words else "late"
    return next(key for key, said in STAGES.items() if words.startswith(said))


def near(*days: int):
    """Days before today, at and about the borders."""
    borders = [TODAY - timedelta(days=each + more) for each in days for more in (-1, 0, 1)]
    return st.sampled_from([day for day in borders if day <= TODAY]) | st.dates(date(2012, 1, 1), TODAY)


DOGS = st.builds(
    Patient,
    born=near(0, 98, 365, 549, 730, 2922),
    expected_adult_kg=st.none() | st.sampled_from([5, 31.7, 31.8, 44.9, 45, 70]),
    mated_on=st.none() | near(0, 70),
    whelped_on=st.none() | near(0, 56),
    litter=st.none() | st.integers(0, 3),
    stage_by_hand=st.sampled_from(["", "", "", *STAGES]),
)


@pytest.mark.django_db
@given(st.lists(DOGS, min_size=1, max_size=12))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_the_database_finds_the_stage_that_is_worked_out(dogs):
    owner = cast.make_owner()
    for dog in dogs:
        dog.pk, dog.owner, dog.name, dog.breed, dog.sex = None, owner, "Tansy", "hound", "female"
    Patient.objects.bulk_create(dogs)
    ours = Patient.objects.filter(owner=owner)
    for stage, _ in CHOICES:
        wanted = {"early", "late", "large"} if stage == GROWING else {stage}
        found = set(in_stage(ours, stage, TODAY).values_list("pk", flat=True))
        assert found == {dog.pk for dog in ours if key_of(dog) in wanted}, stage
