"""Cells as they come out of other programs."""

from datetime import date

import pytest

from patients.bring_in.cells import (
    Order,
    has_open_order,
    order_of,
    read_day,
    read_score,
    read_sex,
    read_weight,
    read_yes_no,
)

NOVEMBER_3 = date(2026, 11, 3)


@pytest.mark.parametrize(
    ("cell", "order"),
    [
        ("2026-11-03", None),
        ("2026-11-03 00:00:00", None),
        ("2026-11-03T09:30", None),
        ("2026/11/3", None),
        ("3 Nov 2026", None),
        ("3. November 2026", None),
        ("Nov 3, 2026", None),
        ("3.11.2026", None),
        ("3.11.2026", Order.MONTH_FIRST),  # with dots the day comes first, everywhere
        ("3/11/2026", Order.DAY_FIRST),
        ("11/3/2026", Order.MONTH_FIRST),
        ("11-03-2026", Order.MONTH_FIRST),
        ("11/3/2026 12:00", Order.MONTH_FIRST),
    ],
)
def test_a_day(cell, order):
    assert read_day(cell, order) == NOVEMBER_3


def test_a_date_that_reads_one_way_needs_no_order():
    assert read_day("13/2/2026", None) == date(2026, 2, 13)
    assert read_day("2/13/2026", None) == date(2026, 2, 13)
    assert read_day("5/5/2026", None) == date(2026, 5, 5)


@pytest.mark.parametrize(
    ("cell", "order", "says"),
    [
        ("3/11/2026", None, "reads two ways"),
        ("2/13/2026", Order.DAY_FIRST, "no day"),
        ("30/2/2026", Order.DAY_FIRST, "no day"),
        ("3/11/26", Order.DAY_FIRST, "four digits"),
        ("last week", None, "no day"),
        ("2026-02-30", None, "no day"),
        ("45964", None, "no day"),
    ],
)
def test_what_is_no_day_is_said(cell, order, says):
    with pytest.raises(ValueError, match=says):
        read_day(cell, order)


def test_the_order_is_taken_from_dates_that_read_one_way():
    assert order_of(["3/11/2026", "25/11/2026"]) == Order.DAY_FIRST
    assert order_of(["3/11/2026", "11/25/2026"]) == Order.MONTH_FIRST
    assert order_of(["3/11/2026", "2026-11-25"]) is None
    assert order_of(["25/11/2026", "11/25/2026"]) is None
    assert has_open_order(["3/11/2026"])
    assert not has_open_order(["25/11/2026", "3.11.2026", "4/4/2026", "2026-11-03", "soon"])


@pytest.mark.parametrize(
    ("cell", "unit", "kg"),
    [
        ("18.2", "kg", 18.2),
        ("18,2", "kg", 18.2),
        ("18.2 kg", "lb", 18.2),
        ("40", "lb", 18.1436948),  # NIST SP 811: 1 lb = 0.45359237 kg
        ("40 lbs", "kg", 18.1436948),
        ("40 Pounds", "", 18.1436948),
    ],
)
def test_a_weight(cell, unit, kg):
    assert read_weight(cell, unit) == pytest.approx(kg)


@pytest.mark.parametrize(
    ("cell", "unit", "says"),
    [
        ("18.2", "", "no unit"),
        ("heavy", "kg", "no weight"),
        ("-3", "kg", "no weight"),
        ("1e9", "kg", "no weight"),
        ("0.1", "kg", "at least 0.2 kg"),
        ("900", "kg", "kg"),
    ],
)
def test_what_is_no_weight_is_said(cell, unit, says):
    with pytest.raises(ValueError, match=says):
        read_weight(cell, unit)


@pytest.mark.parametrize(
    ("cell", "sex", "neutered"),
    [
        ("F", "female", None),
        ("male", "male", None),
        ("spayed female", "female", True),
        ("Male (neutered)", "male", True),
        ("male, entire", "male", False),
    ],
)
def test_a_sex(cell, sex, neutered):
    assert read_sex(cell) == (sex, neutered)


@pytest.mark.parametrize("cell", ["", "unknown", "male or female", "neutered", "neutered entire male"])
def test_what_is_no_sex_is_said(cell):
    with pytest.raises(ValueError, match="female or male"):
        read_sex(cell)


def test_yes_no_and_a_score():
    assert (read_yes_no("Yes"), read_yes_no("spayed"), read_yes_no("0"), read_yes_no("intact")) == (
        True,
        True,
        False,
        False,
    )
    assert (read_score("5"), read_score("5.0"), read_score("7/9"), read_score("7 / 9")) == (5, 5, 7, 7)
    for cell in ("4/5", "10", "0", "4.5", "good"):
        with pytest.raises(ValueError, match="1 to 9"):
            read_score(cell)
    with pytest.raises(ValueError, match="yes nor no"):
        read_yes_no("perhaps")
