"""Guaranteed analyses: minima and maxima in 100 g as fed, kept as bounds and never counted."""

import pytest
from django.urls import reverse

from nutrients import labels
from nutrients.models import Food
from tests.nutrients.entries import (
    FORMS,
    NATURAL,
    PROTEIN,
    SAVE,
    VITAMIN_E,
    ZINC,
    bound,
    errors_of,
    line,
    page,
    shown,
)

GUARANTEED = reverse("nutrients:food-enter", args=["guaranteed"])


# ---- worked out ----


def guarantee(low, high, unit="%", nutrient=PROTEIN, water=None, form=""):
    return labels.guarantee(low, high, unit, form, nutrient, FORMS, water)


@pytest.mark.parametrize(
    ("unit", "nutrient", "form", "stated", "per_100g"),
    [
        ("%", PROTEIN, "", 8, 8),
        ("g/kg", PROTEIN, "", 80, 8),
        ("%", ZINC, "", 0.015, 15),  # 0.015 g = 15 mg in 100 g
        ("mg/kg", ZINC, "", 150, 15),
        ("ug/kg", ZINC, "", 150_000, 15),
        ("IU/kg", VITAMIN_E, NATURAL, 149, 10),  # 14.9 IU in 100 g / 1.49
    ],
)
def test_a_guaranteed_amount_in_100_g(unit, nutrient, form, stated, per_100g):
    bound = guarantee(stated, None, unit, nutrient, form=form)
    assert bound.low == pytest.approx(per_100g)
    assert bound.high is None
    assert bound.words.startswith("at least ")


def test_a_minimum_in_dry_matter_holds_at_the_most_water_and_a_maximum_at_the_least():
    """Water at most 78 %, at least not said: dry matter is between 22 g and 100 g in 100 g."""
    bound = guarantee(30, 40, water=(0, 78))
    assert (bound.low, bound.high) == pytest.approx((30 * 0.22, 40))
    measured = guarantee(30, 40, water=(75, 75))
    assert (measured.low, measured.high) == pytest.approx((7.5, 10))
    assert "at least 30 g in dry matter x 0.25 = 7.5 g as fed" in measured.words


def test_iu_need_a_form_in_a_guarantee_too():
    with pytest.raises(ValueError, match="without its form"):
        guarantee(100, None, "IU/kg", VITAMIN_E)


# ---- entered ----


STEW = {"name": "Moon stew", "group": "muscle meat", "state": "canned", "given": "as fed"}
GUARANTEES = bound("protein", low="8") | bound("fat", low="5") | bound("water", high="78")


def test_a_guaranteed_analysis_is_kept_as_bounds(clerk):
    sent = STEW | GUARANTEES | bound("calcium", "0.2", "0,4") | SAVE
    assert clerk.post(GUARANTEED, sent).status_code == 302
    food = Food.objects.get(name="Moon stew")
    found = {v.nutrient.key: (v.low, v.high, v.per_100g) for v in food.values.select_related("nutrient")}
    assert found == {
        "protein": (8, None, None),
        "fat": (5, None, None),
        "water": (None, 78, None),
        "calcium": (200, 400, None),
    }
    detail = clerk.get(food.get_absolute_url()).content.decode()
    assert "guaranteed analysis: at least 8 g" in detail


def test_a_guarantee_in_dry_matter_rests_on_the_water(clerk):
    sent = STEW | {"given": "dry matter"} | GUARANTEES | bound("fiber", high="3") | SAVE
    clerk.post(GUARANTEED, sent)
    values = Food.objects.get(name="Moon stew").values
    assert values.get(nutrient__key="protein").low == pytest.approx(8 * 0.22)
    assert values.get(nutrient__key="fiber").high == 3  # it may hold no water at all


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (bound("protein", "9", "8"), "protein-low", "minimum lies above the maximum"),
        (bound("protein", "30", "20") | {"given": "dry matter"}, "protein-low", "minimum lies"),
        (bound("protein"), "protein-low", "Enter the protein"),
        (bound("water"), "water-low", "Enter the water"),
        (bound("ash", high="101"), "ash-low", "cannot be in 100 g"),
        (bound("vitamin_e", "50", unit="IU/kg"), "vitamin_e-form", "without its form"),
        (bound("zinc", "-1"), "zinc-low", "0 or more"),
    ],
)
def test_a_wrong_guarantee_is_said_at_its_field(clerk, typed, field, said):
    errors = errors_of(clerk.post(GUARANTEED, STEW | GUARANTEES | typed | SAVE))
    assert said in " ".join(errors[field])
    assert not Food.objects.filter(name="Moon stew").exists()


def test_minima_above_the_whole_are_refused(clerk):
    sent = STEW | GUARANTEES | bound("protein", "60") | bound("fat", "45") | SAVE
    assert "add up to 105 g" in " ".join(errors_of(clerk.post(GUARANTEED, sent))["__all__"])


def test_a_bound_is_shown_and_replaced_by_a_value(clerk):
    clerk.post(GUARANTEED, STEW | GUARANTEES | SAVE)
    food = Food.objects.get(name="Moon stew")
    url = page("food-edit", food)
    blank = clerk.get(url)
    assert "guaranteed analysis: at least 8 g" in blank.content.decode()
    sent = shown(blank.context["form"]) | line("protein", "9", "g") | {"reason": "measured"} | SAVE
    assert clerk.post(url, sent | {"changed_from": "laboratory"}).status_code == 302
    value = food.values.get(nutrient__key="protein")
    assert (value.per_100g, value.low, value.kind) == (9, None, "laboratory")
