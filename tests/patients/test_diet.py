"""Observed intake: what is not known is never counted as nothing."""

from types import SimpleNamespace

from hypothesis import given
from hypothesis import strategies as st

from patients.diet import intake


def eaten(what, kcal, is_extra=False, complete=""):
    return SimpleNamespace(what=what, kcal_per_day=kcal, is_extra=is_extra, complete=complete)


def test_a_day_whose_parts_are_all_known():
    found = intake([eaten("dry food", 600.0), eaten("biscuit", 45.0, is_extra=True)])
    assert (found.kcal, found.extras_kcal, found.unknown) == (645.0, 45.0, ())


def test_a_part_without_energy_leaves_the_day_unknown():
    found = intake([eaten("dry food", 600.0), eaten("table scraps", None, is_extra=True)])
    assert found.kcal is None
    assert (found.known_kcal, found.unknown) == (600.0, ("table scraps",))
    assert found.sentences[0] == "At least 600 kcal a day: not known of table scraps."


def test_nothing_told_is_not_a_fast():
    assert intake([]).kcal is None
    assert intake([]).sentences == []


def test_a_known_zero_counts():
    assert intake([eaten("water", 0.0)]).kcal == 0.0


def test_extras_are_held_against_a_tenth_of_the_day():
    some = intake([eaten("dry food", 900.0), eaten("biscuit", 100.0, is_extra=True)])
    assert (some.extras_share, some.too_many_extras) == (0.1, False)
    many = intake([eaten("dry food", 800.0), eaten("biscuit", 200.0, is_extra=True)])
    assert many.too_many_extras
    assert "20 %: more than the 10 %" in many.sentences[0]


def test_it_tells_what_is_known_to_be_complete_and_what_is_not():
    found = intake(
        [eaten("dry food", 600, complete="yes"), eaten("rice", 200, complete="no"), eaten("x", 100)]
    )
    assert found.by_completeness == {"yes": 600, "no": 200, "": 100}
    assert found.sentences[-1] == (
        "Complete by itself: known to be complete 600 kcal, known not to be 200 kcal, not known 100 kcal."
    )


ITEMS = st.builds(
    eaten,
    st.text(min_size=1),
    st.one_of(st.none(), st.floats(0, 2_000)),
    st.booleans(),
    st.sampled_from(["yes", "no", ""]),
)


@given(items=st.lists(ITEMS, max_size=12), order=st.randoms())
def test_the_order_does_not_matter_and_unknown_never_becomes_nothing(items, order):
    shuffled = list(items)
    order.shuffle(shuffled)
    one, other = intake(items), intake(shuffled)
    assert abs(one.known_kcal - other.known_kcal) < 1e-6
    assert sorted(one.unknown) == sorted(other.unknown)
    assert (one.kcal is None) == (not items or any(item.kcal_per_day is None for item in items))
