"""Taking a proposal over, whole or line by line: what is stored is what was shown."""

import pytest
from django.core.exceptions import ValidationError

from nutrients.models import Food
from recipes import queries, services
from recipes.models import KitchenStep
from recipes.reformulate_acceptance import LONGEST_NOTE, accept, note
from recipes.reformulate_offer import as_text, from_text
from recipes.reformulate_page import AS_IT_IS, change_in_words, line_rows, mixture
from recipes.reformulate_start import start_of
from tests import cast
from tests.recipes.form_data import CALCIUM, RICE, TURKEY, VITAMIN_E
from tests.recipes.reformulations import keys_of, make_offer

pytestmark = pytest.mark.django_db


@pytest.fixture
def version():
    made = cast.make_recipe(
        amounts={TURKEY: 500, RICE: 200, VITAMIN_E: 0.3}, cooked_weight_g=900, vessel="6-litre pot"
    )
    made.ingredients.filter(food__name=RICE).update(note="rinsed", step_g=10)
    KitchenStep.objects.create(version=made, text="Simmer.", minutes=20, temperature_c=74)
    return made


@pytest.fixture
def offer(version):
    return make_offer(version, after={TURKEY: 430, RICE: 220, CALCIUM: 3.3})


def stored(version):
    return dict(version.ingredients.values_list("food__name", "grams"))


def test_the_whole_proposal_is_stored_as_it_was_shown(version, offer, staff):
    saved = accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=staff)
    assert saved == version
    assert stored(saved) == {TURKEY: 430, RICE: 220, VITAMIN_E: 0.3, CALCIUM: 3.3}
    assert saved.author == staff


def test_only_what_is_ticked_is_stored(version, offer, staff):
    taken = keys_of(offer, TURKEY, CALCIUM)
    saved = accept(start=start_of(version, {}), offer=offer, taken=taken, words="", by=staff)
    assert stored(saved) == {TURKEY: 430, RICE: 200, VITAMIN_E: 0.3, CALCIUM: 3.3}


def test_a_line_that_comes_to_nothing_is_left_out(version, staff):
    offer = make_offer(version, after={VITAMIN_E: 0})
    saved = accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=staff)
    assert stored(saved) == {TURKEY: 500, RICE: 200}
    assert saved.note == f"Reformulated: {VITAMIN_E} left out"


def test_steps_notes_and_particulars_stay_but_for_the_cooked_weight(version, offer, staff):
    saved = accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=staff)
    step = saved.kitchen_steps.get()
    assert (step.text, step.minutes, step.temperature_c) == ("Simmer.", 20, 74)
    rice = saved.ingredients.get(food__name=RICE)
    assert (rice.note, rice.step_g) == ("rinsed", 10)
    assert (saved.method, saved.vessel) == (version.method, "6-litre pot")
    assert saved.cooked_weight_g is None  # it was weighed for other amounts


def test_an_approved_version_stays_and_the_next_one_is_made(practitioner, staff):
    approved = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
    offer = make_offer(approved, after={TURKEY: 450})
    saved = accept(start=start_of(approved, {}), offer=offer, taken=keys_of(offer), words="", by=staff)
    assert (saved.number, saved.approved, saved.recipe.state) == (2, False, "draft")
    assert (stored(approved), stored(saved)) == ({TURKEY: 500}, {TURKEY: 450})


def test_what_changed_meanwhile_is_not_written_over(version, offer, staff):
    version.ingredients.filter(food__name=RICE).update(grams=333)
    with pytest.raises(ValidationError, match="changed this recipe"):
        accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=staff)
    assert stored(version)[RICE] == 333


def test_nothing_ticked_is_nothing_to_save(version, offer, staff):
    with pytest.raises(ValidationError, match="Nothing is ticked"):
        accept(start=start_of(version, {}), offer=offer, taken=[], words="", by=staff)


def test_a_food_that_was_deleted_meanwhile_is_told(version, staff):
    food = Food.objects.create(name="Moon barley", group="grain & starch", state="dried", source="invented")
    offer = make_offer(version, after={"Moon barley": 40})
    food.delete()
    with pytest.raises(ValueError, match="deleted meanwhile"):
        line_rows(offer, [])
    with pytest.raises(ValueError, match="deleted meanwhile"):
        accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=staff)


def test_what_is_stored_judges_as_the_page_said(version, offer, staff):
    start = start_of(version, {})
    said = mixture(start, offer, keys_of(offer))
    saved = accept(start=start, offer=offer, taken=keys_of(offer), words="", by=staff)
    afresh = queries.analysis_of(saved)
    assert said.after.kcal == pytest.approx(afresh.energy.kcal, rel=1e-12)
    assert said.after.kcal_per_100g == pytest.approx(100 * afresh.energy.kcal / afresh.fed_g, rel=1e-12)
    for row in said.judged[0].rows:
        line = afresh.judgement.loc[row.after.key]
        assert row.after.amount == pytest.approx(line["amount"], nan_ok=True)
        assert {answer.answer for answer in row.after.answers} <= {
            line["minimum_answer"],
            line["maximum_answer"],
        }


def test_the_mixture_is_judged_beside_the_present_recipe(version, offer):
    found = mixture(start_of(version, {}), offer, keys_of(offer))
    before, after = next(
        (row.before, row.after) for row in found.judged[0].rows if row.before.key == "calcium"
    )
    # Calcium carbonate is 40.04 % calcium: 3.3 g bring 1.32 g more than the foods.
    grams = [
        row.amount * kcal / 1000 for row, kcal in ((before, found.before.kcal), (after, found.after.kcal))
    ]
    assert grams[1] - grams[0] == pytest.approx(3.3 * 0.4004, abs=0.02)
    assert found.whole
    assert not mixture(start_of(version, {}), offer, keys_of(offer, TURKEY)).whole


def test_a_proposal_comes_back_as_it_went_out(offer):
    assert from_text(as_text(offer)) == offer


def test_a_proposal_that_was_tampered_with_is_refused(offer):
    with pytest.raises(ValueError, match="not kept whole"):
        from_text(as_text(offer)[:-2])


@pytest.mark.parametrize(
    ("food", "before_g", "after_g", "said"),
    [
        (TURKEY, 500, 430, ("70 g less", "−14 %")),
        (TURKEY, 500, 500.5, ("0.5 g more", "+0.1 %")),
        (TURKEY, 500, 500, (AS_IT_IS, "")),
        (TURKEY, 0, 40, ("new", "")),
        (TURKEY, 40, 0, ("left out", "")),
        (VITAMIN_E, 0.3, 0.9, ("2 capsule more", "+200 %")),
    ],
)
def test_a_change_in_words(food, before_g, after_g, said):
    from recipes.models import Ingredient

    line = Ingredient(food=Food.objects.get(name=food), grams=after_g, when="cooled_batch")
    assert change_in_words(queries.portion(line), before_g, after_g) == said


class TestNote:
    def test_it_says_what_was_reformulated(self):
        assert note("", ["Rice 200 to 220 g", "Salt 1 g, new"], "") == (
            "Reformulated: Rice 200 to 220 g; Salt 1 g, new"
        )

    def test_a_swap_and_the_authors_words_stand_with_it(self):
        assert note("90 g cod instead of egg", ["Rice left out"], " for Juniper ") == (
            "90 g cod instead of egg. Reformulated: Rice left out. for Juniper"
        )

    def test_what_does_not_fit_is_counted(self):
        changes = [f"Ingredient number {number} 100 to 120 g" for number in range(20)]
        said = note("", changes, "w" * 100)
        assert len(said) <= LONGEST_NOTE
        assert said.endswith(f" more. {'w' * 100}")
        named = said.count("Ingredient number")
        assert f"{20 - named} more" in said


def test_saving_refuses_a_retired_recipe(version, offer, practitioner):
    services.retire(recipe=version.recipe, by=practitioner)
    with pytest.raises(ValidationError):
        accept(start=start_of(version, {}), offer=offer, taken=keys_of(offer), words="", by=practitioner)
