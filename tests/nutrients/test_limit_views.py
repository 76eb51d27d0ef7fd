"""Changing a limit with a reason, and the profiles of the practice's own."""

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.urls import reverse

from nutrients import profiles, queries
from nutrients.models import Limit, Profile
from tests import cast

pytestmark = pytest.mark.django_db


def limit_of(profile_key, nutrient_key, **which):
    return Limit.objects.get(profile__key=profile_key, nutrient__key=nutrient_key, **which)


def form_of(limit, **typed):
    """The form as its page shows it, with what was typed."""
    shown = {
        name: "" if (value := getattr(limit, name)) is None else str(value)
        for name in ("minimum", "maximum", "kind", "certainty", "maximum_certainty", "source", "note")
    }
    newest = limit.history.first()
    return shown | {"reason": "The book says so.", "seen": str(newest.pk) if newest else ""} | typed


def post(client, limit, **typed):
    return client.post(limit.get_absolute_url(), form_of(limit, **typed))


def refused(response, *fields):
    assert response.status_code == 200
    assert list(response.context["form"].errors) == list(fields)
    return response.content.decode()


def test_a_limit_is_changed_with_its_reason(signed_in, practitioner):
    limit = limit_of("aafco-adult", "zinc")
    response = post(signed_in, limit, minimum="21.5", certainty="verified", reason="2024 print, page 4")
    assert response.status_code == 302
    limit.refresh_from_db()
    assert limit.minimum == 21.5
    before, after = limit.history.order_by("history_id")
    assert (before.minimum, before.history_user) == (20, None)
    assert (after.minimum, after.history_user, after.history_change_reason) == (
        21.5, practitioner, "2024 print, page 4",
    )  # fmt: skip


def test_the_page_shows_who_changed_what_and_why(signed_in):
    limit = limit_of("aafco-adult", "zinc")
    post(signed_in, limit, minimum="21.5", reason="2024 print")
    post(signed_in, limit_of("aafco-adult", "zinc"), minimum="20", reason="misread")
    changes = signed_in.get(limit.get_absolute_url()).context["changes"]
    said = [(c.who, c.why, [(d.label, d.before, d.after) for d in c.differences]) for c in changes]
    assert said == [
        ("robin", "misread", [("minimum", "21.5", "20")]),
        ("robin", "2024 print", [("minimum", "20", "21.5")]),
    ]
    page = signed_in.get(limit.profile.get_absolute_url()).content.decode()
    assert "changed by the practice" in page
    assert "robin: misread" in page


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("21,5", 21.5),
        ("\u00a021.5\u00a0", 21.5),
        ("1\u00a0250", 1250),
        ("1 250,5", 1250.5),
        ("0", 0),
        (".5", 0.5),
    ],
)
def test_numbers_as_people_write_them(signed_in, typed, amount):
    limit = limit_of("aafco-adult", "zinc")
    assert post(signed_in, limit, minimum=typed).status_code == 302
    limit.refresh_from_db()
    assert limit.minimum == amount


@pytest.mark.parametrize(
    "typed", ["-1", "much", "1e308", "9" * 400, "2000000", "nan", "inf", "1,250", "12\x00"]
)
def test_what_is_no_limit_is_refused_and_not_lost(signed_in, typed):
    limit = limit_of("aafco-adult", "zinc")
    page = refused(post(signed_in, limit, minimum=typed, note="My note."), "minimum")
    assert "My note." in page
    limit.refresh_from_db()
    assert (limit.minimum, limit.history.count()) == (20, 0)


def test_a_reason_is_needed(signed_in):
    page = refused(post(signed_in, limit_of("aafco-adult", "zinc"), minimum="21", reason="  "), "reason")
    assert 'value="21"' in page
    assert "Say why" in page


def test_a_minimum_above_the_maximum_is_refused(signed_in):
    page = refused(post(signed_in, limit_of("aafco-adult", "calcium"), minimum="7"), "maximum")
    assert "lies below the minimum of 7" in page


def test_a_minimum_above_an_inherited_maximum_is_refused(signed_in):
    """FEDIAF adults inherit the legal maximum of 7 mg copper per 1000 kcal."""
    limit = limit_of("fediaf-adult-110", "copper")
    page = refused(post(signed_in, limit, minimum="8"), "__all__")
    assert "a minimum of 8 mg above its legal maximum of 7 mg" in page
    limit.refresh_from_db()
    assert (limit.minimum, limit.history.count()) == (1.8, 0)


def test_a_maximum_below_the_minimum_of_an_heir_is_refused(signed_in):
    page = refused(post(signed_in, limit_of("fediaf-legal", "copper"), maximum="2.5"), "__all__")
    assert "FEDIAF" in page


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"minimum": ""}, "minimum"),
        ({"maximum": "90"}, "kind"),
        ({"kind": "legal"}, "maximum"),
        ({"source": ""}, "source"),
        ({"certainty": "sure"}, "certainty"),
    ],
)
def test_what_belongs_together_is_asked_for(signed_in, typed, field):
    response = post(signed_in, limit_of("aafco-adult", "zinc"), **typed)
    assert field in response.context["form"].errors


def test_a_maximum_needs_its_certainty(signed_in):
    limit = limit_of("aafco-adult", "zinc")
    refused(post(signed_in, limit, maximum="90", kind="nutritional"), "maximum_certainty")
    sent = post(signed_in, limit, maximum="90", kind="nutritional", maximum_certainty="memory")
    assert sent.status_code == 302


def test_a_maximum_that_is_taken_away_takes_its_certainty_with_it(signed_in):
    limit = limit_of("aafco-adult", "calcium")
    assert post(signed_in, limit, maximum="", kind="").status_code == 302
    limit.refresh_from_db()
    assert (limit.maximum, limit.kind, limit.maximum_certainty) == (None, "", "")


def test_a_change_of_nothing_is_refused(signed_in):
    page = refused(post(signed_in, limit_of("aafco-adult", "zinc")), "__all__")
    assert "Nothing is different" in page


def test_what_another_person_changed_meanwhile_is_not_overwritten(signed_in):
    limit = limit_of("aafco-adult", "zinc")
    opened = form_of(limit, minimum="22")
    post(signed_in, limit, minimum="21")
    page = refused(signed_in.post(limit.get_absolute_url(), opened), "__all__")
    assert "Somebody changed this" in page
    limit.refresh_from_db()
    assert limit.minimum == 21


@pytest.mark.parametrize("role", ["viewer", "staff"])
def test_only_a_practitioner_changes_limits(client, role):
    client.force_login(cast.make_user(role))
    limit = limit_of("aafco-adult", "zinc")
    assert client.get(limit.get_absolute_url()).status_code == 200
    assert post(client, limit, minimum="21").status_code == 403
    copy = reverse("nutrients:profile-copy", args=["aafco-adult"])
    assert client.post(copy, {"life_stage": "x", "targets_by": "y"}).status_code == 403
    limit.refresh_from_db()
    assert limit.minimum == 20


# Profiles of the practice's own

RENAL = {"life_stage": "adult, early renal", "targets_by": "Dr. Ida Fern, Marsh Lane Clinic", "note": ""}


def make_own(key="fediaf-adult-110", **particulars):
    typed = RENAL | particulars
    return profiles.copy_profile(original=Profile.objects.get(key=key), **typed)


def test_a_copy_holds_every_limit_of_its_original(signed_in, practitioner):
    copy_page = reverse("nutrients:profile-copy", args=["fediaf-adult-110"])
    assert signed_in.post(copy_page, RENAL).status_code == 302
    made = Profile.objects.get(own=True)
    assert str(made) == "Practice adult, early renal"
    assert made.history.get().history_user == practitioner
    original, copied = (
        queries.profile_limits(profile) for profile in (Profile.objects.get(key="fediaf-adult-110"), made)
    )
    assert copied.limits.equals(original.limits)
    assert copied.arginine_per_g_protein == original.arginine_per_g_protein == 0.01
    assert copied.growth == original.growth
    assert copied.edition == "own targets of Dr. Ida Fern, Marsh Lane Clinic"


@pytest.mark.parametrize("key", ["aafco-growth-large", "fediaf-growth-large", "fediaf-legal", "nrc-adult"])
def test_what_a_profile_inherits_is_copied_once(key):
    original, copy = Profile.objects.get(key=key), make_own(key)
    assert queries.profile_limits(copy).limits.equals(queries.profile_limits(original).limits)
    minima = copy.limits.filter(minimum__isnull=False).values_list("nutrient", flat=True)
    assert len(minima) == len(set(minima))


def test_a_copy_changes_alone(signed_in):
    made = make_own()
    phosphorus = limit_of(made.key, "phosphorus", minimum__isnull=False)
    assert post(signed_in, phosphorus, minimum="0.7", reason="renal target").status_code == 302
    assert limit_of("fediaf-adult-110", "phosphorus", minimum__isnull=False).minimum == 1.0
    limits = queries.profile_limits(made).limits
    assert set(limits.index[limits["changed"]]) == {"phosphorus"}


def test_a_change_of_the_original_is_told_in_the_copy(signed_in):
    zinc = limit_of("aafco-adult", "zinc")
    post(signed_in, zinc, minimum="21", reason="2024 print")
    made = make_own("aafco-adult")
    copied = limit_of(made.key, "zinc")
    page = signed_in.get(copied.get_absolute_url())
    assert [change.why for change in page.context["changes"]] == ["2024 print"]
    assert post(signed_in, copied, minimum="22", reason="for this dog").status_code == 302
    assert [c.why for c in signed_in.get(copied.get_absolute_url()).context["changes"]] == [
        "for this dog", "2024 print",
    ]  # fmt: skip
    zinc.refresh_from_db()
    assert zinc.history.count() == 2


def test_an_own_profile_is_chosen_wherever_profiles_are(signed_in):
    made = make_own()
    assert made in queries.feeding_profiles()
    recipe = cast.make_recipe().recipe
    page = signed_in.get(recipe.get_absolute_url(), {"profile": made.key}).content.decode()
    assert "Against Practice adult, early renal" in page


def test_tables_that_are_not_per_1000_kcal_are_not_copied(signed_in):
    copy_page = reverse("nutrients:profile-copy", args=["nrc-adult-per-mbw"])
    refused(signed_in.post(copy_page, RENAL), "__all__")
    assert not Profile.objects.filter(own=True).exists()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"life_stage": " "}, "life_stage"),
        ({"targets_by": ""}, "targets_by"),
        ({"life_stage": "ADULT, early  renal"}, "life_stage"),
    ],
)
def test_an_own_profile_needs_a_name_of_its_own_and_somebodys_targets(signed_in, typed, field):
    make_own()
    copy_page = reverse("nutrients:profile-copy", args=["aafco-adult"])
    refused(signed_in.post(copy_page, RENAL | {"life_stage": "another"} | typed), field)


def test_names_that_read_alike_get_keys_of_their_own():
    assert make_own().key == "own-adult-early-renal"
    assert make_own(life_stage="adult: early renal").key == "own-adult-early-renal-2"
    assert make_own(life_stage="…").key == "own-profile"


def test_an_own_profile_is_renamed(signed_in):
    made = make_own()
    page = reverse("nutrients:profile-edit", args=[made.key])
    assert signed_in.post(page, RENAL | {"note": "Stage 2."}).status_code == 302
    made.refresh_from_db()
    assert (made.note, made.key) == ("Stage 2.", "own-adult-early-renal")
    published = reverse("nutrients:profile-edit", args=["aafco-adult"])
    assert signed_in.post(published, RENAL).status_code == 403


def test_a_limit_is_added_and_taken_out(signed_in):
    made = make_own("aafco-adult")
    taurine = queries.Nutrient.objects.get(key="taurine")
    page = reverse("nutrients:limit-new", args=[made.key])
    typed = {
        "nutrient": taurine.pk, "unit": "mg", "minimum": "250", "maximum": "", "kind": "",
        "certainty": "memory", "maximum_certainty": "", "source": "Dr. Fern", "note": "", "reason": "heart",
    }  # fmt: skip
    refused(signed_in.post(page, typed | {"unit": "IU"}), "unit")
    assert signed_in.post(page, typed).status_code == 302
    limits = queries.profile_limits(made).limits
    assert (limits.at["taurine", "minimum"], limits.at["taurine", "changed"]) == (250, True)
    refused(signed_in.post(page, typed), "kind", "minimum")
    removal = reverse("nutrients:limit-remove", args=[limit_of(made.key, "taurine").pk])
    assert "Say why it is taken out." in signed_in.post(removal, {}).content.decode()
    assert signed_in.post(removal, {"remove-reason": "not needed"}).status_code == 302
    assert "taurine" not in queries.profile_limits(made).limits.index


def test_no_limit_is_added_to_or_taken_out_of_a_published_profile(signed_in):
    assert signed_in.get(reverse("nutrients:limit-new", args=["aafco-adult"])).status_code == 404
    zinc = limit_of("aafco-adult", "zinc")
    removal = reverse("nutrients:limit-remove", args=[zinc.pk])
    assert signed_in.post(removal, {"remove-reason": "no"}).status_code == 404
    with pytest.raises(ValidationError, match="copy it, and change the copy"):
        profiles.remove_limit(limit=zinc, reason="no")
    assert limit_of("aafco-adult", "zinc") == zinc


def test_an_own_profile_in_use_stays(signed_in):
    made = make_own()
    version = cast.make_recipe("Barley for Juniper", profile_key=made.key)
    page = reverse("nutrients:profile-delete", args=[made.key])
    said = signed_in.post(page, follow=True).content.decode()
    assert "recipe “Barley for Juniper”" in said
    assert Profile.objects.filter(pk=made.pk).exists()
    version.recipe.delete()
    signed_in.post(page)
    assert not Profile.objects.filter(pk=made.pk).exists()


def test_a_published_profile_is_never_deleted(signed_in):
    assert signed_in.post(reverse("nutrients:profile-delete", args=["nrc-adult"])).status_code == 403
    assert Profile.objects.filter(key="nrc-adult").exists()


def test_loading_the_reference_data_leaves_own_profiles_alone():
    made = make_own()
    call_command("load_reference", verbosity=0)
    made.refresh_from_db()
    assert (made.own, made.targets_by) == (True, RENAL["targets_by"])
