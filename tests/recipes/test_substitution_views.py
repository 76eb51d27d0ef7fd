"""The pages of substitutions: candidates, the form with its judgement, the list and its decisions."""

import pytest
from django.urls import reverse

from recipes import services
from recipes.models import Substitution
from recipes.substitution_services import fingerprint
from tests import cast
from tests.recipes import pork

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def version(practitioner):
    return pork.make_stew(approved_by=practitioner)


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


def candidates_url(version, name=pork.CALCIUM):
    return reverse("recipes:ingredient-substitutes", args=[version.pk, pork.food(name).pk])


def form_url(version, replaces=pork.CALCIUM, by=pork.EGGSHELL):
    return reverse("recipes:substitution-new", args=[version.pk, pork.food(replaces).pk, pork.food(by).pk])


def typed(version, act="save", grams="5.4", when="cooled_batch", **amounts):
    shown = {f"amount-{line.food_id}": f"{line.grams:g}" for line in version.ingredients.all()}
    return {"act": act, "grams": grams, "when": when, "seen": services.fingerprint(version)} | shown | amounts


def decide(client, what, kept, **sent):
    return client.post(reverse(f"recipes:substitution-{what}", args=[kept.pk]), sent, follow=True)


class TestCandidates:
    def test_from_the_recipes_page(self, writer, version):
        html = writer.get(version.recipe.get_absolute_url()).content.decode()
        assert candidates_url(version) in html

    def test_the_table_alone_for_a_part_of_the_page(self, writer, version):
        whole = writer.get(candidates_url(version))
        part = writer.get(candidates_url(version), {"match": "weight"}, headers=HTMX)
        assert "<html" in whole.content.decode()
        assert "<html" not in part.content.decode()
        assert part.context["page"].match == "weight"

    def test_a_supplement_is_matched_by_what_it_is_there_for(self, writer, version):
        page = writer.get(candidates_url(version)).context["page"]
        assert (page.match, page.needed) == ("calcium", ("Calcium",))

    def test_a_food_can_be_matched_by_what_it_is_there_for_too(self, writer, version):
        form = writer.get(candidates_url(version, pork.LIVER)).context["page"].form
        assert dict(form.fields["match"].choices) == {
            "energy": "energy", "protein": "protein", "weight": "weight", "vitamin_b12": "vitamin B12",
            "copper": "copper",
        }  # fmt: skip

    def test_what_cannot_be_matched_is_said(self, writer, version):
        html = writer.get(candidates_url(version, pork.SPINACH), {"match": "nonsense"}).content.decode()
        assert "matched by energy" in html
        version.ingredients.filter(food__name=pork.SPINACH).update(food=pork.food("Salt, iodized"))
        version.ingredients.filter(food__name="Salt, plain").delete()
        page = writer.get(candidates_url(version, "Salt, iodized"), {"match": "weight"}).context["page"]
        assert page.rows

    def test_more_are_shown_when_they_are_asked_for(self, writer, version):
        url = candidates_url(version, pork.PORK)
        few, many = (writer.get(url, asked).context["page"] for asked in ({}, {"all": "1"}))
        assert (len(few.rows), len(few.rows) + few.hidden) == (12, len(many.rows))
        assert many.hidden == 0

    def test_a_dogs_list_is_kept_and_said(self, writer, version):
        patient = cast.make_patient()
        patient.avoids.create(word="chicken", reason="itches")
        response = writer.get(candidates_url(version, pork.PORK), {"dog": patient.pk, "all": "1"})
        assert not any("chicken" in row.food.name.lower() for row in response.context["page"].rows)
        assert "itches" in response.content.decode()

    def test_a_food_that_is_not_in_the_version(self, writer, version):
        assert writer.get(candidates_url(version, "Corn oil")).status_code == 404
        no_food = reverse("recipes:ingredient-substitutes", args=[version.pk, 10**30])
        assert writer.get(no_food).status_code == 404

    def test_a_viewer_looks_and_does_not_write(self, client, viewer, version):
        client.force_login(viewer)
        html = client.get(candidates_url(version)).content.decode()
        assert "near equal" in html
        assert "Make it a substitution" not in html
        assert client.get(form_url(version)).status_code == 403
        assert client.post(form_url(version), typed(version)).status_code == 403


class TestForm:
    def test_it_begins_with_the_proposal_of_the_table(self, writer, version):
        liver = pork.food(pork.LIVER)
        asked = {"grams": "76", "when": "in_the_pot", f"amount-{liver.pk}": "18.8"}
        response = writer.get(form_url(version, pork.ZINC, pork.OYSTER), asked)
        form = response.context["form"]
        assert form["grams"].value() == "76"
        assert form[f"amount-{liver.pk}"].value() == "18.8"
        told = [each.sentence for each in response.context["judged"].stand.found.all]
        assert not any(sentence.startswith("Copper") for sentence in told)

    def test_the_judgement_alone_while_it_is_typed(self, writer, version):
        response = writer.post(form_url(version), typed(version, act="", grams="54"), headers=HTMX)
        html = response.content.decode()
        assert "<html" not in html
        assert "not an equal swap" in html
        assert "Energy of the batch: as before" in html
        assert not Substitution.objects.exists()

    def test_it_is_kept_as_a_draft(self, writer, version):
        liver = pork.food(pork.LIVER)
        response = writer.post(form_url(version), typed(version, **{f"amount-{liver.pk}": "30"}), follow=True)
        kept = Substitution.objects.get()
        assert not kept.approved
        assert [(each.food, each.grams) for each in kept.amounts.all()] == [(liver, 30)]
        assert f"{pork.EGGSHELL}" in response.content.decode()

    @pytest.mark.parametrize("wrong", [{"grams": "-3"}, {"grams": "lots"}, {"grams": ""}, {"when": "noon"}])
    def test_what_is_wrong_stands_beside_and_nothing_typed_is_lost(self, writer, version, wrong):
        sent = typed(version) | wrong | {"note": "From the <b>market</b>"}
        response = writer.post(form_url(version), sent)
        html = response.content.decode()
        assert response.status_code == 200
        assert "From the &lt;b&gt;market" in html
        assert "Nothing was saved yet" in html
        assert not Substitution.objects.exists()

    def test_a_food_that_is_there_already_is_refused_in_words(self, writer, version):
        url = form_url(version, pork.KELP, "Salt, plain")
        html = writer.post(url, typed(version)).content.decode()
        assert "is in this version already (cooled batch)" in html

    def test_put_it_into_the_recipe(self, writer, version):
        response = writer.post(form_url(version), typed(version, act="put-in"), follow=True)
        latest = version.recipe.latest()
        assert (latest.number, latest.approved) == (2, False)
        assert latest.ingredients.filter(food__name=pork.EGGSHELL).exists()
        assert "Read its kitchen steps" in response.content.decode()

    def test_a_stored_one_is_changed(self, writer, version):
        kept = pork.make_substitution(version)
        url = reverse("recipes:substitution-edit", args=[kept.pk])
        assert writer.get(url).context["form"]["grams"].value() == 5.4
        writer.post(url, typed(version, grams="5.5"))
        kept.refresh_from_db()
        assert kept.grams == 5.5


class TestDeciding:
    def test_a_practitioner_approves_and_withdraws(self, signed_in, version):
        kept = pork.make_substitution(version)
        html = decide(signed_in, "approve", kept, seen=fingerprint(kept)).content.decode()
        assert "It is approved" in html
        kept.refresh_from_db()
        assert kept.approved
        decide(signed_in, "withdraw", kept)
        kept.refresh_from_db()
        assert not kept.approved

    def test_a_refusal_says_which_limit(self, signed_in, version):
        kept = pork.make_substitution(version, pork.LIVER, pork.CHICKEN_LIVER, 40, when="in_the_pot")
        html = decide(signed_in, "approve", kept, seen=fingerprint(kept)).content.decode()
        assert "Copper falls below minimum" in html
        kept.refresh_from_db()
        assert not kept.approved

    @pytest.mark.parametrize("what", ["approve", "withdraw"])
    def test_staff_does_not_approve(self, writer, version, what):
        kept = pork.make_substitution(version)
        assert decide(writer, what, kept, seen=fingerprint(kept)).status_code == 403

    def test_staff_takes_a_draft_out(self, writer, version):
        decide(writer, "take-out", pork.make_substitution(version))
        assert not Substitution.objects.exists()

    def test_a_stored_one_is_put_into_the_recipe(self, writer, version):
        kept = pork.make_substitution(version)
        decide(writer, "put-in", kept, seen=services.fingerprint(version))
        assert version.recipe.latest().number == 2

    def test_nothing_is_done_by_looking(self, signed_in, version):
        kept = pork.make_substitution(version)
        for what in ("approve", "withdraw", "take-out", "put-in"):
            assert signed_in.get(reverse(f"recipes:substitution-{what}", args=[kept.pk])).status_code == 405
