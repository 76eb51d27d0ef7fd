"""The page that says what falls below minimum when something is left out."""

import pytest
from django.urls import reverse

from recipes import omission_queries
from recipes.queries import portions_of
from tests.cast import make_recipe, make_user
from tests.patients.feeding import WHOLE_RECIPE

pytestmark = pytest.mark.django_db


@pytest.fixture
def version(practitioner):
    return make_recipe("Turkey and barley", WHOLE_RECIPE, approved_by=practitioner)


def page_of(client, version, **asked):
    return client.get(reverse("recipes:version-omissions", args=[version.pk]), asked)


def test_a_viewer_reads_it(client, version):
    client.force_login(make_user("viewer"))
    response = page_of(client, version)
    text = response.content.decode()
    assert response.status_code == 200
    assert all(food in text for food in WHOLE_RECIPE)
    assert "Ground turkey, 85% lean, raw instead of Ground turkey, 93% lean, raw" in text
    assert "Salt, iodized" in text


def test_nobody_reads_it_without_signing_in(client, version):
    assert page_of(client, version).status_code == 302


def test_calcium_is_below_the_minimum_without_its_powder(client, version, practitioner):
    """What is left of calcium, in mg per 100 g (USDA SR28): turkey 21, barley 29, pumpkin 21, green beans 37,
    salmon 9, liver 5: 147 + 44 + 63 + 74 + 9 + 1 = 338 mg; dicalcium phosphate, 29.5 % calcium: 826 mg. The
    powder brings none. Energy by 4/9/4: turkey 1050, barley 448, pumpkin 80, beans 52, liver 26, salmon 203,
    powder 0: 1859 kcal. 1.164 / 1.859 = 0.63 g per 1000 kcal; AAFCO asks for 1.25 g.
    """
    client.force_login(practitioner)
    found = page_of(client, version).context["found"]
    powder = next(line for line in found.lines if line.food == "Calcium carbonate powder")
    [calcium] = [each for each in powder.without.worse if each.key == "calcium"]
    assert (calcium.after, calcium.word) == ("below", "Below minimum")
    assert calcium.amount_after == pytest.approx(1.164 / 1.859, rel=0.02)
    assert found.kcal == pytest.approx(1859, rel=0.02)


def test_another_profile_can_be_asked_for(client, version, practitioner):
    client.force_login(practitioner)
    assert page_of(client, version, profile="fediaf-adult-110").context["profile"].key == "fediaf-adult-110"
    assert page_of(client, version, profile="nonsense").context["profile"] == version.recipe.profile


def test_a_recipe_without_energy_says_why(client, practitioner):
    client.force_login(practitioner)
    response = page_of(client, make_recipe("Chalk", {"Calcium carbonate powder": 5}))
    assert response.status_code == 200
    assert "no energy" in response.content.decode()


def test_a_fatter_cut_is_found_in_the_food_table(version):
    portions = portions_of(version)
    [cut] = [each for food, each in omission_queries.fatter_portions(portions).items() if "turkey" in food]
    # USDA SR28, fat per 100 g: 93 % lean 8.34 g, 85 % lean 12.54 g
    assert (cut.food, cut.grams) == ("Ground turkey, 85% lean, raw", 700)
