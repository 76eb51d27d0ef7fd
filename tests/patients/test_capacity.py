"""Does a batch fit its vessel? USDA FSIS, "Slow Cookers and Food Safety": half to two-thirds full."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.units import quarts_from
from patients.capacity import describe, filling, needed


@pytest.mark.parametrize(
    ("in_pot_g", "vessel", "pots", "full", "too_empty"),
    [
        (4_000, 6, 1, 2 / 3, False),  # exactly two-thirds still goes in
        (4_001, 6, 2, 4.001 / 12, True),
        (3_000, 6, 1, 0.5, False),
        (2_900, 6, 1, 2.9 / 6, True),
        (9_000, 5, 3, 0.6, False),  # 9 litres: 3 1/3 to a pot at most
    ],
)
def test_even_pots_up_to_two_thirds(in_pot_g, vessel, pots, full, too_empty):
    found = filling(in_pot_g, vessel)
    assert (found.pots, found.too_empty) == (pots, too_empty)
    assert found.full == pytest.approx(full)


@given(in_pot_g=st.floats(10, 200_000), vessel=st.floats(0.5, 30))
def test_never_over_two_thirds_and_never_a_pot_too_many(in_pot_g, vessel):
    found = filling(in_pot_g, vessel)
    assert found.full <= 2 / 3 + 1e-9
    assert found.pots == 1 or in_pot_g / 1000 / (found.pots - 1) / vessel > 2 / 3 - 1e-9


@pytest.mark.parametrize(
    ("in_pot_g", "vessel"), [(0, 5), (1000, 0), (math.nan, 5), (1000, math.inf), (-1, 5)]
)
def test_nonsense_is_refused_with_a_sentence(in_pot_g, vessel):
    with pytest.raises(ValueError, match="must be above 0"):
        filling(in_pot_g, vessel)


def test_a_quart_is_946_millilitres():
    assert quarts_from(0.946352946) == pytest.approx(1)  # NIST SP 811, appendix B: liquid quart (US)


def test_the_size_that_is_asked_for_is_enough():
    # 6.2 litres at two-thirds need 9.3 litres; 9.3 / 0.946352946 = 9.827 quarts, told upwards
    assert "9.3 litres (9.9 quarts) or more" in needed(6.2)
    assert "9.4 litres" in needed(6.21)  # 9.315


def test_it_says_how_the_batch_is_divided():
    assert "Divide it evenly into 2 pots" in describe(filling(4_001, 6))
    assert "each is then 33 % full" in describe(filling(4_001, 6))
    assert describe(filling(3_300, 6)) == "This batch fills a pot of 6 litres (6.3 quarts) to 55 %."
