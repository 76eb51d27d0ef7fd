"""Observed intake: what is not known is never counted as nothing."""

from types import SimpleNamespace

from patients.diet import intake


def eaten(what, kcal, is_extra=False):
    return SimpleNamespace(what=what, kcal_per_day=kcal, is_extra=is_extra)


def test_a_day_whose_parts_are_all_known():
    found = intake([eaten("dry food", 600.0), eaten("biscuit", 45.0, is_extra=True)])
    assert (found.kcal, found.extras_kcal, found.unknown) == (645.0, 45.0, ())


def test_a_part_without_energy_leaves_the_day_unknown():
    found = intake([eaten("dry food", 600.0), eaten("table scraps", None, is_extra=True)])
    assert found.kcal is None
    assert (found.known_kcal, found.unknown) == (600.0, ("table scraps",))


def test_nothing_told_is_not_a_fast():
    assert intake([]).kcal is None


def test_a_known_zero_counts():
    assert intake([eaten("water", 0.0)]).kcal == 0.0
