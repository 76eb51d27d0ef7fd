"""Versions on their pages: compared, restored, copied, and their history."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from nutrients.models import Food
from recipes import services
from recipes.models import Ingredient, KitchenStep, Recipe, Substitution
from tests import cast
from tests.recipes.form_data import CALCIUM, RICE, TURKEY

pytestmark = pytest.mark.django_db


@pytest.fixture
def first(practitioner):
    """Approved: turkey, rice, and chalk for the cooled batch."""
    version = cast.make_recipe(
        amounts={TURKEY: 500, RICE: 200, CALCIUM: 5}, approved_by=practitioner, added_water_g=300
    )
    cast.slip_in(KitchenStep, version=version, text="Simmer for 20 minutes.", minutes=20)
    return version


@pytest.fixture
def second(first, staff):
    """A draft without chalk: calcium falls below the minimum."""
    lines = [(TURKEY, 500), (RICE, 100)]
    return services.save_version(
        recipe=first.recipe,
        particulars={"method": "baked", "note": "lighter", "added_water_g": 0},
        ingredients=[Ingredient(food=Food.objects.get(name=name), grams=grams) for name, grams in lines],
        kitchen_steps=[KitchenStep(text="Simmer for 35 minutes.", minutes=35)],
        author=staff,
    )


def content(version):
    lines = version.ingredients.values_list("food__name", "grams", "when", "position")
    return version.method, version.added_water_g, list(lines), [x.text for x in version.kitchen_steps.all()]


def restore(version, by):
    return services.restore(version=version, by=by, seen=services.fingerprint(version.recipe.latest()))


class TestRestoring:
    def test_an_older_version_stands_again_as_the_next_one(self, first, second, staff):
        made = restore(first, staff)
        assert content(made) == content(first)
        assert (made.number, made.approved, made.author) == (3, False, staff)
        assert made.note == "Restored from version 1"
        assert made.recipe.state == "draft"

    def test_the_draft_that_stood_last_is_kept(self, first, second, staff):
        before = content(second)
        restore(first, staff)
        second.refresh_from_db()
        assert content(second) == before
        assert second.recipe.versions.count() == 3

    def test_the_latest_is_there_already(self, second, staff):
        with pytest.raises(ValidationError, match="Version 2 is the latest already"):
            restore(second, staff)

    def test_not_on_top_of_what_was_not_seen(self, first, second, staff):
        with pytest.raises(ValidationError, match="changed this recipe"):
            services.restore(version=first, by=staff, seen=services.fingerprint(first))

    def test_on_the_page(self, client, staff, first, second):
        client.force_login(staff)
        url = reverse("recipes:version-restore", args=[first.pk])
        seen = {"seen": services.fingerprint(second)}
        assert "stands again as version 3" in client.post(url, seen, follow=True).content.decode()
        assert "changed this recipe" in client.post(url, seen, follow=True).content.decode()
        assert first.recipe.versions.count() == 3


class TestCopying:
    @pytest.fixture
    def instead(self, first, practitioner):
        made = Substitution.objects.create(
            version=first,
            replaces=Food.objects.get(name=RICE),
            food=Food.objects.get(name="Pearled barley, dry"),
            grams=210,
            note="chewier",
            created_by=practitioner,
            approved_by=practitioner,
            approved_at=cast.timezone.now(),
        )
        made.amounts.create(food=Food.objects.get(name=TURKEY), grams=490)
        return made

    def test_all_is_copied_and_nothing_approved(self, first, instead, staff):
        first.recipe.tags = "turkey, plain"
        first.recipe.save()
        made = services.copy_recipe(version=first, title="Turkey pot of its own", by=staff)
        assert content(made) == content(first)
        assert (made.number, made.approved, made.recipe.state) == (1, False, "draft")
        assert (made.recipe.tags, made.recipe.profile) == ("turkey, plain", first.recipe.profile)
        assert made.note == "Copied from Turkey and rice, version 1"
        [copied] = made.substitutions.all()
        assert (copied.food, copied.grams, copied.note, copied.approved) == (
            instead.food, 210, "chewier", False,
        )  # fmt: skip
        assert [(x.food.name, x.grams) for x in copied.amounts.all()] == [(TURKEY, 490)]

    def test_the_original_is_left_as_it_is(self, first, instead, staff):
        before = services.fingerprint(first)
        services.copy_recipe(version=first, title="Turkey pot of its own", by=staff)
        assert services.fingerprint(first) == before
        assert first.substitutions.get().approved

    def test_its_title_is_its_own(self, client, staff, first):
        client.force_login(staff)
        url = reverse("recipes:version-copy", args=[first.pk])
        taken = client.post(url, {"title": "Turkey and rice"})
        assert taken.status_code == 200
        assert "Another recipe has this title" in taken.content.decode()
        assert "Give the copy a title" in client.post(url, {"title": " "}).content.decode()
        assert Recipe.objects.count() == 1
        made = client.post(url, {"title": "Turkey <i>again</i>"}, follow=True)
        assert "Turkey &lt;i&gt;again&lt;/i&gt;" in made.content.decode()

    def test_a_viewer_copies_nothing(self, client, viewer, first):
        client.force_login(viewer)
        assert (
            client.post(reverse("recipes:version-copy", args=[first.pk]), {"title": "x"}).status_code == 403
        )


class TestComparing:
    @pytest.fixture
    def url(self, first, second):
        return reverse("recipes:version-compare", args=[first.recipe_id])

    def test_it_lays_the_two_side_by_side(self, client, viewer, url):
        client.force_login(viewer)
        response = client.get(url, {"of": "1", "with": "2"})
        page, text = response.context["page"], response.content.decode()
        assert [(row.change.food, row.change.what) for row in page.lines] == [
            (TURKEY, "as before"),
            (RICE, "changed"),
            (CALCIUM, "left out"),
        ]
        assert {x.label for x in page.particulars} == {"Method", "Water added"}
        assert "<del>20</del>" in text
        assert "<ins>35</ins>" in text
        calcium = next(row for row in page.answers if row.name == "Calcium")
        assert ("minimum", "Meets minimum", "Below minimum") in calcium.answers

    def test_without_numbers_the_latest_stands_beside_the_one_before(self, client, viewer, url):
        client.force_login(viewer)
        page = client.get(url).context["page"]
        assert (page.before.version.number, page.after.version.number) == (1, 2)

    def test_a_version_with_itself(self, client, viewer, url):
        client.force_login(viewer)
        text = client.get(url, {"of": "2", "with": "2"}).content.decode()
        assert "The same foods in the same amounts" in text
        assert "Every answer is as before" in text

    @pytest.mark.parametrize("asked", [{"of": "7"}, {"with": "x"}, {"of": "9" * 40}])
    def test_a_version_that_is_none_is_not_found(self, client, viewer, url, asked):
        client.force_login(viewer)
        assert client.get(url, asked).status_code == 404

    def test_one_that_holds_no_energy_is_compared_all_the_same(self, client, viewer, first, second):
        second.ingredients.all().delete()
        client.force_login(viewer)
        response = client.get(reverse("recipes:version-compare", args=[first.recipe_id]))
        assert response.context["page"].answers is None
        assert "There is no ingredient in it." in response.content.decode()
