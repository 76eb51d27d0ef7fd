"""The page of a reformulation: asking, proposing, judging what is ticked, saving. Without a script."""

import pytest
from django.urls import reverse

from nutrients.models import Food
from recipes import queries
from recipes.reformulate_start import start_of
from recipes.reformulate_worktable import laid_out, present_of
from recipes.services import CHANGED_MEANWHILE
from tests import cast
from tests.recipes.form_data import CALCIUM, RICE, TURKEY, VITAMIN_E
from tests.recipes.reformulations import acceptance, keys_of, make_offer, sent

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LEFT = HTMX | {"HX-Target": "choices"}


def url(version):
    return reverse("recipes:version-reformulate", args=[version.pk])


def pk(name):
    return Food.objects.get(name=name).pk


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200, VITAMIN_E: 0.3})


@pytest.fixture
def opened(version):
    """The left side as it is filled in at first."""
    start = start_of(version, {})
    return {"table": laid_out(start, present_of(start), None)}


def row(context, name):
    """The place of a line in the form."""
    return [form.name for form in context["table"].asked.rows].index(name)


def only(context, **bounds):
    """Form fields in which only these foods may move. bounds: food name -> (from, to)."""
    data = {key: value for key, value in sent("work-out", context).items() if not key.endswith("-moves")}
    for name, (least, most) in bounds.items():
        place = row(context, name)
        data |= {
            f"choices-{place}-moves": "on",
            f"choices-{place}-least": str(least),
            f"choices-{place}-most": str(most),
        }
    return data


class TestOpening:
    def test_every_line_is_free_within_its_usual_bounds(self, opened):
        rows = opened["table"].asked.rows
        typed = {form.name: (form["least"].value(), form["most"].value()) for form in rows if form.present}
        assert (typed[TURKEY], typed[RICE]) == (("350", "650"), ("140", "260"))
        assert all(form["moves"].value() for form in rows)
        assert CALCIUM in [form.name for form in rows.new_supplements()]

    def test_a_supplement_is_counted_in_its_doses(self, opened):
        form = opened["table"].asked.rows.forms[row(opened, VITAMIN_E)]
        assert (form.unit, form.now) == ("capsule", "1 capsule")

    def test_a_proposal_stands_there_at_once(self, writer, version):
        table = writer.get(url(version)).context["table"]
        assert table.offer is not None
        assert [line.food for line in table.lines][:2] == [TURKEY, RICE]

    def test_the_bands_say_what_they_are_now(self, opened, version):
        analysis = queries.analysis_of(version)
        grams = analysis.composition.totals["protein"] * 1000 / analysis.energy.kcal
        protein = opened["table"].bands[0]
        assert protein.now == f"now {grams:,.0f} g, {grams * 4 / 10:.0f} % of energy"

    def test_a_recipe_without_energy_says_so(self, writer):
        salt = cast.make_recipe("Salt alone", amounts={"Salt, plain": 5})
        page = writer.get(url(salt)).content.decode()
        assert "once something in it holds energy" in page

    def test_an_older_version_leads_to_the_latest(self, writer, practitioner):
        first = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
        second = first.recipe.versions.create(number=2, author=practitioner)
        assert writer.get(url(first)).url == url(second)

    def test_a_viewer_may_not(self, client, viewer, version):
        client.force_login(viewer)
        assert client.get(url(version)).status_code == 403
        assert client.post(url(version), {}).status_code == 403


class TestAsking:
    def test_a_fixed_amount_is_proposed(self, writer, opened, version):
        data = only(opened, **{CALCIUM: (4, 4), TURKEY: (400, 600)})
        table = writer.post(url(version), data).context["table"]
        after = {line.food: line.after_g for line in table.offer.lines}
        assert after[pk(CALCIUM)] == 4
        assert after[pk(RICE)] == 200  # not ticked
        assert 400 <= after[pk(TURKEY)] <= 600

    def test_what_is_not_ticked_may_be_told_as_a_help(self, writer, opened, version):
        table = writer.post(url(version), only(opened, **{TURKEY: (400, 600)})).context["table"]
        assert table.offer.unmet
        assert {line.food for line in table.offer.lines} == {pk(TURKEY), pk(RICE), pk(VITAMIN_E)}
        assert any("instead of at most 0 g" in sentence for sentence in table.offer.helps)

    def test_the_nearest_is_marked_as_not_meeting(self, writer, opened, version):
        page = writer.post(url(version), only(opened, **{TURKEY: (400, 600)})).content.decode()
        assert "The nearest there is: it does not meet everything" in page
        assert "No amounts within these bounds meet everything" in page
        assert "Calcium (AAFCO adult maintenance)" in page

    def test_an_energy_that_cannot_be_had_is_no_missing_value(self, writer, opened, version):
        asked = sent("work-out", opened, kcal_least="1", kcal_most="2")
        page = writer.post(url(version), asked)
        assert "Energy between 1 and 2 kcal cannot be had" in page.context["table"].offer.unmet[0]
        assert page.context["table"].offer.unconfirmed == ()
        text = page.content.decode()
        assert "it does not meet everything" in text
        assert "Nothing has to change" not in text

    def test_a_line_of_an_unheard_of_food_is_no_error(self, writer, opened, version):
        asked = sent("work-out", opened) | {"choices-0-food": "9" * 5000}
        assert writer.post(url(version), asked).status_code == 200

    def test_a_band_is_held_and_told_in_percent_of_the_energy(self, writer, opened, version):
        data = sent("work-out", opened, protein_least="70", protein_most="75")
        table = writer.post(url(version), data).context["table"]
        assert table.bands[0].share == "28 to 30 % of energy"  # 70 and 75 g x 4 kcal of 1000
        protein = table.mixture.after.energy[0]
        grams = protein.kcal / 4 * 1000 / table.mixture.after.kcal
        assert table.offer.unmet or 70 <= grams <= 75.001

    def test_several_profiles_are_judged_side_by_side(self, writer, opened, version):
        data = sent("work-out", opened, profiles=["aafco-adult", "nrc-adult"])
        judged = writer.post(url(version), data).context["table"].mixture.judged
        assert [each.profile.key for each in judged] == ["aafco-adult", "nrc-adult"]

    @pytest.mark.parametrize(
        ("name", "typed", "said"),
        [
            (TURKEY, {"least": "700"}, "Less than the 700 g it begins from"),
            (TURKEY, {"most": "abc"}, "in figures"),
            (TURKEY, {"least": "-5"}, "0 or more"),
            (TURKEY, {"most": ""}, "How much at most?"),
            (TURKEY, {"most": "999999"}, "at most 100 kg"),
            (RICE, {"cost_per_kg": "cheap"}, "in figures"),
            (RICE, {"food": "999999999"}, "deleted meanwhile"),
            (RICE, {"food": "x"}, "deleted meanwhile"),
        ],
    )
    def test_what_is_wrong_is_said_beside_the_line(self, writer, opened, version, name, typed, said):
        place = row(opened, name)
        fields = {f"choices-{place}-{field}": value for field, value in typed.items()}
        response = writer.post(url(version), sent("work-out", opened) | fields)
        table = response.context["table"]
        [(_, value)] = typed.items()
        assert response.status_code == 200
        assert table.offer is None
        assert said in " ".join(error for _, error in table.problems)
        assert value == "" or f'value="{value}"' in response.content.decode()

    @pytest.mark.parametrize(
        ("fields", "said"),
        [
            ({"fat_least": "60", "fat_most": "20"}, "Less than the 60 before it"),
            ({"kcal_least": "1000"}, "Give both ends"),
            ({"margin": "30"}, "at most 20"),
            ({"most_supplements": "2.5"}, "whole number"),
            ({"profiles": []}, "at least one profile"),
            ({"profiles": ["moon-dogs"]}, "moon-dogs"),
            ({"cost_ceiling": "-1"}, "0 or more"),
        ],
    )
    def test_contradicting_wishes_are_refused(self, writer, opened, version, fields, said):
        table = writer.post(url(version), sent("work-out", opened, **fields)).context["table"]
        assert table.offer is None
        assert said in " ".join(error for _, error in table.problems)

    def test_all_lines_fixed_leave_nothing_to_do(self, writer, opened, version):
        table = writer.post(url(version), only(opened, **{TURKEY: (500, 500)})).context["table"]
        assert "Nothing may move" in " ".join(error for _, error in table.problems)

    def test_a_line_of_the_recipe_cannot_be_lost(self, writer, opened, version):
        place = row(opened, RICE)
        data = sent("work-out", opened) | {f"choices-{place}-food": str(pk("Salt, iodized"))}
        table = writer.post(url(version), data).context["table"]
        assert "not those of the recipe any more" in " ".join(error for _, error in table.problems)

    def test_more_than_60_lines_are_refused(self, writer, opened, version):
        data = sent("work-out", opened)
        count = int(data["choices-TOTAL_FORMS"])
        extra = Food.objects.filter(supplement__isnull=True).values_list("pk", flat=True)[: 61 - count]
        for place, food in enumerate(extra, start=count):
            data |= {f"choices-{place}-food": food, f"choices-{place}-when": "in_the_bowl"}
        table = writer.post(url(version), data | {"choices-TOTAL_FORMS": "61"}).context["table"]
        assert "At most 60 lines" in " ".join(error for _, error in table.problems)

    def test_a_version_that_changed_meanwhile_is_told_and_nothing_typed_is_lost(
        self, writer, opened, version
    ):
        version.ingredients.filter(food__name=RICE).update(grams=222)
        response = writer.post(url(version), sent("work-out", opened, protein_least="61"))
        assert response.context["table"].notice == CHANGED_MEANWHILE
        assert 'value="61"' in response.content.decode()

    def test_a_script_gets_the_right_side_and_the_messages_alone(self, writer, opened, version):
        data = sent("work-out", opened, margin="x")
        response = writer.post(url(version), data, headers=HTMX | {"HX-Target": "follows"})
        fragment = response.content.decode()
        assert "<html" not in fragment
        assert 'id="id_margin_error" hx-swap-oob="true">Enter a number' in fragment


class TestAdding:
    def test_a_food_is_found(self, writer, opened, version):
        data = sent("find", opened, find="beef liver")
        page = writer.post(url(version), data).content.decode()
        assert f'value="add-{pk("Beef liver, raw")}"' in page

    def test_what_must_never_go_in_is_refused(self, writer, opened, version):
        page = writer.post(url(version), sent("find", opened, find="grapes")).content.decode()
        assert "Never in a dog&#x27;s food" in page

    def test_a_food_is_added_with_a_tenth_of_the_batch_at_most(self, writer, opened, version):
        table = writer.post(url(version), sent(f"add-{pk('Beef liver, raw')}", opened), headers=LEFT).context[
            "table"
        ]
        [form] = [form for form in table.asked.rows if form.name == "Beef liver, raw"]
        assert (form["least"].value(), form["most"].value()) == ("0", "70")  # of 700.3 g

    @pytest.mark.parametrize(
        "act", ["add-999999999", f"add-{'9' * 30}", "add-x", "drop-99", "drop-x", "dance"]
    )
    def test_what_cannot_be_done_leaves_the_lines(self, writer, opened, version, act):
        table = writer.post(url(version), sent(act, opened), headers=LEFT).context["table"]
        assert len(table.asked.rows.forms) == len(opened["table"].asked.rows.forms)

    def test_a_food_is_added_once(self, writer, opened, version):
        page = writer.post(url(version), sent(f"add-{pk(TURKEY)}", opened), headers=LEFT)
        assert "stands among the lines already" in page.content.decode()

    def test_something_forbidden_is_not_added(self, writer, opened, version):
        onion = Food.objects.create(name="Onion, dried", group="vegetable", state="dried", source="invented")
        page = writer.post(url(version), sent(f"add-{onion.pk}", opened), headers=LEFT)
        assert "Never in a dog" in page.content.decode()
        assert "Onion, dried" not in [form.name for form in page.context["table"].asked.rows]

    def test_a_line_is_taken_out_of_the_list(self, writer, opened, version):
        table = writer.post(url(version), sent(f"drop-{row(opened, CALCIUM)}", opened), headers=LEFT).context[
            "table"
        ]
        assert CALCIUM not in [form.name for form in table.asked.rows]

    def test_supplements_are_unticked_together(self, writer, opened, version):
        rows = writer.post(url(version), sent("none", opened), headers=LEFT).context["table"].asked.rows
        assert rows.used_supplements() == 0
        assert rows.forms[row(opened, VITAMIN_E)]["moves"].value()  # in the recipe: it stays as it was


class TestTaking:
    def test_what_is_unticked_is_judged_before_it_is_saved(self, writer, version):
        offer = make_offer(version, after={TURKEY: 430, CALCIUM: 3.3})
        data = acceptance(offer, keys_of(offer, CALCIUM), shown=keys_of(offer))
        response = writer.post(url(version), data)
        assert "The ticks changed" in response.content.decode()
        assert version.ingredients.count() == 3
        mixture = response.context["table"].mixture
        assert {x.food.name: x.grams for x in mixture.ingredients} == {
            TURKEY: 500, RICE: 200, VITAMIN_E: 0.3, CALCIUM: 3.3,
        }  # fmt: skip
        assert list(mixture.taken) == keys_of(offer, CALCIUM)

    def test_it_is_saved_as_it_was_judged(self, writer, version):
        offer = make_offer(version, after={TURKEY: 430, CALCIUM: 3.3})
        data = acceptance(offer, keys_of(offer), words="for Juniper")
        response = writer.post(url(version), data, follow=True)
        version.refresh_from_db()
        assert dict(version.ingredients.values_list("food__name", "grams"))[TURKEY] == 430
        assert version.note.endswith(f"{TURKEY} 500 to 430 g; {CALCIUM} 3.3 g, new. for Juniper")
        assert "Saved as version 1, a draft" in response.content.decode()

    def test_ticks_are_judged_by_a_script_alone(self, writer, version):
        offer = make_offer(version, after={TURKEY: 430})
        data = acceptance(offer, []) | {"act": "judge"}
        response = writer.post(url(version), data, headers=HTMX | {"HX-Target": "mixture"})
        fragment = response.content.decode()
        assert "<html" not in fragment
        assert 'id="verdicts" hx-swap-oob="true"' in fragment
        assert response.context["table"].mixture.taken == ()

    def test_somebody_elses_save_is_not_written_over_and_nothing_is_lost(self, writer, version):
        offer = make_offer(version, after={TURKEY: 430})
        version.ingredients.filter(food__name=RICE).update(grams=222)
        response = writer.post(url(version), acceptance(offer, keys_of(offer), words="for Juniper"))
        page = response.content.decode()
        assert CHANGED_MEANWHILE in page
        assert "for Juniper" in page
        assert "430 g" in page
        assert set(version.ingredients.values_list("grams", flat=True)) == {500, 222, 0.3}

    def test_a_proposal_that_no_page_held_is_refused(self, writer, version):
        data = acceptance(make_offer(version), []) | {"proposal": "x:y:z"}
        assert "not kept whole" in writer.post(url(version), data).content.decode()

    def test_what_the_solver_proposed_is_what_is_stored(self, writer, version):
        offer = writer.get(url(version)).context["table"].offer
        keys = [line.key for line in offer.changed()]
        writer.post(url(version), acceptance(offer, keys))
        proposed = {(line.food, line.when): line.after_g for line in offer.lines if line.after_g}
        assert {(x.food_id, x.when): x.grams for x in version.ingredients.all()} == proposed
