"""What cooking leaves and what compounds hold, as published with numbers.

USDA's retention factors act on the amount in the raw portion and are not multiplied by a yield as well.
"""

import pandas as pd
import pytest

from nutrients.models import CookingYield, ElementFraction, FoodValue
from nutrients.queries import retention_table
from recipes.analysis import Portion, composition, cooked_weight
from tests.outside.examples import examples, expected

pytestmark = pytest.mark.django_db


def raw_portion(food: str, grams: float, retention_group: str) -> Portion:
    return Portion(food, grams, "in_the_pot", "muscle meat", retention_group, "raw")


@pytest.mark.parametrize("row", examples("retention"))
def test_what_cooking_leaves(row):
    table = pd.DataFrame({row["nutrient"]: [float(row["raw_amount"])]}, index=["100 g raw"])
    portion = raw_portion("100 g raw", 100, row["retention_group"])
    left = composition([portion], table, retention_table(), row["method"]).totals[row["nutrient"]]
    assert left == expected(row)


@pytest.mark.parametrize("row", examples("cooking_yields"))
def test_what_is_left_to_weigh(row):
    published = CookingYield.objects.get(food=row["food"], method=row["method"])
    portion = raw_portion(row["food"], float(row["raw_g"]), row["food"])
    yields = {(row["food"], "baked"): published.percent}
    grams, is_estimate = cooked_weight([portion], "baked", yields)
    assert grams == expected(row)
    assert is_estimate


@pytest.mark.parametrize("row", examples("element_amounts"))
def test_what_a_compound_holds(row):
    held = ElementFraction.objects.get(compound=row["compound"], nutrient__key=row["nutrient"])
    assert held.unit == "g element per g compound"
    assert held.fraction * float(row["compound_mg"]) == expected(row)


@pytest.mark.parametrize(
    ("supplement", "nutrient", "grams", "amount"),
    [
        # From standard atomic weights, by hand: CaCO3 40.078 / 100.086, C12H22ZnO14 65.38 / 455.7,
        # NaCl 22.990 / 58.44 and 35.45 / 58.44, KCl 39.098 / 74.55, choline C5H14NO 104.17 of
        # C9H19NO7 253.25, thiamine cation 265.36 of C12H17N5O4S 327.36.
        ("Calcium carbonate powder", "calcium", 1.5, 600.6),
        ("Zinc gluconate tablet, 10 mg zinc", "zinc", 0.25, 70 * 65.38 / 455.7),
        ("Salt, iodized", "sodium", 1, 393.4),
        ("Salt, plain", "chloride", 1, 606.6),
        ("Potassium chloride powder", "potassium", 1, 524.4),
        ("Choline bitartrate powder", "choline", 1, 411.3),
        ("Thiamine tablet, 10 mg", "thiamine", 0.2, 8.106),
    ],
)
def test_what_a_supplement_brings(supplement, nutrient, grams, amount):
    """mg of the element or vitamin in so many grams; one tablet where it is a tablet."""
    per_100g = FoodValue.objects.get(food__name=supplement, nutrient__key=nutrient).per_100g
    assert per_100g * grams / 100 == pytest.approx(amount, rel=0.005)
