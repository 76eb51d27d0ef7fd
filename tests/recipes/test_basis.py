"""The bases on which amounts are shown, against the batch of `test_presentation`, by hand. No database.

25 g protein, 6 fat, 2 ash, 4 fibre, 30 NFE: 67 g dry matter and 274 kcal in 200 g as fed; 40 mg calcium.
"""

import pytest

from nutrients.adequacy import PER_1000_KCAL
from nutrients.profile_basis import PER_DM
from recipes.basis import AS_FED, PER_DAY, USUAL, basis_of, dry_matter_g, moisture_percent
from tests.nutrients.makers import UNKNOWN
from tests.recipes.test_presentation import HEN, make_analysis

PROTEIN, CALCIUM = 25 * 1000 / 274, 40 * 1000 / 274  # per 1000 kcal


def test_moisture_and_dry_matter_make_up_what_is_fed():
    analysis = make_analysis()
    assert dry_matter_g(analysis) == pytest.approx(67)
    assert moisture_percent(analysis) == pytest.approx(66.5)


def test_on_dry_matter_by_the_handbook():
    """As fed / (100 - moisture) x 100: 12.5 % protein at 66.5 % moisture; 200 mg calcium per kg as fed."""
    basis = basis_of(PER_DM, make_analysis())
    assert basis.amount(PROTEIN, "g", "protein") == pytest.approx(12.5 / (100 - 66.5) * 100)
    assert basis.amount(CALCIUM, "mg", "calcium") == pytest.approx(200 / (100 - 66.5) * 100)
    assert (basis.unit("g", "protein"), basis.unit("mg", "calcium")) == ("% DM", "mg/kg DM")
    assert "4,090 kcal per kg" in basis.caption  # 274 / 67 x 1000


def test_as_fed():
    basis = basis_of(AS_FED, make_analysis())
    assert basis.amount(PROTEIN, "g", "protein") == pytest.approx(12.5)
    assert basis.amount(CALCIUM, "mg", "calcium") == pytest.approx(20)
    assert basis.unit("g", "protein") == "g"


def test_a_day_for_a_dog():
    basis = basis_of(PER_DAY, make_analysis(), "Alder", 548.0)  # two batches
    assert basis.amount(PROTEIN, "g", "protein") == pytest.approx(50)
    assert basis.caption == "A day for Alder, 548 kcal from this recipe"


@pytest.mark.parametrize("key", [PER_DM, AS_FED, PER_DAY])
def test_a_ratio_and_the_unknown_stay_on_every_basis(key):
    basis = basis_of(key, make_analysis(), "Alder", 548.0)
    assert basis.amount(1.3, "ratio", "ca_p_ratio") == 1.3
    assert basis.unit("ratio", "ca_p_ratio") == "ratio"
    assert basis.amount(None, "g", "protein") is None


@pytest.mark.parametrize("key", [PER_1000_KCAL, "", "per_moon"])
def test_any_other_key_is_per_1000_kcal(key):
    basis = basis_of(key, make_analysis())
    assert (basis, basis.amount(7.5, "g", "protein")) == (USUAL, 7.5)


def test_dry_matter_is_unknown_while_a_part_of_it_is():
    analysis = make_analysis(hen=HEN | {"ash": UNKNOWN})
    assert (dry_matter_g(analysis), moisture_percent(analysis)) == (None, None)
    with pytest.raises(ValueError, match="Dry matter is not known: .* in hen"):
        basis_of(PER_DM, analysis)


@pytest.mark.parametrize(("dog", "said"), [("", "Choose a dog"), ("Alder", "Alder has no plan")])
def test_a_day_needs_a_dog_whose_energy_is_known(dog, said):
    with pytest.raises(ValueError, match=said):
        basis_of(PER_DAY, make_analysis(), dog)
