"""What compounds hold, against standard atomic weights as the package molmass carries them."""

import pytest
from molmass import Formula

from nutrients.models import ElementFraction, LabelForm

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
    ("form", "ester", "parent", "iu_per_mg_of_parent"),
    [
        ("retinyl acetate, its own weight", "C22H32O2", "C20H30O", 1000 / 0.3),
        ("retinyl palmitate, its own weight", "C36H60O2", "C20H30O", 1000 / 0.3),
        ("d-alpha-tocopheryl acetate, its own weight", "C31H52O3", "C29H50O2", 1.49),
        ("d-alpha-tocopheryl acid succinate, its own weight", "C33H54O5", "C29H50O2", 1.49),
        ("dl-alpha-tocopheryl acetate, its own weight", "C31H52O3", "C29H50O2", 1.1),
    ],
)
def test_an_ester_counts_for_the_vitamin_in_it(form, ester, parent, iu_per_mg_of_parent):
    """An IU is a number of molecules: IU per weight falls as the molar mass rises."""
    held = LabelForm.objects.get(form=form)
    assert held.to_unit == "IU"
    mg = held.labelled * {"mg": 1, "ug": 0.001}[held.unit]
    share = Formula(parent).mass / Formula(ester).mass
    assert held.equals / mg == pytest.approx(iu_per_mg_of_parent * share, rel=0.006)
