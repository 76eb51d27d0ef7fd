"""The ways to estimate an adult weight. Common practice, no source; each answer is worked out by hand."""

import pytest

from patients.adult_weight import Puppy, estimates


def answers(**known) -> list[tuple | None]:
    return [(e.low_kg, e.high_kg) if e.low_kg is not None else None for e in estimates(Puppy(**known))]


def test_nothing_known_answers_nothing():
    assert answers() == [None, None, None, None]


def test_every_way_side_by_side():
    # the breed 24 to 30; parents 26 and 32; 9 kg at 15 weeks: 9 x 2.5 = 22.5, and 9 / 15 x 52 = 31.2
    found = answers(breed_low_kg=30, breed_high_kg=24, mother_kg=26, father_kg=32, young_kg=9, young_weeks=15)
    assert found == [(24, 30), (26, 32), (22.5, 22.5), (pytest.approx(31.2), pytest.approx(31.2))]


def test_the_middle_of_a_range():
    assert estimates(Puppy(mother_kg=26, father_kg=32))[1].middle_kg == 29


def test_one_parent_says_nothing():
    assert answers(mother_kg=26)[1] is None


def test_one_end_of_the_breed_is_that_weight():
    assert answers(breed_low_kg=12)[0] == (12, 12)


@pytest.mark.parametrize(("weeks", "answers_it"), [(13.9, False), (14, True), (16.9, True), (17, False)])
def test_the_factor_holds_from_14_to_16_weeks(weeks, answers_it):
    assert (answers(young_kg=8, young_weeks=weeks)[2] == (20, 20)) == answers_it


@pytest.mark.parametrize(("weeks", "answers_it"), [(0, False), (1, True), (52, True), (53, False)])
def test_even_growth_counts_on_a_year(weeks, answers_it):
    assert (answers(young_kg=8, young_weeks=weeks)[3] is not None) == answers_it
