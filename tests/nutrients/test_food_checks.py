"""What is impossible about an entered food, and what is only unlikely."""

import math

import pandas as pd
import pytest

from nutrients import queries
from nutrients.food_checks import check, check_bounds
from nutrients.models import Food, Nutrient

UNITS = {
    "energy": "kcal",
    "vitamin_d": "IU",
    "calcium": "mg",
    "zinc": "mg",
    "selenium": "ug",
}
NAMES = {"fiber": "Fibre", "epa": "EPA (n-3)"}


class Measured:
    def __init__(self, key):
        self.key, self.name, self.unit = key, NAMES.get(key, key.capitalize()), UNITS.get(key, "g")


KEYS = [
    "energy", "water", "protein", "fat", "ash", "carbohydrate", "fiber", "saturated_fat",
    "monounsaturated_fat", "polyunsaturated_fat", "linoleic_acid", "lysine", "leucine", "methionine",
    "calcium", "zinc", "selenium", "vitamin_d",
]  # fmt: skip
NUTRIENTS = {key: Measured(key) for key in KEYS}
MEDIANS = pd.DataFrame({"zinc": [4.0], "calcium": [0.0], "selenium": [math.nan]}, index=["muscle meat"])
# 100 g: 70 + 20 + 8 + 1 + 1 = 100; 4 x 20 + 9 x 8 + 4 x 1 = 156 kcal.
PLAIN = {"water": 70, "protein": 20, "fat": 8, "ash": 1, "carbohydrate": 1, "energy": 156}


def found(values, group="muscle meat"):
    return check(values, group, MEDIANS, NUTRIENTS)


def messages(values, group="muscle meat"):
    return [finding.message for finding in found(values, group)]


def test_a_plain_food_passes():
    assert found(PLAIN | {"zinc": 5, "saturated_fat": 3, "lysine": 1.8, "fiber": 1}) == []


def test_little_that_is_known_passes():
    assert found({"protein": 20, "fat": 8, "water": 70}) == []
    assert found({}) == []


@pytest.mark.parametrize(
    ("nutrient", "value", "said"),
    [
        ("zinc", -1, "0 or more, not -1"),
        ("zinc", math.nan, "0 or more"),
        ("energy", math.inf, "0 or more"),
        ("protein", 100.5, "100.5 g of protein cannot be in 100 g"),
        ("calcium", 100_001, "100 g of calcium cannot be in 100 g"),
        ("selenium", 2e8, "200 g of selenium cannot"),
        ("water", 101, "101 g of water"),
    ],
)
def test_impossible_values_are_errors_at_their_nutrient(nutrient, value, said):
    [finding] = found(PLAIN | {nutrient: value})
    assert finding.impossible
    assert finding.nutrient == nutrient
    assert said in finding.message


def test_pure_substances_are_possible():
    assert found({"fat": 100}) == []
    assert found({"calcium": 40_040, "ash": 100}) == []
    assert found({"vitamin_d": 4e9}) == []  # IU are no weight


@pytest.mark.parametrize(
    ("values", "nutrient", "said"),
    [
        ({"fat": 8, "saturated_fat": 9}, "saturated_fat", "Saturated_fat: 9 g, but only 8 g fat in all."),
        (
            {"fat": 8, "saturated_fat": 3, "monounsaturated_fat": 4, "polyunsaturated_fat": 2},
            "saturated_fat",
            "The parts of the fat together: 9 g, but only 8 g fat in all.",
        ),
        ({"polyunsaturated_fat": 2, "linoleic_acid": 3}, "linoleic_acid", "only 2 g polyunsaturated_fat"),
        ({"protein": 10, "lysine": 13}, "lysine", "Lysine: 13 g, but only 10 g protein in all."),
        ({"protein": 10, "lysine": 6, "leucine": 7}, "leucine", "parts of the protein together: 13 g"),
        ({"carbohydrate": 5, "fiber": 6}, "fiber", "Fibre: 6 g, but only 5 g carbohydrate in all."),
    ],
)
def test_a_part_above_its_whole_is_impossible(values, nutrient, said):
    [finding] = found(values)
    assert finding.impossible
    assert finding.nutrient == nutrient
    assert said in finding.message


def test_rounding_and_free_amino_acids_are_allowed_for():
    assert found({"fat": 8, "saturated_fat": 8.4}) == []
    assert found({"protein": 10, "lysine": 12}) == []  # 12 = 10 x 1.2
    assert found({"protein": 58.7, "methionine": 100}, group="amino acid supplement") == []


@pytest.mark.parametrize(
    ("change", "total"),
    [({"water": 75.1}, "105.1"), ({"water": 64.9}, "94.9")],
)
def test_parts_that_do_not_add_up_are_a_warning(change, total):
    [finding] = found(PLAIN | change)
    assert not finding.impossible
    assert f"add up to {total} g in 100 g" in finding.message


@pytest.mark.parametrize("water", [65, 75])
def test_parts_from_95_to_105_g_pass(water):
    assert found(PLAIN | {"water": water}) == []


def test_what_is_known_may_already_be_too_much_but_never_too_little():
    assert messages({"water": 80, "protein": 26}) == [
        "Water, protein add up to 106 g in 100 g: usual is 95 to 105 g."
    ]
    assert found({"water": 20, "protein": 20}) == []


@pytest.mark.parametrize(("energy", "warned"), [(180, True), (179, False), (133, False), (132, True)])
def test_energy_far_from_4_9_4_is_a_warning(energy, warned):
    """156 kcal by 4/9/4: 15 % are 23.4 kcal, so 132.6 to 179.4."""
    findings = found(PLAIN | {"energy": energy})
    assert bool(findings) == warned
    if warned:
        assert "make 156 kcal by 4/9/4" in findings[0].message
        assert not findings[0].impossible


def test_energy_may_count_fibre_or_not():
    """Bran: carbohydrate 60 of which fibre 40: 4 x 15 + 9 x 4 + 4 x 60 = 336 with and 176 without."""
    bran = {"protein": 15, "fat": 4, "carbohydrate": 60, "fiber": 40}
    assert found(bran | {"energy": 216}) == []
    assert messages(bran | {"energy": 390}) != []
    assert messages(bran | {"energy": 145}) != []


def test_energy_in_kilojoules_by_mistake_is_noticed():
    assert messages(PLAIN | {"energy": 156 * 4.184}) != []


def test_a_trace_of_energy_is_not_compared():
    assert found({"protein": 0.5, "fat": 0, "carbohydrate": 1, "energy": 4}) == []


@pytest.mark.parametrize(
    ("zinc", "warned"), [(400, True), (399, False), (4000, True), (0.04, True), (0.041, False), (0, False)]
)
def test_a_hundred_times_the_usual_is_a_warning(zinc, warned):
    findings = found(PLAIN | {"zinc": zinc})
    assert [finding.nutrient for finding in findings] == (["zinc"] if warned else [])
    assert not any(finding.impossible for finding in findings)


def test_the_usual_amount_is_said():
    assert messages({"zinc": 4000}) == [
        "Zinc: 4000 mg is 1000 times the usual 4 mg of “muscle meat”. Was another unit meant?"
    ]
    assert messages({"zinc": 0.004})[0].startswith("Zinc: 0.004 mg is 1/1000 of the usual 4 mg")


def test_without_a_usual_amount_nothing_is_compared():
    assert found({"calcium": 500, "selenium": 9000}) == []  # the median is 0, or not known
    assert found({"zinc": 4000}, group="moon dust") == []


def test_bounds_are_checked_alone_and_in_sum():
    assert check_bounds({"protein": (8, None), "water": (None, 78), "fat": (5, 9)}, NUTRIENTS) == []
    [finding] = check_bounds({"protein": (None, 101)}, NUTRIENTS)
    assert (finding.nutrient, finding.impossible) == ("protein", True)
    [finding] = check_bounds({"protein": (60, None), "fat": (41, None), "water": (None, 78)}, NUTRIENTS)
    assert finding.message == "The minima add up to 101 g in 100 g."
    assert finding.impossible


@pytest.mark.django_db
def test_no_published_food_is_called_impossible():
    """USDA's tables are what is possible; four in a hundred foods stand far from their group all the same."""
    table = queries.food_table().drop(columns="nfe")
    foods = Food.objects.filter(source__startswith="USDA").values_list("name", "group")
    nutrients = {nutrient.key: nutrient for nutrient in Nutrient.objects.all()}
    medians = queries.group_medians()
    findings = {
        name: check(table.loc[name].dropna().to_dict(), group, medians, nutrients) for name, group in foods
    }
    assert not [name for name, said in findings.items() if any(finding.impossible for finding in said)]
    assert sum(bool(said) for said in findings.values()) < 0.15 * len(findings)


@pytest.mark.django_db
def test_the_usual_amount_is_the_median_of_the_group_without_estimates():
    names = Food.objects.filter(group="egg").values_list("name", flat=True)
    by_hand = sorted(queries.food_table().loc[list(names), "zinc"])
    assert queries.group_medians().at["egg", "zinc"] == by_hand[len(by_hand) // 2]
    assert len(by_hand) % 2 == 1
