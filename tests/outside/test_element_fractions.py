"""What compounds hold, against standard atomic weights as the package molmass carries them."""

import pytest
from molmass import Formula

from nutrients.models import ElementFraction

pytestmark = pytest.mark.django_db

SYMBOLS = {
    "calcium": "Ca",
    "phosphorus": "P",
    "zinc": "Zn",
    "copper": "Cu",
    "manganese": "Mn",
    "iron": "Fe",
    "iodine": "I",
    "selenium": "Se",
    "magnesium": "Mg",
    "potassium": "K",
    "chloride": "Cl",
    "sodium": "Na",
}
# What counts as the vitamin in its salts: the thiamine and choline cations, pyridoxine, pantothenic acid.
ACTIVE_FORMS = {
    "thiamine": "C12H17N4OS",
    "choline": "C5H14NO",
    "vitamin_b6": "C8H11NO3",
    "pantothenic_acid": "C9H17NO5",
}
ACTIVE_FORMS_PER_MOLECULE = {"calcium D-pantothenate": 2}
FOUR_DECIMALS = 0.5e-4 + 1e-6


def fractions(unit: str):
    return ElementFraction.objects.filter(unit=unit).exclude(formula="").select_related("nutrient")


def test_elements_follow_from_the_formula():
    checked = fractions("g element per g compound")
    assert len(checked) > 50
    for held in checked:
        symbol = SYMBOLS[held.nutrient.key]
        share = Formula(held.formula).composition()[symbol].fraction
        assert held.fraction == pytest.approx(share, abs=FOUR_DECIMALS), str(held)


def test_vitamins_follow_from_their_active_form():
    # Niacinamide counts as niacin weight by weight, by convention.
    checked = fractions("g active form per g compound").exclude(nutrient__key="niacin")
    assert len(checked) == 6
    for held in checked:
        active = Formula(ACTIVE_FORMS[held.nutrient.key]).mass
        molecules = ACTIVE_FORMS_PER_MOLECULE.get(held.compound, 1)
        share = molecules * active / Formula(held.formula).mass
        assert held.fraction == pytest.approx(share, abs=2 * FOUR_DECIMALS), str(held)


def test_no_formula_is_left_unchecked():
    units = {"g element per g compound", "g active form per g compound"}
    others = ElementFraction.objects.exclude(formula="").exclude(unit__in=units)
    weighed = {held.compound for held in others if held.unit.startswith("g ")}
    assert weighed == {"iodised table salt"}
    salt = others.get(compound="iodised table salt")
    assert salt.fraction == pytest.approx(Formula("NaCl").composition()["Na"].fraction, abs=FOUR_DECIMALS)


@pytest.mark.parametrize(
    ("ester", "parent"),
    [
        ("retinyl acetate", "retinol"),
        ("retinyl palmitate", "retinol"),
        ("d-alpha-tocopheryl acetate (natural)", "d-alpha-tocopherol (natural, free)"),
        ("d-alpha-tocopheryl acid succinate (natural)", "d-alpha-tocopherol (natural, free)"),
    ],
)
def test_an_ester_counts_for_the_vitamin_in_it(ester, parent):
    """An IU is a number of molecules: weight per IU rises, and IU per weight falls, with the molar mass."""
    held = ElementFraction.objects.get(compound=ester)
    of_parent = ElementFraction.objects.get(compound=parent)
    heavier = Formula(held.formula).mass / Formula(of_parent.formula).mass
    share = of_parent.fraction * heavier if held.unit == "ug per IU" else of_parent.fraction / heavier
    assert held.fraction == pytest.approx(share, rel=0.005)
