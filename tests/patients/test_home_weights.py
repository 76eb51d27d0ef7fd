"""Lines as owners write them."""

from datetime import date

import pytest

from patients.home_weights import read_lines

TODAY, BORN = date(2026, 11, 25), date(2019, 3, 1)


def read(text):
    return read_lines(text, today=TODAY, born=BORN)


@pytest.mark.parametrize(
    ("line", "day", "kg", "note"),
    [
        ("2026-11-03 18,2 kg", date(2026, 11, 3), 18.2, ""),
        ("2026-11-03\t18.2kg", date(2026, 11, 3), 18.2, ""),
        ("2026-11-3: 18 kilos, after breakfast", date(2026, 11, 3), 18.0, "after breakfast"),
        ("2026-11-03;40 lb", date(2026, 11, 3), 18.1436948, ""),  # 40 x 0.45359237
        ("3.11.2026 40.5 Lbs. wet", date(2026, 11, 3), 18.370490985, "wet"),
        ("3. 11. 2026 18.2 kg", date(2026, 11, 3), 18.2, ""),
        ("3 Nov 2026 18.2 kg", date(2026, 11, 3), 18.2, ""),
        ("2026-11-03 18.2 kilograms", date(2026, 11, 3), 18.2, ""),
        ("2026-11-03 18.2 kg, 2 good walks", date(2026, 11, 3), 18.2, "2 good walks"),
        ("3. November 2026, 18.2 kg", date(2026, 11, 3), 18.2, ""),
    ],
)
def test_a_line(line, day, kg, note):
    (found,), faults = read(line)
    assert (found.typed.day, found.note, faults) == (day, note, [])
    assert found.typed.kg == pytest.approx(kg)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("2026-11-03 18.2", "add kg or lb"),
        ("3/11/2026 18.2 kg", "not a day and a weight"),
        ("18.2 kg", "not a day and a weight"),
        ("2026-02-30 18.2 kg", "is no day"),
        ("2026-11-26 18.2 kg", "future"),
        ("2019-02-28 18.2 kg", "before the birth"),
        ("2026-11-03 182 kg", "cannot be right"),
        ("2026-11-03 0 kg", "above 0"),
        ("2026-11-03 -18 kg", "not a day and a weight"),
        ("2026-11-03 18.2.1 kg", "not a day and a weight"),
        ("2026-11-03 40 lb 3 oz", "more than one amount"),
        ("2026-11-03 18 kg 200 g", "more than one amount"),
        ("2026-11-03 18.2 kg + 18.4 kg", "more than one amount"),
        ("2026-11-03 18.2 stone", "add kg or lb"),
        ("<b>hello</b>", "not a day and a weight"),
        ("2026-11-03 18.2 kg " + "x" * 201, "longer than 200"),
    ],
)
def test_a_line_that_is_not_in_order_says_why(line, says):
    found, (fault,) = read(line)
    assert found == []
    assert says in fault.words


def test_every_fault_names_its_line_and_nothing_else_is_lost():
    found, faults = read("2026-11-03 18.2 kg\n\nsick\n2026-11-10 18.1 kg\n2026-11-03 18.3 kg")
    assert [(line.number, line.typed.kg) for line in found] == [(1, 18.2), (4, 18.1)]
    assert [fault.number for fault in faults] == [3, 5]
    assert "line 1" in faults[1].words
