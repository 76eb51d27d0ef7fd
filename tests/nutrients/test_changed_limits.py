"""A limit that the practice changed: kept when the tables are loaded, and marked wherever it is used."""

import pytest
from django.core.management import call_command
from django.urls import reverse

from nutrients import profiles, queries
from nutrients.adequacy import for_patient, judge
from nutrients.adequacy_table import adequacy_rows
from nutrients.models import BatchYield, Limit, Profile, Retention
from tests import cast
from tests.nutrients.makers import make_composition, make_profile

pytestmark = pytest.mark.django_db


def limit_of(profile_key, nutrient_key, kind=None):
    limits = Limit.objects.filter(profile__key=profile_key, nutrient__key=nutrient_key)
    return limits.get() if kind is None else limits.get(kind=kind)


def change(limit, **values):
    for name, value in values.items():
        setattr(limit, name, value)
    profiles.change_limit(limit=limit, reason="The book says so.")


def changed_in(profile_key):
    limits = queries.profile_limits(Profile.objects.get(key=profile_key)).limits
    return set(limits.index[limits["changed"]])


def test_nothing_is_changed_at_first():
    assert all(changed_in(profile.key) == set() for profile in Profile.objects.all())


def test_a_changed_limit_is_marked_in_its_profile_and_where_it_is_inherited():
    change(limit_of("aafco-growth", "zinc"), minimum=26)
    assert changed_in("aafco-growth") == changed_in("aafco-growth-large") == {"zinc"}
    assert changed_in("aafco-adult") == set()


def test_a_changed_limit_that_is_overridden_is_no_change_of_the_child():
    change(limit_of("aafco-growth", "calcium"), minimum=3.1)
    assert changed_in("aafco-growth-large") == set()


def test_the_mark_costs_no_further_question(django_assert_num_queries):
    profile = Profile.objects.select_related("standard", "inherits").get(key="aafco-adult")
    with django_assert_num_queries(1):
        queries.profile_limits(profile)


def test_the_mark_is_carried_through_the_judgement():
    made_of = make_composition([("liver", "organ", 100, {"zinc": 5.0, "iron": 4.0})])
    profile = make_profile({"zinc": {"minimum": 9.0, "changed": True}, "iron": {"minimum": 9.0}})
    rows = adequacy_rows(judge(made_of.totals, made_of.completeness, 500, profile))
    assert {row.key: row.changed for row in rows} == {"zinc": True, "iron": False}


def test_a_minimum_raised_from_a_changed_allowance_is_marked():
    profile = make_profile({"zinc": {"minimum": 1.0}, "iron": {"minimum": 1.0}})
    needs = make_profile({"zinc": {"minimum": 2.0, "changed": True}, "iron": {"minimum": 2.0}})
    raised = for_patient(profile, needs, 500, 16).limits
    assert raised["raised"].all()
    assert raised["changed"].to_dict() == {"zinc": True, "iron": False}


def test_no_recipe_is_judged_against_a_table_that_is_not_per_1000_kcal():
    made_of = make_composition([("liver", "organ", 100, {"zinc": 5.0})])
    with pytest.raises(ValueError, match="not given per 1000 kcal"):
        judge(made_of.totals, made_of.completeness, 500, make_profile({"zinc": {}}, basis="per_mbw"))
    allowances = queries.profile_limits(Profile.objects.get(key="nrc-adult-per-mbw"))
    assert allowances.basis == "per_mbw"


def test_a_recipe_shows_the_mark_after_a_change(client, practitioner):
    client.force_login(practitioner)
    page = cast.make_recipe().recipe.get_absolute_url()
    assert "changed by the practice" not in client.get(page).content.decode()
    change(limit_of("aafco-adult", "zinc"), minimum=21)
    shown = client.get(page).content.decode()
    assert shown.count("changed by the practice") == 1
    row = shown[shown.index("Zinc <span") :]
    assert "changed by the practice" in row[: row.index("</tr>")]


def test_loading_keeps_a_changed_limit():
    change(limit_of("aafco-adult", "protein"), minimum=48)
    change(limit_of("aafco-adult", "calcium"), minimum=1.3)
    call_command("load_reference", verbosity=0)
    assert limit_of("aafco-adult", "protein").minimum == 48
    assert limit_of("aafco-adult", "calcium").minimum == 1.3
    assert limit_of("aafco-adult", "fat").minimum == 13.8


def test_loading_brings_no_second_limit_when_a_maximum_was_added():
    """The kind of maximum tells limits apart in the tables: it changes with the first maximum."""
    limit = limit_of("aafco-adult", "protein")
    change(limit, maximum=100, kind="nutritional", maximum_certainty="verified")
    call_command("load_reference", verbosity=0)
    stored = limit_of("aafco-adult", "protein")
    assert (stored.pk, stored.minimum, stored.maximum) == (limit.pk, 45, 100)


def test_loading_keeps_changed_kitchen_factors(signed_in):
    factor = Retention.objects.get(
        food_group="beef", method="slow_cooked_liquid_kept", nutrient__key="thiamine"
    )
    batch = BatchYield.objects.get(retention_group="pot", method="simmered_liquid_kept")
    pages = {
        reverse("nutrients:retention-detail", args=[factor.pk]): {"percent": "45", "note": ""},
        reverse("nutrients:batch-yield-detail", args=[batch.pk]): {"percent": "88", "measured": "on"},
    }
    for page, typed in pages.items():
        sent = {"certainty": "memory", "source": "our kitchen", "reason": "weighed", "seen": ""} | typed
        assert signed_in.post(page, sent).status_code == 302
    call_command("load_reference", verbosity=0)
    factor.refresh_from_db()
    batch.refresh_from_db()
    assert (factor.percent, batch.percent) == (45, 88)
