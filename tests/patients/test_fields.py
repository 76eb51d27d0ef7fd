"""Weights as they are typed, and lists in lines. 1 lb = 0.45359237 kg (international pound)."""

import pytest
from django.core.exceptions import ValidationError

from patients.fields import LinesField, WeightField


@pytest.mark.parametrize(
    ("typed", "kg"),
    [
        (["18.4", "kg"], 18.4),
        (["18,4", "kg"], 18.4),
        ([" 18.4 ", "kg"], 18.4),
        ([".9", "kg"], 0.9),
        (["40", "lb"], 18.1436948),
        (["120", "kg"], 120.0),
        (["264.5", "lb"], 119.97518),  # 264.5 x 0.45359237
    ],
)
def test_a_weight_comes_out_in_kg(typed, kg):
    assert WeightField().clean(typed) == pytest.approx(kg, rel=1e-7)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (["", "kg"], "Enter the weight"),
        (["0", "kg"], "above 0"),
        (["-3", "kg"], "above 0"),
        (["abc", "kg"], "in figures"),
        (["nan", "kg"], "in figures"),
        (["inf", "kg"], "in figures"),
        (["1e2", "kg"], "in figures"),
        (["1_0", "kg"], "in figures"),
        (["120.1", "kg"], "at most 120 kg"),
        (["265", "lb"], "265 lb were typed"),  # 120.2 kg
        (["1,234", "kg"], "two ways: write 1234 or 1.234"),
        (["18.4", "stone"], "not one of the available choices"),
    ],
)
def test_a_weight_that_cannot_be_right_is_refused(typed, message):
    with pytest.raises(ValidationError) as refused:
        WeightField().clean(typed)
    assert message in str(refused.value)


def test_an_optional_weight_may_be_unknown():
    assert WeightField(required=False).clean(["", "lb"]) is None


def test_a_stored_weight_is_shown_in_kg():
    widget = WeightField().widget
    assert widget.decompress(18.4) == ["18.4", "kg"]
    assert widget.decompress(20.0) == ["20", "kg"]
    assert widget.decompress(None) == [None, "kg"]


def test_lines_leave_out_blanks_and_repeats():
    field = LinesField(longest=20)
    assert field.clean(" arthritis \n\n heart murmur\narthritis\r\n") == ["arthritis", "heart murmur"]
    assert field.clean("") == []


def test_a_line_that_is_too_long_is_named():
    with pytest.raises(ValidationError, match="21 characters long: at most 20"):
        LinesField(longest=20).clean("short\n" + "x" * 21)


def test_a_long_list_pasted_into_the_lines_is_refused():
    field = LinesField(longest=20)
    assert len(field.clean("\n".join(f"food {number}" for number in range(200)))) == 200
    with pytest.raises(ValidationError, match="5000 lines: enter at most 200"):
        field.clean("\n".join(f"food {number}" for number in range(5000)))
