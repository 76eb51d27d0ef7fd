"""What labels state, against published factors.

NIH ODS: Office of Dietary Supplements, fact sheets for health professionals. 21 CFR 101.9(c)(8)(iv): the
daily values and their footnotes. Both from memory.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients import labels, queries
from nutrients.labels import Basis, Form, Reading
from nutrients.models import LabelForm, Nutrient
from nutrients.units import convert
from tests.nutrients.entries import FORMS, NATURAL, VITAMIN_E, ZINC, Measured

SYNTHETIC = "synthetic (dl-, all-rac-)"
RETINOL = "retinol, retinyl acetate or retinyl palmitate"
D3 = "cholecalciferol (D3)"
AMOUNTS = st.floats(min_value=1e-6, max_value=1e6)


def read(amount, unit, form, key) -> Reading:
    """As the program reads it, with the forms of its tables."""
    return labels.read(amount, unit, form, Nutrient.objects.get(key=key), queries.label_forms())


# ---- the tables, against what is published ----


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("amount", "unit", "form", "key", "expected"),
    [
        # NIH ODS, vitamin E: 15 mg = 22.4 IU natural; 1 IU natural = 0.67 mg, 1 mg = 1.49 IU.
        (22.4, "IU", NATURAL, "vitamin_e", 15),
        (1, "IU", NATURAL, "vitamin_e", 0.67),
        (15, "mg", NATURAL, "vitamin_e", 15),
        # NIH ODS, vitamin E: 1 mg synthetic = 2.22 IU; what 100 IU of it weigh as natural: 100 / 1.49.
        (45.05, "mg", SYNTHETIC, "vitamin_e", 67.1),
        (100, "IU", SYNTHETIC, "vitamin_e", 67.1),
        # NIH ODS, vitamin A: 1 IU retinol = 0.3 ug RAE; 900 ug RAE = 3000 IU.
        (3000, "IU", RETINOL, "retinol", 900),
        (900, "ug RAE", RETINOL, "retinol", 900),
        # NIH ODS, vitamin A: 1 ug RAE = 2 ug supplemental or 12 ug dietary beta-carotene;
        # 1 IU supplemental = 0.3 ug RAE = 0.6 ug, 1 IU dietary = 0.05 ug RAE = 0.6 ug.
        (1, "ug RAE", "beta-carotene added", "beta_carotene", 2),
        (1, "ug RAE", "beta-carotene of the food itself", "beta_carotene", 12),
        (1, "IU", "beta-carotene added", "beta_carotene", 0.3 * 2),
        (1, "IU", "beta-carotene of the food itself", "beta_carotene", 0.05 * 12),
        # NIH ODS, vitamin D: 15 ug = 600 IU.
        (15, "ug", D3, "vitamin_d", 600),
        (15, "ug", "", "vitamin_d", 600),
        (600, "IU", D3, "vitamin_d", 600),
        (0.02, "mg", "ergocalciferol (D2)", "vitamin_d", 800),
        # 21 CFR 101.9: 400 ug folic acid are 680 ug DFE; NIH ODS, folate: 1 ug DFE = 0.6 ug folic acid.
        (680, "ug DFE", "folic acid added", "folate", 400),
        (1, "ug DFE", "folic acid added", "folate", 0.59),
        (50, "ug DFE", "folate of the food itself", "folate", 50),
        (400, "ug", "", "folate", 400),
        # NIH ODS, choline: choline bitartrate is 41 % choline by weight.
        (500, "mg", "choline bitartrate", "choline", 205),
        (1000, "mg", "choline chloride", "choline", 746),  # C5H14NO+ 104.17 of C5H14ClNO 139.62
        # NIH ODS, zinc: zinc gluconate is 14.3 %, zinc sulfate heptahydrate 23 % zinc.
        (50, "mg", "", "zinc", 50),
        (50, "mg", "zinc gluconate, anhydrous", "zinc", 7.17),
        (220, "mg", "zinc sulfate heptahydrate", "zinc", 50),
        # Cations of C12H18Cl2N4OS 337.27 and C12H17N5O4S 327.36: C12H17N4OS 265.36.
        (100, "mg", "thiamine hydrochloride", "thiamine", 78.7),
        (100, "mg", "thiamine mononitrate", "thiamine", 81.1),
        # NIH ODS, niacin: niacinamide counts weight by weight; 1 mg NE = 1 mg niacin.
        (20, "mg", "niacinamide", "niacin", 20),
        (20, "mg NE", "niacin or niacinamide added", "niacin", 20),
        # KI: 126.904 of 166.003.
        (196.25, "ug", "potassium iodide", "iodine", 150),
        (180, "mg", "", "epa", 0.18),
        (0.12, "g", "", "dha", 0.12),
        (1000, "kJ", "", "energy", 239),  # 4.184 kJ per kcal
    ],
)
def test_a_labelled_amount_is_read(amount, unit, form, key, expected):
    assert read(amount, unit, form, key).amount == pytest.approx(expected, rel=0.01)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("form", "iu_per_mg"),
    [
        # USP units (from memory); all are IU per mg of what is weighed.
        ("d-alpha-tocopheryl acetate, its own weight", 1.36),
        ("d-alpha-tocopheryl acid succinate, its own weight", 1.21),
        ("dl-alpha-tocopherol, its own weight", 1.1),
        ("dl-alpha-tocopheryl acetate, its own weight", 1.0),
        (SYNTHETIC, 2.22),
        (NATURAL, 1.49),
    ],
)
def test_a_weight_of_vitamin_e_gives_back_its_iu(form, iu_per_mg):
    """Vitamin E is kept so that the kept amount x 1.49 is the IU."""
    assert read(100, "mg", form, "vitamin_e").amount * 1.49 == pytest.approx(100 * iu_per_mg)


@pytest.mark.django_db
def test_a_panel_of_synthetic_vitamin_e_agrees_with_the_regulation():
    """21 CFR 101.9: 1 mg on the label = 2 mg all-rac-alpha-tocopherol, of which 1 mg has 1.1 IU."""
    panel = read(1, "mg", SYNTHETIC, "vitamin_e").amount
    weighed = read(2, "mg", "dl-alpha-tocopherol, its own weight", "vitamin_e").amount
    assert panel == pytest.approx(weighed, rel=0.01)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("unit", "form", "key", "said"),
    [
        ("IU", "", "vitamin_e", "IU of vitamin E means nothing without its form: choose natural"),
        ("mg", "", "vitamin_e", "mg of vitamin E means nothing without its form"),
        ("IU", "", "vitamin_d", "choose cholecalciferol"),
        ("IU", "", "retinol", "IU of retinol means nothing without its form"),
        ("IU", "", "beta_carotene", "beta-carotene added; beta-carotene of the food itself"),
        ("ug DFE", "", "folate", "ug DFE of folate means nothing without its form"),
        ("ug RAE", "", "retinol", "without its form"),
        ("IU", "", "zinc", "IU has no meaning for zinc"),
        ("IU", "zinc oxide", "zinc", "Zinc as zinc oxide is not stated in IU"),
        ("mg", "zinc powder", "zinc", "Zinc as zinc powder is not stated in mg"),
        ("mg", "kelp or other seaweed, its own weight", "iodine", "differ 500-fold"),
        ("mg NE", "niacin of the food itself", "niacin", "tryptophan"),
        ("mg", "copper(II) oxide (poorly available, do not count)", "copper", "poorly available"),
        ("g", "", "energy", "g cannot be turned into kcal"),
    ],
)
def test_what_could_mean_anything_is_refused(unit, form, key, said):
    with pytest.raises(ValueError, match=".") as refusal:
        read(10, unit, form, key)
    assert said in str(refusal.value)


@pytest.mark.django_db
def test_every_form_of_the_table_is_read_or_says_why_not():
    for row in LabelForm.objects.select_related("nutrient"):
        if row.equals is None:
            with pytest.raises(ValueError, match=".") as refusal:
                read(1, row.unit, row.form, row.nutrient.key)
            assert str(refusal.value) == row.note != ""
        else:
            assert read(1, row.unit, row.form, row.nutrient.key).amount > 0
        row.full_clean()


@pytest.mark.django_db
def test_no_typical_product_is_offered_as_if_it_were_a_compound():
    offered = {form.name for form in queries.label_forms()}
    assert "zinc oxide" in offered
    assert not {name for name in offered if "typical" in name or "eggshell" in name or "table salt" in name}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("amount", "unit", "form", "key", "words"),
    [
        (400, "IU", NATURAL, "vitamin_e", "400 IU / 1.49 = 268.5 mg alpha-tocopherol"),
        (
            45,
            "mg",
            SYNTHETIC,
            "vitamin_e",
            f"45 mg {SYNTHETIC} x 2.22 = 99.9 IU / 1.49 = 67.05 mg alpha-tocopherol",
        ),
        (5000, "IU", RETINOL, "retinol", "5000 IU x 0.3 = 1500 ug retinol"),
        (680, "ug DFE", "folic acid added", "folate", "680 ug DFE / 1.7 = 400 ug folic acid"),
        (80, "mg", "zinc gluconate, anhydrous", "zinc",
         "80 mg zinc gluconate, anhydrous x 0.1435 = 11.48 mg zinc"),
        (180, "mg", "", "epa", "180 mg / 1000 = 0.18 g EPA (n-3)"),
        (15, "mg", "", "zinc", "15 mg zinc, as stated"),
        (0, "mg", "zinc oxide", "zinc", "0 mg zinc, as stated"),
    ],
)  # fmt: skip
def test_the_conversion_is_said_in_words(amount, unit, form, key, words):
    assert read(amount, unit, form, key).words == words


# ---- there and back ----


@given(amount=AMOUNTS)
def test_iu_there_and_back(amount):
    kept = labels.read(amount, "IU", NATURAL, VITAMIN_E, FORMS).amount
    assert convert(kept, "mg", "IU", "vitamin_e") == pytest.approx(amount, rel=1e-9)


@given(amount=AMOUNTS, unit=st.sampled_from(["g", "mg", "ug"]))
def test_a_weight_there_and_back(amount, unit):
    kept = labels.read(amount, unit, "", ZINC, FORMS).amount
    assert convert(kept, "mg", unit) == pytest.approx(amount, rel=1e-9)


@given(amount=AMOUNTS, unit=st.sampled_from(["g", "mg", "ug"]))
def test_a_compound_there_and_back(amount, unit):
    kept = labels.read(amount, unit, "zinc oxide", ZINC, FORMS).amount
    assert convert(kept, "mg", unit) / 0.8034 == pytest.approx(amount, rel=1e-9)


@given(amount=AMOUNTS, grams=st.floats(min_value=1e-3, max_value=1e4))
def test_100_g_there_and_back(amount, grams):
    found = labels.in_100g(Reading(amount, ""), labels.per_serving(grams), "mg").amount
    assert found * grams / 100 == pytest.approx(amount, rel=1e-9)


# ---- the weight that the amounts stand in ----


@pytest.mark.parametrize(
    ("basis", "per_100g"),
    [
        (labels.PER_100_G, 6),
        (labels.per_serving(40), 15),
        (labels.per_100_ml(0.92), 6 / 0.92),
        (labels.per_dose_unit("capsule", 0.5), 1200),
        (labels.per_dose_unit("g", 1), 600),
        (labels.per_dose_unit("drop", 0.03), 20_000),
    ],
)
def test_amounts_are_brought_to_100_g(basis, per_100g):
    assert labels.in_100g(Reading(6, "6 mg"), basis, "mg").amount == pytest.approx(per_100g)


def test_the_weight_is_said_in_words():
    reading = Reading(6, "6 mg zinc, as stated")
    capsule = labels.in_100g(reading, labels.per_dose_unit("capsule", 0.5), "mg")
    assert capsule.words == "6 mg zinc, as stated, in 1 capsule of 0.5 g: 1200 mg in 100 g"
    oil = labels.in_100g(reading, labels.per_100_ml(0.8), "mg")
    assert oil.words.endswith(", in 100 ml x 0.8 g/ml = 80 g: 7.5 mg in 100 g")
    assert labels.in_100g(reading, labels.PER_100_G, "mg") is reading


@pytest.mark.parametrize("grams", [0, -1, math.nan, math.inf])
def test_a_serving_weighs_something(grams):
    with pytest.raises(ValueError, match="must be a number above 0 g"):
        labels.per_serving(grams)
    with pytest.raises(ValueError, match="must be a number above 0 g"):
        labels.per_dose_unit("tablet", grams)


@pytest.mark.parametrize("density", [0, 0.1, 3.1, 92, math.nan, math.inf, -1])
def test_a_density_is_that_of_a_food(density):
    """92 is 0.92 with a slip of the decimal point."""
    with pytest.raises(ValueError, match="cannot be right"):
        labels.per_100_ml(density)


@pytest.mark.parametrize("amount", [-1, math.nan, math.inf])
@pytest.mark.parametrize("unit", ["mg", "g", "IU"])
def test_what_is_no_amount_is_refused(amount, unit):
    with pytest.raises(ValueError, match="number of 0 or more"):
        labels.read(amount, unit, NATURAL if unit == "IU" else "half as active", VITAMIN_E, FORMS)


def test_a_refused_form_is_not_among_those_to_choose():
    with pytest.raises(ValueError, match="Zinc dust is not for eating"):
        labels.read(1, "mg", "zinc dust", ZINC, FORMS)
    needed = Measured("vitamin_e", "Vitamin E", "mg")
    with pytest.raises(ValueError, match="choose half as active.$"):
        labels.read(1, "g", "", needed, [*FORMS, Form("vitamin_e", "burnt", "mg", 1, None, "", note="No.")])


def test_units_to_choose_from():
    assert labels.units_of(ZINC, FORMS) == ["mg", "g", "ug"]
    assert labels.units_of(VITAMIN_E, FORMS) == ["mg", "g", "ug", "IU"]
    assert labels.units_of(Measured("energy", "Energy", "kcal"), FORMS) == ["kcal", "kJ"]
    assert labels.guarantee_units_of(ZINC, FORMS) == ["%", "g/kg", "mg/kg", "ug/kg"]
    assert labels.guarantee_units_of(VITAMIN_E, FORMS)[-1] == "IU/kg"


# ---- numbers in words ----


@pytest.mark.parametrize(
    ("amount", "written"),
    [(0, "0"), (268.4563, "268.5"), (0.000123456, "0.0001235"), (53691.275, "53691"), (1e6, "1000000")],
)
def test_figures(amount, written):
    assert labels.figure(amount) == written


@pytest.mark.parametrize(
    ("factor", "written"),
    [(0.3, "x 0.3"), (1 / 1.49, "/ 1.49"), (1 / 1.7, "/ 1.7"), (1000, "x 1000"), (0.001, "/ 1000")],
)
def test_factors_are_said_the_short_way(factor, written):
    assert labels.times(factor) == written


def test_a_basis_can_be_any_weight():
    assert labels.in_100g(Reading(5, ""), Basis(1000, "1 kg"), "g").amount == 0.5
