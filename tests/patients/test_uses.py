"""Which plans a food goes into."""

import pytest

from nutrients.models import Food
from patients.models import Plan
from patients.uses import in_plans
from tests import cast

pytestmark = pytest.mark.django_db

LIVER = "Beef liver, raw"


@pytest.fixture
def liver():
    return Food.objects.get(name=LIVER)


@pytest.mark.parametrize(
    ("state", "where"),
    [(Plan.State.DRAFT, ["draft"]), (Plan.State.ISSUED, ["issued"]), (Plan.State.ENDED, [])],
)
def test_plans_that_have_not_ended(liver, state, where):
    plan = cast.make_plan(cast.make_patient(), cast.make_recipe("Stew", {LIVER: 30}), state=state)
    uses = in_plans(liver)
    assert [use.where for use in uses] == where
    assert all((use.label, use.url) == ("Juniper: Stew, version 1", plan.get_absolute_url()) for use in uses)


def test_plans_without_it_are_left_out(liver):
    cast.make_plan(cast.make_patient(), cast.make_recipe())
    assert in_plans(liver) == []


def test_the_foods_page_names_recipe_and_plan(signed_in, liver):
    cast.make_plan(cast.make_patient(), cast.make_recipe("Stew", {LIVER: 30}))
    shown = signed_in.get(liver.get_absolute_url()).content.decode()
    for words in ("<h3>Recipes</h3>", "<h3>Plans</h3>", "Juniper: Stew, version 1", "30 g, in the pot"):
        assert words in shown
