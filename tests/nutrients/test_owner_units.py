"""Weights, temperatures and volumes in the owner's units; figures worked out by hand from NIST's factors."""

import pytest

from nutrients.language import speaking
from nutrients.owner_units import body, heat, measuring, ounces, volume, water, weight

# NIST SP 811, appendix B: 1 oz (avoirdupois) = 28.34952 g, 1 lb = 453.5924 g, 1 cup (US) = 0.2365882 l,
# 1 quart (US liquid) = 0.9463529 l.


@pytest.mark.parametrize(
    ("grams", "metric", "us"),
    [
        (620, "620 g", "1 lb 5.9 oz (620 g)"),  # 620 / 28.34952 = 21.87 oz
        (206, "206 g", "7.3 oz (206 g)"),  # 7.27 oz
        (453.5924, "454 g", "1 lb (454 g)"),
        (28.4, "28.4 g", "1 oz (28.4 g)"),
        (6.3, "6.3 g", "6.3 g"),  # less than an ounce: in grams alone
        (1234, "1,234 g", "2 lb 11.5 oz (1,234 g)"),  # 43.53 oz
    ],
)
def test_ounces_stand_beside_grams_and_never_alone(grams, metric, us):
    assert weight(grams) == metric
    with measuring("us"):
        assert weight(grams) == us


def test_tenths_of_an_ounce_move_a_weight_by_less_than_two_grams():
    for grams in range(29, 3000, 7):
        told = ounces(grams)
        found = dict(reversed(part) for part in zip(*[iter(told.split())] * 2, strict=True))
        back = float(found.get("lb", 0)) * 453.5924 + float(found.get("oz", 0)) * 28.34952
        assert back == pytest.approx(grams, abs=1.5)  # half of a tenth of an ounce is 1.42 g


def test_a_temperature_a_dog_and_a_pot_tell_the_owners_unit_first():
    assert (heat(74), heat(-18)) == ("74 °C (165 °F)", "-18 °C (0 °F)")
    assert (body(18.4), volume(6)) == (("18.4 kg", "40.6 lb"), "6 litres (6.3 quarts)")
    with measuring("us"):
        assert (heat(74), heat(-18)) == ("165 °F (74 °C)", "0 °F (-18 °C)")
        assert (body(18.4), volume(6)) == (("40.6 lb", "18.4 kg"), "6.3 quarts (6 litres)")
        assert volume(6.01, upwards=True) == "6.4 quarts (6.1 litres)"  # 6.01 / 0.9463529 = 6.351


def test_water_is_measured_in_millilitres_or_in_quarter_cups():
    assert water(650) == "650 ml"
    with measuring("us"):
        assert (water(650), water(20)) == ("2.75 US cups", "0.25 US cups")  # 650 / 236.5882 = 2.747


def test_the_language_writes_the_numbers():
    with speaking("de"), measuring("us"):
        assert (weight(1234), heat(74), volume(6)) == (
            "2 lb 11,5 oz (1.234 g)", "165 °F (74 °C)", "6,3 Quarts (6 Liter)",
        )  # fmt: skip


def test_units_that_nobody_uses_here_are_refused():
    with pytest.raises(ValueError, match="choose one of metric, us"), measuring("stone"):
        pass
