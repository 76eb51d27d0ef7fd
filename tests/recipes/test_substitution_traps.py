"""Swaps that look equal and are not, on the page where a practitioner looks for them.

Values per 100 g: USDA SR28 for foods, labels for supplements (fixtures/foods.csv, supplement_labels.csv).
"""

import pytest
from django.urls import reverse

from tests.recipes import pork

pytestmark = pytest.mark.django_db


@pytest.fixture
def version():
    return pork.make_stew()


@pytest.fixture
def look(client, viewer, version):
    client.force_login(viewer)

    def page(replaces, **asked):
        url = reverse("recipes:ingredient-substitutes", args=[version.pk, pork.food(replaces).pk])
        response = client.get(url, asked | {"all": "1"})
        rows = {row.food.name: row for row in response.context["page"].rows}
        return rows, response.content.decode()

    return page


def sentences(row):
    return [each.sentence for each in (*row.told, *row.more)]


def test_oysters_instead_of_a_zinc_tablet_ask_for_less_liver(look):
    # Two tablets: 30 mg zinc. Eastern oyster, raw: 39.3 mg zinc and 2.858 mg copper in 100 g, so 76 g bring
    # 2.2 mg copper. Beef liver: 9.755 mg in 100 g, so 22 g less of its 40 g keep the copper where it was.
    rows, html = look(pork.ZINC)
    oyster = rows[pork.OYSTER]
    assert float(oyster.grams) == pytest.approx(30 / 39.3 * 100, abs=1.5)
    assert any(sentence.startswith("Copper up") for sentence in sentences(oyster))
    assert oyster.less.food == pork.LIVER
    assert oyster.less.after_g == pytest.approx(40 - 100 * 0.01 * 2.858 * 76 / 9.755, abs=1.5)
    assert "It brings copper as well" in html


def test_oysters_have_no_iodine_value_and_the_page_says_so(look):
    rows, html = look(pork.ZINC)
    assert f"Iodine cannot be confirmed: no value in {pork.OYSTER}" in sentences(rows[pork.OYSTER])
    assert f"Iodine cannot be confirmed: no value in {pork.OYSTER}" in html


@pytest.mark.parametrize("match", ["energy", "weight"])
def test_poultry_liver_instead_of_beef_liver_lacks_copper(look, match):
    # Chicken liver 0.492 mg copper in 100 g, turkey liver 0.9 mg, beef liver 9.755 mg.
    rows, html = look(pork.LIVER, match=match)
    for liver in (pork.CHICKEN_LIVER, "Turkey liver, raw"):
        assert rows[liver].kin == "same kind"
        assert rows[liver].verdict == "not an equal swap"
        assert any(sentence.startswith("Copper falls below minimum") for sentence in sentences(rows[liver]))
    assert "Copper falls below minimum" in html


def test_iodized_salt_instead_of_kelp_brings_grams_of_sodium(look):
    # 0.9 g kelp: 540 ug iodine. Iodized salt: 45 ug iodine and 393 mg sodium in 1 g: 12 g bring 4.7 g sodium
    # into some 1950 kcal.
    rows, html = look(pork.KELP)
    salt = rows[pork.IODIZED]
    assert salt.grams == "12"
    assert salt.verdict == "not an equal swap"
    [sodium] = [sentence for sentence in sentences(salt) if sentence.startswith("Sodium")]
    grams = float(sodium.split()[1])
    assert sodium.endswith("g more per 1000 kcal")
    assert grams == pytest.approx(12 * 0.393 / 1.95, abs=0.15)
    assert sodium in html


def test_eggshell_instead_of_calcium_carbonate_is_near_equal(look):
    # 40 % against 38 % calcium: 5.1 g hold 2.04 g calcium, as 5.4 g of eggshell do.
    rows, html = look(pork.CALCIUM)
    eggshell = rows[pork.EGGSHELL]
    assert float(eggshell.grams) == pytest.approx(5.1 * 0.4 / 0.38, abs=0.051)
    assert (eggshell.verdict, sentences(eggshell)) == ("near equal", [])
    assert list(rows)[0] == pork.EGGSHELL
    assert "near equal" in html


def test_bone_meal_instead_of_calcium_carbonate_brings_phosphorus(look):
    rows, _ = look(pork.CALCIUM)
    bone = rows["Bone meal, food grade"]
    assert bone.verdict == "not an equal swap"
    assert any("phosphorus falls below minimum" in sentence for sentence in sentences(bone))
