"""When everything goes in: the rule for warm, cold and frozen food. Common practice, no source."""

from xml.etree import ElementTree

import pytest

from patients.models import Plan
from patients.services import work_out
from patients.timeline import stations
from patients.timeline_picture import draw
from tests.patients.feeding import POWDER, TURKEY, make_whole_plan

pytestmark = pytest.mark.django_db
MINERAL = "Calcium carbonate powder"


def moments(practitioner, **choices) -> dict:
    plan = make_whole_plan(practitioner, **choices)
    return {each.when: each for each in stations(work_out(plan).batch, plan.serve)}


def test_the_pot_names_foods_water_and_the_temperature_that_poultry_must_reach(practitioner):
    pot = moments(practitioner)["in_the_pot"]
    assert TURKEY in pot.goes_in
    assert "water" in pot.goes_in
    assert any("74 °C (165 °F)" in sentence for sentence in pot.watch)  # USDA FSIS: poultry 165 °F
    assert pot.hot


@pytest.mark.parametrize(
    ("serve", "frozen", "vitamins_in"),
    [
        (Plan.Serve.COLD, False, "cooled_batch"),
        (Plan.Serve.COLD, True, "in_the_bowl"),
        (Plan.Serve.REWARMED, False, "in_the_bowl"),
        (Plan.Serve.REWARMED, True, "in_the_bowl"),
    ],
)
def test_minerals_go_into_the_cooled_batch_and_vitamins_after_any_warming(
    practitioner, serve, frozen, vitamins_in
):
    found = moments(practitioner, serve=serve, frozen=frozen)
    assert MINERAL in found["cooled_batch"].goes_in
    assert POWDER in found[vitamins_in].goes_in


@pytest.mark.parametrize(("serve", "warmed"), [(Plan.Serve.REWARMED, True), (Plan.Serve.COLD, False)])
def test_warm_food_is_heated_to_165_before_the_bowl_and_cold_food_is_not(practitioner, serve, warmed):
    found = moments(practitioner, serve=serve, frozen=True)["in_the_bowl"]
    assert ("74 °C (165 °F)" in " ".join(found.watch)) == warmed  # USDA FSIS: reheat leftovers to 165 °F


def test_the_picture_holds_every_station_once_and_says_so_in_words():
    drawn = draw([
        {"when": "in_the_pot", "name": "In the <pot>", "hot": True},
        {"when": "in_the_bowl", "name": "In the bowl", "hot": False},
    ])  # fmt: skip
    picture = ElementTree.fromstring(drawn)
    names = [text.text for text in picture.iter("{http://www.w3.org/2000/svg}text")]
    assert names == ["In the <pot>", "In the bowl"]
    title = picture.find("{http://www.w3.org/2000/svg}title").text
    assert title == "When to add: In the <pot>, In the bowl."
    assert draw([]) == ""
