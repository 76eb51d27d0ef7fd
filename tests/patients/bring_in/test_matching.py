"""Lines held against what is on record. The dogs and people are invented."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.bring_in.lines import Line
from patients.bring_in.matching import match
from patients.bring_in.records import DogRecord, OwnerRecord, Records

TODAY = date(2026, 11, 25)
BORN = date(2019, 3, 1)
TILDA = {"owner": "Tilda Marrow", "phone": "01 555 0100"}
JUNIPER = {"name": "Juniper", "breed": "hound cross", "sex": "female", "born": BORN}


def on_record(**dog):
    owner = OwnerRecord(dict(TILDA), pk=1)
    return DogRecord(owner, {**JUNIPER, "microchip": "", **dog.pop("values", {})}, pk=7, **dog)


def brought(*lines, dog=None, faults=lambda line: []):
    records = Records([dog.owner] if dog else [], [dog] if dog else [])
    lines = [Line(number, values) for number, values in enumerate(lines, start=2)]
    return match(lines, records, TODAY, faults)


def weighed(day, kg, **more):
    return {**TILDA, **JUNIPER, "date": day, "weight": kg, **more}


def kilograms(found):
    return [each.values["weight"] for each in found.weigh_ins]


def test_a_new_dog_with_its_owner_and_its_weights():
    found = brought(weighed(date(2026, 9, 1), 18.0), {**TILDA, **JUNIPER}, weighed(date(2026, 10, 1), 18.2))
    assert (len(found.owners), len(found.dogs), kilograms(found), found.wrong) == (1, 1, [18.0, 18.2], {})
    assert found.dogs[0].owner is found.owners[0]


def test_two_dogs_of_one_owner():
    found = brought({**TILDA, **JUNIPER}, {"owner": "tilda marrow", **JUNIPER, "name": "Pepper"})
    assert (len(found.owners), len(found.dogs), found.wrong) == (1, 2, {})


def test_a_later_line_fills_in_and_may_not_contradict():
    found = brought({**TILDA, **JUNIPER}, {**TILDA, **JUNIPER, "clinic": "Elm Row"})
    assert found.dogs[0].values["clinic"] == "Elm Row"
    found = brought({**TILDA, **JUNIPER}, {**TILDA, **JUNIPER, "breed": "collie"})
    assert found.wrong == {3: "Breed: another one than in line 2: make both the same."}


def test_a_dog_that_is_not_on_record_needs_more():
    found = brought({**TILDA, "name": "Juniper", "sex": "female"})
    assert found.wrong == {2: "Juniper is not on record: to be taken on it also needs breed, born on."}
    assert (found.owners, found.dogs) == ([], [])


@pytest.mark.parametrize(
    "line",
    [
        {"owner": "Tilda Marrow", "name": "juniper"},
        {"microchip": "985112345678901"},
        {"owner": "Tilda Marrow", "email": "tilda@example.org", "name": "Juniper"},
    ],
)  # fmt: skip
def test_a_dog_on_record_is_known_again(line):
    line = line | {"date": date(2026, 10, 1), "weight": 18.0}
    found = brought(line, dog=on_record(values={"microchip": "985112345678901"}))
    assert (found.wrong, found.here, found.dogs, kilograms(found)) == ({}, {7}, [], [18.0])


def test_another_owner_may_not_come_with_a_dogs_microchip():
    line = {"owner": "Bo Linden", **JUNIPER, "microchip": "985112345678901", "checked": True}
    found = brought(line, dog=on_record(values={"microchip": "985112345678901"}))
    assert "that of Juniper of Tilda Marrow" in found.wrong[2]


def test_an_unknown_microchip_alone_is_nobody():
    assert "name the dog" in brought({"microchip": "985100000000000"}).wrong[2]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ({**TILDA, "owner": "Bo Linden", **JUNIPER, "name": "Fern"}, "that of Tilda Marrow"),
        ({"owner": "Tilda Marrow", "phone": "02 777 8888", **JUNIPER, "name": "Fern"}, "another phone"),
        ({**TILDA, **JUNIPER, "sex": "male"}, "another sex"),
        ({**TILDA, **JUNIPER, "born": date(2020, 3, 1)}, "another born on"),
        ({"owner": "Bo Linden", **JUNIPER}, "known with Tilda Marrow"),
    ],
)
def test_who_may_be_somebody_else_is_asked_and_then_taken_on(line, says):
    assert says in brought(line, dog=on_record()).wrong[2]
    found = brought(line | {"checked": True}, dog=on_record())
    assert (found.wrong, len(found.dogs)) == ({}, 1)


def test_an_estimated_birth_date_is_no_contradiction():
    dog = on_record(values={"born_is_estimate": True})
    assert brought({**TILDA, **JUNIPER, "born": date(2018, 6, 1)}, dog=dog).here == {7}


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"date": date(2026, 11, 26), "weight": 18.0}, "in the future"),
        ({"date": date(2019, 2, 28), "weight": 1.0}, "before the birth"),
        ({"date": date(2026, 10, 1)}, "its day and the weight"),
        ({"bcs": 5}, "its day and the weight"),
        ({"date": date(2026, 11, 1), "weight": 39.7}, "were these pounds"),
        ({"date": date(2026, 11, 1), "weight": 8.2}, "was the earlier weight in pounds"),
        ({"date": date(2026, 11, 1), "weight": 12.0}, "weigh again"),
        ({"date": date(2026, 9, 1), "weight": 8.2}, "were these pounds"),  # the next one is 2.2 times as much
        ({"date": date(2026, 10, 1), "weight": 17.0}, "18.0 kg is on record for that day"),
    ],
)  # fmt: skip
def test_a_weigh_in_that_cannot_be_right_or_is_asked_about(values, says):
    dog = on_record(weights={date(2026, 10, 1): 18.0})
    found = brought({**TILDA, **JUNIPER, **values}, dog=dog)
    assert says in found.wrong[2]
    assert found.weigh_ins == []


def test_a_weight_that_was_looked_at_is_taken():
    dog = on_record(weights={date(2026, 10, 1): 18.0})
    assert kilograms(brought(weighed(date(2026, 11, 1), 12.0, checked=True), dog=dog)) == [12.0]


def test_the_same_weigh_in_comes_once():
    dog = on_record(weights={date(2026, 10, 1): 18.0})
    again = weighed(date(2026, 11, 1), 18.1)
    found = brought(weighed(date(2026, 10, 1), 18.0), again, again, dog=dog)
    assert (kilograms(found), found.same, found.wrong) == ([18.1], 2, {})


def test_a_weight_that_was_left_out_of_the_curve_judges_no_other():
    day = date(2026, 10, 1)
    dog = on_record(weights={date(2026, 9, 1): 18.0, day: 40.0}, doubted={day})
    assert kilograms(brought(weighed(date(2026, 11, 1), 18.3), dog=dog)) == [18.3]


@pytest.mark.parametrize(
    ("kg", "unit", "says"),
    [
        (26.5, "kg", "were these pounds?"),
        (26.5 * 0.45359237, "lb", ""),  # NIST SP 811: 12.0 kg
        (12.0, "kg", ""),
    ],
)
def test_a_first_weight_is_held_against_what_is_usual_for_the_breed(kg, unit, says):
    found = brought(weighed(date(2026, 9, 1), kg, unit=unit) | {"breed": "beagle"})
    assert (says in found.wrong[2]) if says else (found.wrong == {})


def test_a_puppy_heavier_than_it_is_to_become_is_asked_about():
    puppy = {"born": date(2026, 6, 1), "expected_adult_kg": 8.0}
    found = brought(weighed(date(2026, 11, 1), 9.0) | puppy)
    assert "the 8.0 kg expected of it grown" in found.wrong[2]
    assert len(found.dogs) == 1  # the dog itself is taken on


def test_nothing_is_recorded_of_a_dog_that_is_not_in_care():
    found = brought(weighed(date(2026, 11, 1), 18.0), dog=on_record(closed="Juniper has died"))
    assert found.wrong == {2: "Juniper has died."}


def test_what_the_records_own_rules_say_keeps_the_whole_line_out():
    found = brought({**TILDA, **JUNIPER}, faults=lambda line: ["e-mail: no address"])
    assert (found.wrong, found.dogs) == ({2: "E-mail: no address."}, [])


DAYS = st.dates(date(2026, 1, 1), date(2026, 11, 1))


@given(
    st.lists(
        st.tuples(DAYS, st.sampled_from([17.9, 18.0, 18.3, 8.2, 39.7])), max_size=6, unique_by=lambda e: e[0]
    ),
    st.randoms(),
)
def test_the_order_of_the_lines_does_not_matter(weights, random):
    lines = [weighed(day, kg) for day, kg in weights]
    shuffled = random.sample(lines, len(lines))
    first, second = brought(*lines), brought(*shuffled)
    assert sorted(kilograms(first)) == sorted(kilograms(second))
    assert sorted(first.wrong.values()) == sorted(second.wrong.values())
