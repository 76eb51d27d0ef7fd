"""Lines of a form as they are typed: none is lost when one is added, moved or taken out."""

import pytest

from recipes.lines import MOST_LINES, rearranged, typed_lines, with_food

TURKEY, RICE, OIL = {"food": "turkey"}, {"food": "rice"}, {"food": "oil"}
LINES = [TURKEY, RICE, OIL]


def test_lines_are_read_in_their_order_with_what_was_typed():
    data = {
        "lines-TOTAL_FORMS": "2",
        "lines-0-food": "turkey",
        "lines-0-amount": "abc",
        "lines-1-food": "",
        "title": "Pot",
    }
    assert typed_lines(data, "lines", ("food", "amount"), most=60) == [
        {"food": "turkey", "amount": "abc"},
        {"food": "", "amount": ""},
    ]


@pytest.mark.parametrize("total", ["", "x", "-3", "1.5", "9" * 5000])
def test_a_count_that_is_none_gives_no_line(total):
    assert typed_lines({"lines-TOTAL_FORMS": total}, "lines", ("food",), most=60) == []


def test_a_count_out_of_all_bounds_is_bounded():
    assert len(typed_lines({"lines-TOTAL_FORMS": "999999999"}, "lines", ("food",), most=60)) == 60


@pytest.mark.parametrize(
    ("place", "to", "lines", "goes_on_at"),
    [
        (0, 2, [RICE, OIL, TURKEY], 2),
        (2, 0, [OIL, TURKEY, RICE], 0),
        (1, 1, LINES, 1),
        (0, 3, LINES, 0),
        (0, -1, LINES, 0),
        (9, 0, LINES, 0),
    ],
)
def test_a_line_is_moved_to_a_place(place, to, lines, goes_on_at):
    assert rearranged(LINES, "move", place, to) == (lines, goes_on_at)


@pytest.mark.parametrize(
    ("action", "place", "lines", "goes_on_at"),
    [
        ("up", 1, [RICE, TURKEY, OIL], 0),
        ("down", 1, [TURKEY, OIL, RICE], 2),
        ("remove", 1, [TURKEY, OIL], 0),
        ("remove", 0, [RICE, OIL], 0),
        ("add", -1, [TURKEY, RICE, OIL, {}], 3),
        ("up", 0, LINES, 0),
        ("down", 2, LINES, 2),
        ("up", 9, LINES, 0),
        ("dance", 1, LINES, 1),
    ],
)
def test_lines_are_added_moved_and_taken_out(action, place, lines, goes_on_at):
    assert rearranged(LINES, action, place) == (lines, goes_on_at)


def test_no_line_is_added_beyond_the_most():
    full = [{"food": str(number)} for number in range(MOST_LINES)]
    assert rearranged(full, "add", -1)[0] == full
    assert with_food(full, "turkey")[0] == full


def test_a_food_goes_into_the_first_blank_line():
    blank = {"food": "", "amount": "", "when": "late"}
    assert with_food([TURKEY, blank, {}], "rice") == ([TURKEY, blank | {"food": "rice"}, {}], 1)


def test_a_food_gets_a_new_line_when_none_is_blank():
    assert with_food([TURKEY, {"amount": "7"}], "rice") == ([TURKEY, {"amount": "7"}, {"food": "rice"}], 2)
