"""Accepting the open limits of a version, on its page and by the services."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from nutrients.models import FoodValue
from recipes import obstacles, services
from recipes.acceptance_queries import standings, unaccepted_of
from recipes.acceptance_services import accept_limits, take_back
from recipes.models import AcceptedLimit, Ingredient
from tests import cast
from tests.recipes.deciding import VET, accept_open, approve, make_ready
from tests.recipes.form_data import RICE, TURKEY

pytestmark = pytest.mark.django_db
ZINC, CALCIUM = "zinc:minimum:below", "calcium:minimum:below"


@pytest.fixture
def version():
    """Turkey and rice alone: zinc and calcium, among others, are below the minimum."""
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


def url(version):
    return reverse("recipes:version-open-limits", args=[version.pk])


def accept(version, by, *keys, **options):
    given = {"reason": "Fed once a week.", "seen": services.fingerprint(version)}
    return accept_limits(version=version, keys=keys, by=by, **(given | options))


def open_keys(version):
    return {limit.key for limit in unaccepted_of(version)}


class TestAccepting:
    def test_it_keeps_the_answer_and_the_amount_as_they_stood(self, version, practitioner):
        before = next(x.limit for x in standings(version) if x.limit.key == ZINC)
        accept(version, practitioner, ZINC)
        kept = AcceptedLimit.objects.get()
        assert (kept.nutrient.key, kept.side, kept.answer, kept.profile) == (
            "zinc", "minimum", "below", version.recipe.profile,
        )  # fmt: skip
        assert kept.amount == before.amount
        assert (kept.reason, kept.accepted_by, kept.veterinarian) == ("Fed once a week.", practitioner, "")
        assert ZINC not in open_keys(version)

    def test_a_critical_one_wants_the_veterinarian(self, version, practitioner):
        with pytest.raises(ValidationError, match="sign-off of a veterinarian"):
            accept(version, practitioner, CALCIUM)
        accept(version, practitioner, CALCIUM, sign_off=VET)
        kept = AcceptedLimit.objects.get()
        assert (kept.veterinarian, kept.clinic, kept.agreed_on) == (VET.veterinarian, VET.clinic, VET.on)

    def test_nothing_is_accepted_of_several_when_one_may_not_be(self, version, practitioner):
        with pytest.raises(ValidationError):
            accept(version, practitioner, ZINC, CALCIUM)
        assert not AcceptedLimit.objects.exists()

    def test_never_a_critical_one_for_growth(self, practitioner):
        growth = cast.make_recipe(amounts={TURKEY: 500}, profile_key="aafco-growth")
        assert CALCIUM in open_keys(growth)
        with pytest.raises(ValidationError, match="never accepted"):
            accept(growth, practitioner, CALCIUM, sign_off=VET)

    def test_a_growth_recipe_without_calcium_is_not_approved_whatever_is_accepted(self, practitioner):
        growth = cast.make_recipe(amounts={TURKEY: 500}, profile_key="aafco-growth")
        make_ready(growth, practitioner)
        with pytest.raises(ValidationError, match="open and not accepted: .*Calcium"):
            approve(growth, practitioner)

    def test_a_reason_is_wanted(self, version, practitioner):
        with pytest.raises(ValidationError, match="Say why"):
            accept(version, practitioner, ZINC, reason="  ")

    def test_what_is_met_cannot_be_accepted(self, version, practitioner):
        with pytest.raises(ValidationError, match="changed"):
            accept(version, practitioner, "protein:minimum:below")

    def test_what_changed_meanwhile_is_looked_at_again(self, version, practitioner):
        seen = services.fingerprint(version)
        version.ingredients.filter(food__name=TURKEY).update(grams=400)
        with pytest.raises(ValidationError, match="changed"):
            accept(version, practitioner, ZINC, seen=seen)

    def test_nothing_more_of_an_approved_version(self, practitioner):
        approved = cast.make_recipe(approved_by=practitioner)
        with pytest.raises(ValidationError, match="not approved"):
            accept(approved, practitioner, ZINC)

    def test_it_is_taken_back(self, version, practitioner):
        [kept] = accept(version, practitioner, ZINC)
        take_back(accepted=kept)
        assert ZINC in open_keys(version)

    def test_of_an_approved_version_it_stays(self, version, practitioner):
        make_ready(version, practitioner)
        approve(version, practitioner)
        with pytest.raises(ValidationError, match="never changes"):
            take_back(accepted=version.accepted_limits.first())


class TestLapsing:
    def test_saving_the_draft_anew_lets_it_lapse(self, version, practitioner, staff):
        accept_open(version, practitioner)
        assert obstacles.to_approval(version) == []
        services.save_version(
            recipe=version.recipe,
            particulars={"method": "baked"},
            ingredients=[Ingredient(food=x.food, grams=x.grams) for x in version.ingredients.all()],
            kitchen_steps=[],
            author=staff,
        )
        assert not version.accepted_limits.exists()
        assert "open and not accepted" in obstacles.to_approval(version)[-1]

    def test_a_corrected_value_that_makes_it_worse_does_too(self, version, practitioner):
        make_ready(version, practitioner)
        zinc = FoodValue.objects.get(food__name=TURKEY, nutrient__key="zinc")
        zinc.per_100g = zinc.per_100g * 0.8
        zinc.save()
        standing = next(x for x in standings(version) if x.limit.key == ZINC)
        assert standing.accepted is None
        assert standing.lapsed.reason == "A topper, fed once a week."
        with pytest.raises(ValidationError, match="1 limit is open and not accepted: Zinc"):
            approve(version, practitioner)

    def test_a_lapsed_one_is_accepted_again(self, version, practitioner):
        accept(version, practitioner, ZINC)
        AcceptedLimit.objects.update(amount=1000)
        accept(version, practitioner, ZINC, reason="Looked at it again.")
        assert AcceptedLimit.objects.get().reason == "Looked at it again."


class TestPage:
    def sent(self, version, *keys, condition="reason", **fields):
        given = {"condition": condition, "keys": keys, "reason": "Fed once a week."}
        return given | {"seen": services.fingerprint(version)} | fields

    def test_each_open_limit_is_named_with_its_answer(self, client, viewer, version):
        client.force_login(viewer)
        page = client.get(url(version)).content.decode()
        assert "Zinc" in page
        assert "Below minimum" in page
        assert "Accept with a reason" not in page

    def test_a_practitioner_accepts(self, signed_in, version):
        answer = signed_in.post(url(version), self.sent(version, ZINC), follow=True)
        assert "It is accepted" in answer.content.decode()
        assert AcceptedLimit.objects.get().nutrient.key == "zinc"

    def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(self, signed_in, version):
        sent = self.sent(version, CALCIUM, condition="sign_off", veterinarian="Dr <b>Sorrel</b>", clinic="")
        answer = signed_in.post(url(version), sent)
        page = answer.content.decode()
        assert answer.status_code == 200
        assert "Enter the veterinarian&#x27;s clinic." in page
        assert "Dr &lt;b&gt;Sorrel&lt;/b&gt;" in page
        assert "Fed once a week." in page
        assert not AcceptedLimit.objects.exists()

    @pytest.mark.parametrize(("days", "kept"), [(0, True), (1, False)])
    def test_an_agreement_does_not_lie_in_the_future(self, signed_in, version, days, kept):
        on = timezone.localdate() + timedelta(days=days)
        vet = {"veterinarian": "Dr M. Sorrel", "clinic": "Sallow Bridge", "agreed_on": on.isoformat()}
        signed_in.post(url(version), self.sent(version, CALCIUM, condition="sign_off", **vet))
        assert AcceptedLimit.objects.exists() == kept

    def test_a_critical_one_is_not_offered_for_a_mere_reason(self, signed_in, version):
        answer = signed_in.post(url(version), self.sent(version, CALCIUM))
        assert answer.status_code == 200
        assert not AcceptedLimit.objects.exists()

    def test_for_growth_it_says_that_it_is_never_accepted(self, signed_in):
        growth = cast.make_recipe(amounts={TURKEY: 500}, profile_key="aafco-growth")
        page = signed_in.get(url(growth)).content.decode()
        assert "Never accepted" in page
        assert "veterinarian's sign-off" not in page

    def test_staff_accept_nothing(self, client, staff, version):
        client.force_login(staff)
        assert client.post(url(version), self.sent(version, ZINC)).status_code == 403
        assert not AcceptedLimit.objects.exists()

    def test_an_approved_version_posted_to_directly_says_no(self, signed_in, practitioner):
        approved = cast.make_recipe(approved_by=practitioner)
        answer = signed_in.post(url(approved), self.sent(approved, ZINC), follow=True)
        assert "Only of the latest version" in answer.content.decode()
        assert not AcceptedLimit.objects.exists()

    def test_an_acceptance_is_taken_back_on_the_page(self, signed_in, version, practitioner):
        [kept] = accept(version, practitioner, ZINC)
        assert "Take back" in signed_in.get(url(version)).content.decode()
        signed_in.post(reverse("recipes:acceptance-take-back", args=[kept.pk]))
        assert not AcceptedLimit.objects.exists()

    def test_of_an_approved_version_it_is_not(self, signed_in, version, practitioner):
        make_ready(version, practitioner)
        approve(version, practitioner)
        kept = version.accepted_limits.first()
        signed_in.post(reverse("recipes:acceptance-take-back", args=[kept.pk]))
        assert AcceptedLimit.objects.filter(pk=kept.pk).exists()

    def test_what_holds_no_energy_says_so(self, signed_in):
        salt = cast.make_recipe(amounts={"Salt, plain": 5})
        assert "energy" in signed_in.get(url(salt)).content.decode()
