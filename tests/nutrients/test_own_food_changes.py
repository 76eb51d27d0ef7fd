"""The pages on which foods are copied and changed, and single values corrected or estimated."""

import pytest
from django.urls import reverse

from nutrients.models import Food
from tests.nutrients.entries import (
    OATS,
    PLAIN_LINES,
    SAVE,
    amounts,
    errors_of,
    page,
    shown,
)

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LABEL = reverse("nutrients:food-enter", args=["label"])
LABORATORY = reverse("nutrients:food-enter", args=["laboratory"])
GUARANTEED = reverse("nutrients:food-enter", args=["guaranteed"])


def heart() -> Food:
    return Food.objects.get(name="Beef heart, raw")


# ---- copies and changes ----


def test_the_food_to_copy_is_looked_for(clerk):
    new = reverse("nutrients:food-new")
    assert clerk.get(new, {"copy": "beef heart, RAW"}).url == page("food-copy", heart())
    found = clerk.get(new, {"copy": "heart raw"}).context["found"]
    assert heart() in found
    assert "No food is called “moonbeam”" in clerk.get(new, {"copy": "moonbeam"}).content.decode()


def test_a_copy_keeps_what_is_not_touched(clerk):
    url = page("food-copy", heart())
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon heart", "zinc-amount": "2,2"} | SAVE
    assert clerk.post(url, sent).status_code == 302
    copy, original = amounts("Moon heart"), amounts("Beef heart, raw")
    assert copy.pop("zinc") == 2.2
    original.pop("zinc")
    assert copy == original
    values = Food.objects.get(name="Moon heart").values
    assert values.get(nutrient__key="zinc").kind == "label"
    assert values.get(nutrient__key="iron").kind == "published"


def test_a_copy_of_what_is_unusual_itself_is_not_warned_of(clerk):
    url = page("food-copy", Food.objects.get(name="Beef liver, raw"))
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon liver"} | SAVE
    assert clerk.post(url, sent).status_code == 302
    assert amounts("Moon liver")["retinol"] == 4948


def test_an_amount_that_is_emptied_becomes_unknown(clerk):
    url = page("food-copy", heart())
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon heart", "selenium-amount": ""} | SAVE
    clerk.post(url, sent)
    assert "selenium" not in amounts("Moon heart")
    assert "selenium" in amounts("Beef heart, raw")


@pytest.fixture
def oats(clerk):
    clerk.post(LABEL, OATS | PLAIN_LINES | SAVE)
    return Food.objects.get(name="Moon oats, rolled")


def test_an_own_food_is_changed_with_a_reason(clerk, oats):
    url = page("food-edit", oats)
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon oats, cut", "fat-amount": "8"} | SAVE
    assert "Say why it is changed" in errors_of(clerk.post(url, sent))["reason"][0]
    oats.refresh_from_db()
    assert oats.name == "Moon oats, rolled"
    assert clerk.post(url, sent | {"reason": "new packet"}).status_code == 302
    assert amounts("Moon oats, cut") == pytest.approx({"protein": 12.5, "fat": 8, "water": 10})
    past = oats.values.get(nutrient__key="fat").history.first()
    assert past.history_change_reason == "new packet"
    assert oats.values.get(nutrient__key="protein").history.count() == 1


def test_what_is_needed_stays_needed(clerk, oats):
    url = page("food-edit", oats)
    sent = shown(clerk.get(url).context["form"]) | {"fat-amount": "", "reason": "none"} | SAVE
    assert "Enter the fat" in errors_of(clerk.post(url, sent))["fat-amount"][0]


def test_a_food_is_discontinued_and_offered_again(clerk, oats):
    url = page("food-discontinue", oats)
    clerk.post(url, {"discontinued": "yes"})
    assert "Discontinued" in clerk.get(oats.get_absolute_url()).content.decode()
    clerk.post(url, {"discontinued": "no"})
    oats.refresh_from_db()
    assert not oats.discontinued
    assert clerk.get(url).status_code == 405


# ---- single values ----


def test_a_practitioner_corrects_a_value_with_source_and_reason(signed_in):
    url = page("value-edit", heart(), "zinc")
    sent = {"per_100g": "1,9", "kind": "laboratory", "source": "report 9"} | SAVE
    assert "Say why" in errors_of(signed_in.post(url, sent))["reason"][0]
    assert signed_in.post(url, sent | {"reason": "measured"}).status_code == 302
    value = heart().values.get(nutrient__key="zinc")
    assert (value.per_100g, value.kind) == (1.9, "laboratory")
    assert value.source.startswith("report 9, entered by robin")
    assert "measured" in signed_in.get(url).content.decode()


def test_a_value_is_taken_back(signed_in):
    url = page("value-edit", heart(), "zinc")
    assert signed_in.post(url, {"per_100g": "", "reason": "of another cut"} | SAVE).status_code == 302
    assert not heart().values.filter(nutrient__key="zinc").exists()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"per_100g": "x"}, "per_100g"),
        ({"per_100g": "-1"}, "per_100g"),
        ({"per_100g": "200000"}, "per_100g"),
        ({"kind": ""}, "kind"),
        ({"kind": "bound"}, "kind"),
        ({"kind": "estimate"}, "low"),
        ({"source": ""}, "source"),
        ({"low": "5", "high": "1"}, "low"),
    ],
)
def test_a_wrong_value_is_said_at_its_field(signed_in, typed, field):
    url = page("value-edit", heart(), "zinc")
    sent = {"per_100g": "2", "kind": "label", "source": "packet", "reason": "new"} | typed | SAVE
    assert field in errors_of(signed_in.post(url, sent))
    assert heart().values.get(nutrient__key="zinc").kind == "published"


def test_an_unlikely_value_needs_its_tick(signed_in):
    url = page("value-edit", heart(), "zinc")
    sent = {"per_100g": "1700", "kind": "label", "source": "packet", "reason": "so it says"} | SAVE
    response = signed_in.post(url, sent)
    [warning] = response.context["form"].warnings
    assert response.status_code == 200
    assert signed_in.post(url, sent | {"kept": [warning.message]}).status_code == 302


# ---- estimates ----


def test_a_missing_value_is_estimated_within_a_range(clerk):
    url = page("estimate-new", heart(), "iodine")
    sent = {"per_100g": "3", "low": "1", "high": "8", "source": "median of organs"} | SAVE
    assert clerk.post(url, sent).status_code == 302
    value = heart().values.get(nutrient__key="iodine")
    assert (value.per_100g, value.low, value.high, value.kind) == (3, 1, 8, "estimate")
    detail = clerk.get(heart().get_absolute_url()).content.decode()
    assert 'class="tag guess">estimate' in detail
    assert page("value-edit", heart(), "iodine") in detail
    assert clerk.get(url).url == page("value-edit", heart(), "iodine")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"low": ""}, "low"),
        ({"high": ""}, "high"),
        ({"low": "4"}, "low"),
        ({"source": ""}, "source"),
        ({"per_100g": ""}, "per_100g"),
    ],
)
def test_an_estimate_without_range_or_source_is_refused(clerk, typed, field):
    url = page("estimate-new", heart(), "iodine")
    sent = {"per_100g": "3", "low": "1", "high": "8", "source": "median of organs"} | typed | SAVE
    assert field in errors_of(clerk.post(url, sent))
    assert not heart().values.filter(nutrient__key="iodine").exists()


def test_the_range_of_an_estimate_is_not_offered_as_optional(clerk):
    fields = clerk.get(page("estimate-new", heart(), "iodine")).context["form"].fields
    assert [name for name in ("low", "high") if not fields[name].required] == []


def test_a_derived_nutrient_is_never_estimated(clerk):
    assert clerk.get(page("estimate-new", heart(), "nfe")).status_code == 404
