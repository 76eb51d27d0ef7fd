"""What follows from a recipe as its switches say: on its page and in the panel beside its form."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from nutrients.models import Food, Nutrient, Profile
from recipes import findings, queries
from recipes.switches import Switches
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
PANEL, NEW = reverse("recipes:version-panel"), reverse("recipes:recipe-new")
LIVER = "Beef liver, raw"
AMOUNTS = {TURKEY: 500, RICE: 200, LIVER: 50}


@pytest.fixture
def version():
    return cast.make_recipe(amounts=AMOUNTS)


@pytest.fixture
def fed_dog(version):
    """A dog of 16 kg, 8 kg^0.75, on 500 kcal a day: it needs 32 mg zinc per 1000 kcal by NRC 2006."""
    patient = cast.make_patient(name="Alder")
    cast.make_plan(patient, version, kcal_per_day=500, target_kg=16)
    return patient


def found(version, **switches) -> findings.Findings:
    portions = queries.portions_of(version)
    return findings.of(version, portions, Switches(**switches), version.recipe.profile)


def rows(found) -> dict:
    return {row.key: row for _, each in found.groups for row in each}


def page_of(client, version, **asked):
    return client.get(reverse("recipes:recipe-detail", args=[version.recipe.pk]), asked)


def view(**fields) -> dict[str, str]:
    return {f"view-{name}": value for name, value in fields.items()}


class TestBasis:
    def test_the_answers_are_those_per_1000_kcal_on_every_basis(self, version, fed_dog):
        usual = rows(found(version, dog=str(fed_dog.pk)))
        for basis in ("per_dm", "as_fed", "per_day"):
            shown = found(version, dog=str(fed_dog.pk), basis=basis)
            assert shown.basis.key == basis
            assert {key: row.both_answers for key, row in rows(shown).items()} == {
                key: row.both_answers for key, row in usual.items()
            }
            assert rows(shown)["protein"].amount != usual["protein"].amount

    def test_a_day_is_what_the_dog_gets_of_the_recipe(self, version, fed_dog):
        per_1000 = rows(found(version))["zinc"].amount
        a_day = rows(found(version, dog=str(fed_dog.pk), basis="per_day"))["zinc"].amount
        assert a_day == pytest.approx(per_1000 / 2)  # 500 kcal

    def test_what_cannot_be_shown_is_said_and_stands_per_1000_kcal(self, version):
        shown = found(version, basis="per_day")
        assert shown.basis.is_usual
        assert shown.said == ["Choose a dog to see amounts a day. Amounts stand per 1000 kcal."]


class TestDog:
    def test_its_minima_are_raised_and_the_profiles_verdict_stays(self, version, fed_dog):
        plain, shown = found(version), found(version, dog=str(fed_dog.pk))
        assert rows(plain)["zinc"].minimum == 20
        assert rows(shown)["zinc"].minimum == pytest.approx(32)
        assert shown.figures == plain.figures
        assert shown.said == []

    def test_the_table_says_for_whom_minima_are_raised(self, signed_in, version, fed_dog):
        said = "with minima raised where Alder (Tilda Marrow)"
        assert said in page_of(signed_in, version, dog=str(fed_dog.pk)).content.decode()
        fern = cast.make_patient(name="Fern")
        assert "with minima raised" not in page_of(signed_in, version, dog=str(fern.pk)).content.decode()

    def test_a_dog_without_a_plan_is_said_to_raise_nothing(self, version):
        shown = found(version, dog=str(cast.make_patient(name="Fern").pk))
        assert rows(shown)["zinc"].minimum == 20
        assert "has no plan yet" in shown.said[0]

    def test_a_growing_dog_is_not_for_an_adult_profile(self, version):
        born = timezone.localdate() - timedelta(days=100)
        puppy = cast.make_patient(name="Fern", born=born, expected_adult_kg=12)
        assert any("is for adults" in said for said in found(version, dog=str(puppy.pk)).said)
        growth = Profile.objects.get(key="aafco-growth")
        shown = findings.of(version, queries.portions_of(version), Switches(dog=str(puppy.pk)), growth)
        assert not any("is for adults" in said for said in shown.said)

    def test_foods_it_must_not_get_are_named(self, version, fed_dog):
        fed_dog.avoids.create(word="turkey", reason="itches")
        assert found(version, dog=str(fed_dog.pk)).not_for_dog == [
            f"{TURKEY} is on the list of foods Alder must avoid: turkey (itches)."
        ]

    @pytest.mark.parametrize("dog", ["x", "0", "99999999999999999999"])
    def test_what_is_no_dog_changes_nothing(self, version, dog):
        assert found(version, dog=dog).dog is None


class TestBeforeCooking:
    def test_no_factor_is_applied_and_what_is_fed_is_told_beside_it(self, version):
        """Thiamine raw: grams / 100 x the value of each food, per 1000 kcal of the raw batch."""
        raw_mg = sum(
            grams / 100 * Food.objects.get(name=name).values.get(nutrient__key="thiamine").per_100g
            for name, grams in AMOUNTS.items()
        )
        shown = found(version, uncooked=True)
        assert rows(shown)["thiamine"].amount == pytest.approx(raw_mg * 1000 / shown.shown.energy.kcal)
        assert rows(found(version))["thiamine"].amount < rows(shown)["thiamine"].amount
        verdict, changes = shown.after_cooking
        assert verdict == found(version).figures.verdict
        assert all(" before, " in change and change.endswith(" after cooking") for change in changes)

    def test_figures_are_of_the_raw_weight_and_the_head_of_the_page_stays_as_fed(self, signed_in, version):
        shown = found(version, uncooked=True)
        assert shown.shown.fed_g == pytest.approx(750)
        assert not shown.shown_figures.about
        page = page_of(signed_in, version, uncooked="1")
        assert page.context["page"].sentence == page_of(signed_in, version).context["page"].sentence
        assert "Before cooking: not what the dog gets." in page.content.decode()

    def test_after_cooking_there_is_no_such_note(self, signed_in, version):
        assert found(version).after_cooking is None
        assert "not what the dog gets" not in page_of(signed_in, version).content.decode()


class TestEstimates:
    def test_they_are_counted_also_while_they_are_left_out(self, version):
        rice = Food.objects.get(name=RICE)
        for key in ("vitamin_d", "retinol"):
            nutrient = Nutrient.objects.get(key=key)
            rice.values.filter(nutrient=nutrient).delete()
            rice.values.create(
                nutrient=nutrient, per_100g=1, kind="estimate", source="a guess", low=0, high=2
            )
        assert found(version).estimates == 2
        assert found(version, estimates=False).estimates == 2


class TestPage:
    def test_every_switch_stays_in_the_fields_and_in_the_links(self, signed_in, version, fed_dog):
        asked = {"basis": "as_fed", "dog": str(fed_dog.pk), "uncooked": "1", "profile": "nrc-adult"}
        page = page_of(signed_in, version, **asked).content.decode()
        assert f'<option value="{fed_dog.pk}" selected>' in page
        for value in ("as_fed", "1", "nrc-adult"):
            assert f'<option value="{value}" selected>' in page
        carried = f"profile=nrc-adult&amp;basis=as_fed&amp;dog={fed_dog.pk}&amp;uncooked=1&amp;nutrient=zinc"
        assert f"{carried}#brings" in page

    def test_origins_are_led_to_only_from_amounts_as_they_are_judged(self, signed_in, version):
        assert 'class="origin"' in page_of(signed_in, version).content.decode()
        for asked in ({"basis": "per_dm"}, {"uncooked": "1"}, {"estimates": "off"}):
            assert 'class="origin"' not in page_of(signed_in, version, **asked).content.decode()

    @pytest.mark.parametrize("asked", [{"profile": "a\x00"}, {"basis": "x"}, {"nutrient": "ca_p_ratio"}])
    def test_what_means_nothing_gives_way_to_the_usual(self, signed_in, version, asked):
        page = page_of(signed_in, version, **asked)
        assert (page.status_code, page.context["page"].worked_out.basis.is_usual) == (200, True)


class TestPanel:
    def post(self, client, **fields):
        lines = [line(name, str(grams)) for name, grams in AMOUNTS.items()]
        return client.post(PANEL, form_data(*lines, **fields), headers=HTMX)

    def test_it_shows_only_what_is_open_until_all_is_asked_for(self, signed_in):
        usual = self.post(signed_in).context["panel"].found
        every = self.post(signed_in, **view(open="0")).context["panel"].found
        assert all(row.open for row in rows(usual).values())
        assert len(rows(every)) == every.limits > len(rows(usual)) > 0

    def test_another_profile_than_the_recipes_own(self, signed_in):
        assert (
            "Against NRC adult maintenance"
            in self.post(signed_in, **view(profile="nrc-adult")).content.decode()
        )
        assert "Against AAFCO adult maintenance" in self.post(signed_in, **view(profile="")).content.decode()

    def test_a_row_tells_what_brings_it_and_goes_on_telling_while_typing(self, signed_in):
        pressed = self.post(signed_in, act="brings-zinc", **view(open="0"))
        page = pressed.content.decode()
        assert 'name="view-nutrient" value="zinc"' in page
        assert page.count('aria-expanded="true"') == 1
        assert [row.food for row in pressed.context["panel"].found.brought][0] == TURKEY
        typing = self.post(signed_in, act="work-out", **view(open="0", nutrient="zinc"))
        assert typing.context["panel"].found.nutrient.key == "zinc"
        hidden = self.post(signed_in, act="brings-", **view(open="0", nutrient="zinc"))
        assert 'aria-expanded="true"' not in hidden.content.decode()

    def test_without_a_script_the_switches_come_back_as_they_were(self, signed_in):
        data = form_data(
            line(TURKEY, "500"), act="brings-zinc", **view(basis="per_dm", uncooked="1", estimates="off")
        )
        response = signed_in.post(NEW, data | view(open="0"))
        page = response.content.decode()
        assert "<html" in page
        assert '<option value="per_dm" selected>' in page
        assert 'name="view-estimates" value="off" form="recipe-form" checked' in page
        assert 'name="view-open" value="1" form="recipe-form" checked' not in page
        assert 'name="view-nutrient" value="zinc"' in page
        assert response.context["panel"].found.after_cooking is not None

    def test_a_new_recipe_offers_the_switches_before_anything_is_typed(self, signed_in):
        page = signed_in.get(NEW).content.decode()
        assert 'id="view-basis"' in page
        assert 'name="view-open" value="1" form="recipe-form" checked' in page

    def test_it_asks_the_database_a_few_times_only(self, signed_in, django_assert_max_num_queries):
        self.post(signed_in)
        with django_assert_max_num_queries(34):
            self.post(signed_in, **view(profile="nrc-adult", nutrient="zinc"))
