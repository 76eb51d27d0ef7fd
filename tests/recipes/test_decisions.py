"""Review, approval, retirement: who decided what stands in the history, and nothing unfit is approved."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from nutrients.models import Food
from recipes import services
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion
from recipes.models.freezing import FROZEN
from recipes.states import MOVES
from tests import cast
from tests.patients.feeding import WHOLE_RECIPE
from tests.recipes.deciding import accept_open, approve, make_ready
from tests.recipes.form_data import RICE, TURKEY, VITAMIN_E, form_data, line

pytestmark = pytest.mark.django_db
SALMON = "Salmon, Atlantic, farmed, raw"


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


def told(recipe):
    """The moves of a recipe as its history tells them, the newest first."""
    entries = recipe.history.exclude(move="").select_related("history_user")
    return [(x.move, x.version_number, x.history_user, x.history_change_reason) for x in entries]


def in_review(version, by):
    make_ready(version, by)
    return version


def refused(version, by, words):
    with pytest.raises(ValidationError, match=words):
        approve(version, by)
    version.refresh_from_db()
    return not version.approved


class TestApproval:
    def test_it_writes_who_and_when(self, version, practitioner):
        approve(in_review(version, practitioner), practitioner)
        version.refresh_from_db()
        assert version.approved_by == practitioner
        assert version.approved
        assert version.recipe.state == "approved"

    def test_a_recipe_with_every_limit_met_needs_nothing_accepted(self, practitioner):
        version = cast.make_recipe(amounts=WHOLE_RECIPE, added_water_g=650)
        services.send_to_review(recipe=version.recipe, by=practitioner)
        approve(version, practitioner)
        assert not version.accepted_limits.exists()
        assert version.approved

    def test_open_limits_that_nobody_accepted_stand_in_the_way(self, version, practitioner):
        services.send_to_review(recipe=version.recipe, by=practitioner)
        assert refused(version, practitioner, r"\d+ limits are open and not accepted: .*Calcium")

    def test_a_draft_has_to_be_reviewed_first(self, version, practitioner):
        accept_open(version, practitioner)
        assert refused(version, practitioner, "only a recipe that is in review can be approved")

    def test_an_empty_version_is_not_approved(self, version, practitioner):
        version.ingredients.all().delete()
        assert refused(version, practitioner, "no ingredient")

    def test_a_version_with_something_forbidden_is_not_approved(self, version, practitioner):
        food = Food.objects.create(name="Onion, dried", group="vegetable", state="dried", source="invented")
        version.ingredients.create(food=food, grams=5)
        make_ready(version, practitioner)
        assert refused(version, practitioner, "Never in a dog's food")

    def test_salmon_that_is_fed_raw_is_not_approved(self, practitioner):
        version = cast.make_recipe(amounts={SALMON: 100})
        version.ingredients.update(when="in_the_bowl")
        make_ready(version, practitioner)
        assert refused(version, practitioner, "raw salmon")

    def test_salmon_that_is_cooked_is_approved(self, practitioner):
        version = in_review(cast.make_recipe(amounts={SALMON: 100}), practitioner)
        approve(version, practitioner)
        assert version.approved

    def test_a_vitamin_in_the_pot_is_not_approved(self, practitioner):
        version = cast.make_recipe(amounts={TURKEY: 500, VITAMIN_E: 0.3})
        version.ingredients.update(when="in_the_pot")
        make_ready(version, practitioner)
        assert refused(version, practitioner, "heat-sensitive")

    def test_what_holds_no_energy_is_not_approved(self, practitioner):
        version = cast.make_recipe(amounts={"Salt, plain": 5})
        services.send_to_review(recipe=version.recipe, by=practitioner)
        assert refused(version, practitioner, "energy")

    def test_a_version_that_changed_after_it_was_seen_is_not_approved(self, version, practitioner):
        seen = services.fingerprint(version)
        version.ingredients.update(grams=900)
        with pytest.raises(ValidationError, match="changed this recipe"):
            services.approve_version(version=version, by=practitioner, seen=seen)

    def test_only_the_latest_version_is_approved(self, version, practitioner):
        version.recipe.versions.create(number=2, author=practitioner)
        assert refused(version, practitioner, "latest version")

    def test_an_approved_version_is_not_approved_again(self, practitioner):
        version = cast.make_recipe(approved_by=practitioner)
        with pytest.raises(ValidationError, match="already"):
            approve(version, practitioner)


class TestMoves:
    def test_the_history_tells_each_with_who_and_why(self, version, staff, practitioner):
        recipe = version.recipe
        services.send_to_review(recipe=recipe, by=staff)
        services.send_back(recipe=recipe, by=practitioner, reason="Zinc is short.")
        make_ready(version, staff)
        approve(version, practitioner)
        services.retire(recipe=recipe, by=practitioner, reason="Turkey is no longer bought.")
        services.bring_back(recipe=recipe, by=practitioner)
        assert told(recipe) == [
            ("bring_back", 2, practitioner, "Brought back from version 1"),
            ("retire", 1, practitioner, "Turkey is no longer bought."),
            ("approve", 1, practitioner, ""),
            ("review", 1, staff, ""),
            ("send_back", 1, practitioner, "Zinc is short."),
            ("review", 1, staff, ""),
        ]

    def test_nothing_is_sent_back_without_a_reason(self, version, staff, practitioner):
        services.send_to_review(recipe=version.recipe, by=staff)
        with pytest.raises(ValidationError, match="Say why"):
            services.send_back(recipe=version.recipe, by=practitioner, reason=" ")

    def test_a_draft_goes_to_review_once(self, version, staff):
        services.send_to_review(recipe=version.recipe, by=staff)
        with pytest.raises(ValidationError, match="in review already"):
            services.send_to_review(recipe=version.recipe, by=staff)

    def test_what_a_colleague_did_meanwhile_counts(self, version, staff, practitioner):
        as_staff_sees_it = Recipe.objects.get(pk=version.recipe_id)
        services.retire(recipe=version.recipe, by=practitioner)
        with pytest.raises(ValidationError, match="bring it back first"):
            services.send_to_review(recipe=as_staff_sees_it, by=staff)

    def test_a_retired_recipe_keeps_its_versions(self, practitioner):
        version = cast.make_recipe(approved_by=practitioner)
        services.retire(recipe=version.recipe, by=practitioner)
        assert version.recipe.state == "retired"
        assert version.recipe.latest().approved
        with pytest.raises(ValidationError, match="already"):
            services.retire(recipe=version.recipe, by=practitioner)

    def test_a_retired_draft_comes_back_as_it_was(self, version, practitioner):
        services.retire(recipe=version.recipe, by=practitioner)
        services.bring_back(recipe=version.recipe, by=practitioner)
        assert version.recipe.state == "draft"
        assert version.recipe.latest() == version

    def test_a_retired_recipe_is_not_edited(self, version, staff, practitioner):
        services.retire(recipe=version.recipe, by=practitioner)
        with pytest.raises(ValidationError, match="bring it back first"):
            services.save_version(
                recipe=version.recipe,
                particulars={},
                ingredients=[Ingredient(food=Food.objects.get(name=RICE), grams=1)],
                kitchen_steps=[],
                author=staff,
            )
        assert version.ingredients.count() == 2


class TestFrozen:
    """What is approved cannot be changed, whatever asks for it."""

    @pytest.fixture
    def frozen(self, practitioner):
        version = cast.make_recipe("Turkey alone", approved_by=practitioner)
        cast.slip_in(KitchenStep, version=version, text="Simmer.")
        return RecipeVersion.objects.get(pk=version.pk)

    @pytest.mark.parametrize("what", ["itself", "ingredients", "kitchen_steps"])
    @pytest.mark.parametrize("act", ["save", "delete"])
    def test_it_is_neither_saved_nor_deleted(self, frozen, what, act):
        record = frozen if what == "itself" else getattr(frozen, what).get()
        with pytest.raises(ValidationError, match=FROZEN):
            getattr(record, act)()
        assert type(record).objects.filter(pk=record.pk).exists()

    def test_an_approval_is_not_taken_away_by_saving(self, frozen):
        frozen.approved_at = None
        with pytest.raises(ValidationError, match=FROZEN):
            frozen.save()

    def test_nothing_is_added(self, frozen):
        with pytest.raises(ValidationError, match=FROZEN):
            frozen.ingredients.create(food=Food.objects.get(name=RICE), grams=5)

    def test_nothing_is_moved_out_of_it(self, frozen, version):
        ingredient = frozen.ingredients.get()
        ingredient.version = version
        with pytest.raises(ValidationError, match=FROZEN):
            ingredient.save()

    def test_a_draft_is_free(self, version):
        version.note = "less rice"
        version.save()
        version.ingredients.first().delete()
        assert version.ingredients.count() == 1


def url(name, thing):
    return reverse(f"recipes:{name}", args=[thing.pk])


ADDRESSES = {
    "save": "recipe-edit",
    "review": "recipe-review",
    "send_back": "recipe-send-back",
    "approve": "version-approve",
    "retire": "recipe-retire",
    "bring_back": "recipe-bring-back",
    "restore": "version-restore",
}


class TestPages:
    @pytest.mark.parametrize("role", ["viewer", "staff", "practitioner"])
    @pytest.mark.parametrize("move", MOVES)
    def test_each_move_is_for_who_has_its_permission(self, client, version, role, move):
        user = cast.make_user(role)
        client.force_login(user)
        about = version if ADDRESSES[move].startswith("version") else version.recipe
        answer = client.post(url(ADDRESSES[move], about), {"reason": ""})
        assert (answer.status_code != 403) == user.has_perm(MOVES[move].permission)

    @pytest.mark.parametrize("name", ["recipe-review", "version-approve", "version-restore"])
    def test_nothing_is_decided_by_looking(self, signed_in, version, name):
        about = version if name.startswith("version") else version.recipe
        assert signed_in.get(url(name, about)).status_code == 405

    @pytest.mark.parametrize("name", ["recipe-send-back", "recipe-retire", "recipe-bring-back"])
    def test_a_decision_asks_why(self, signed_in, version, name):
        page = signed_in.get(url(name, version.recipe))
        assert page.status_code == 200
        assert "It stays with the recipe" in page.content.decode()
        assert version.recipe.history.count() == 1

    def test_sending_back_wants_the_reason_beside_its_field(self, signed_in, version, practitioner):
        services.send_to_review(recipe=version.recipe, by=practitioner)
        answer = signed_in.post(url("recipe-send-back", version.recipe), {"reason": ""})
        assert answer.status_code == 200
        assert answer.context["form"].errors == {"reason": ["Say why: it stays with the recipe."]}
        signed_in.post(url("recipe-send-back", version.recipe), {"reason": "Zinc is short."})
        assert Recipe.objects.get().state == "draft"

    def test_what_cannot_be_done_is_said_and_what_was_typed_stays(self, signed_in, version):
        answer = signed_in.post(url("recipe-send-back", version.recipe), {"reason": "Zinc <b>is</b> short."})
        page = answer.content.decode()
        assert "It is a draft already." in page
        assert "Zinc &lt;b&gt;is&lt;/b&gt; short." in page

    def test_an_approved_version_posted_to_directly_stays_as_it_is(self, signed_in, practitioner):
        approved = cast.make_recipe(approved_by=practitioner)
        before = services.fingerprint(approved)
        answer = signed_in.post(url("version-approve", approved), {"seen": before}, follow=True)
        assert "Version 1 is approved already." in answer.content.decode()
        sent = form_data(line(RICE, "9")) | {"seen": before}
        signed_in.post(url("recipe-edit", approved.recipe), sent)
        assert services.fingerprint(approved) == before
        assert RecipeVersion.objects.get(pk=approved.pk).approved_at == approved.approved_at
