"""The pages on which foods are entered: what is read, refused, warned of and kept."""

import pytest
from django.urls import reverse

from nutrients.models import Food, FoodValue
from tests.nutrients.entries import (
    NATURAL,
    OATS,
    PLAIN_LINES,
    SAVE,
    amounts,
    errors_of,
    line,
    page,
)

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LABEL = reverse("nutrients:food-enter", args=["label"])
LABORATORY = reverse("nutrients:food-enter", args=["laboratory"])
GUARANTEED = reverse("nutrients:food-enter", args=["guaranteed"])


def heart() -> Food:
    return Food.objects.get(name="Beef heart, raw")


# ---- who may ----


@pytest.mark.parametrize("role", ["viewer", "staff", "practitioner"])
def test_staff_and_practitioners_enter_foods_and_viewers_read(client, role, request):
    client.force_login(request.getfixturevalue(role))
    pages = [
        reverse("nutrients:food-new"),
        LABEL,
        reverse("nutrients:supplement-new"),
        page("food-copy", heart()),
        page("estimate-new", heart(), "iodine"),
    ]
    expected = 403 if role == "viewer" else 200
    assert [client.get(url).status_code for url in pages] == [expected] * len(pages)
    assert client.post(page("food-discontinue", heart())).status_code == (403 if role == "viewer" else 302)


def test_a_published_value_is_corrected_by_a_practitioner_only(client, staff, practitioner):
    url = page("value-edit", heart(), "zinc")
    client.force_login(staff)
    assert client.get(url).status_code == 403
    client.force_login(practitioner)
    assert client.get(url).status_code == 200


def test_a_published_food_cannot_be_edited(signed_in):
    shown = signed_in.get(page("food-edit", heart()), follow=True)
    assert shown.redirect_chain[-1][0] == heart().get_absolute_url()
    assert "copy it and change the copy" in shown.content.decode()


def test_the_foods_pages_lead_to_what_may_be_done(client, staff, viewer):
    client.force_login(staff)
    listed = client.get(reverse("nutrients:food-list")).content.decode()
    detail = client.get(heart().get_absolute_url()).content.decode()
    assert reverse("nutrients:food-new") in listed
    assert page("food-copy", heart()) in detail
    assert page("estimate-new", heart(), "iodine") in detail
    assert page("value-edit", heart(), "zinc") not in detail
    client.force_login(viewer)
    detail = client.get(heart().get_absolute_url()).content.decode()
    assert page("food-copy", heart()) not in detail
    assert page("estimate-new", heart(), "iodine") not in detail


# ---- from a label ----


def test_a_label_in_servings_is_brought_to_100_g(clerk):
    response = clerk.post(LABEL, OATS | PLAIN_LINES | SAVE)
    food = Food.objects.get(name="Moon oats, rolled")
    assert response.url == food.get_absolute_url()
    # 5, 3 and 4 g in 40 g.
    assert amounts(food.name) == pytest.approx({"protein": 12.5, "fat": 7.5, "water": 10})
    assert food.values.get(nutrient__key="fat").source.startswith(
        "label: 3 g fat, as stated, in a serving of 40 g: 7.5 g in 100 g, entered by sam"
    )


@pytest.mark.parametrize(
    ("basis", "factor"),
    [
        ({"basis_of": "100g"}, 1),
        ({"basis_of": "kg"}, 0.1),
        ({"basis_of": "100ml", "g_per_ml": "1,25"}, 0.8),
        ({"basis_of": "serving", "serving_g": "20"}, 5),
    ],
)
def test_what_the_amounts_stand_for(clerk, basis, factor):
    values = clerk.post(LABEL, OATS | basis | PLAIN_LINES).context["form"].values
    assert values["protein"].per_100g == pytest.approx(5 * factor)


def test_dry_matter_gives_the_water(clerk):
    lines = line("protein", "5", "g") | line("fat", "3", "g") | {"dry_matter": "36"}
    clerk.post(LABEL, OATS | lines | SAVE)
    assert amounts("Moon oats, rolled")["water"] == pytest.approx(10)  # 36 of 40 g are dry


def test_forms_and_units_are_converted(clerk):
    lines = (
        line("vitamin_e", "2,98", "IU", NATURAL)
        | line("selenium", "0.004", "mg")
        | line("energy", "628", "kJ")
    )
    clerk.post(LABEL, OATS | PLAIN_LINES | lines | SAVE | {"kept": [], "reason": ""})
    found = amounts("Moon oats, rolled")
    # 2.98 IU / 1.49 = 2 mg, 4 ug and 150.1 kcal in 40 g.
    assert (found["vitamin_e"], found["selenium"]) == pytest.approx((5, 10))
    assert found["energy"] == pytest.approx(628 / 4.184 * 2.5)


def test_working_out_shows_the_conversions_and_keeps_nothing(clerk):
    lines = line("vitamin_e", "2.98", "IU", NATURAL)
    response = clerk.post(LABEL, OATS | PLAIN_LINES | lines | {"act": "work-out"})
    said = response.content.decode()
    assert response.status_code == 200
    assert "2.98 IU / 1.49 = 2 mg alpha-tocopherol, in a serving of 40 g: 5 mg in 100 g" in said
    assert "Nothing stands against it." in said
    assert 'value="2.98"' in said
    assert not Food.objects.filter(name="Moon oats, rolled").exists()


def test_htmx_gets_what_follows_alone_and_never_saves(clerk):
    response = clerk.post(LABEL, OATS | PLAIN_LINES | SAVE, headers=HTMX)
    said = response.content.decode()
    assert response.status_code == 200
    assert "nutrients/_workings.html" in [template.name for template in response.templates]
    assert "<html" not in said
    assert "12.5" in said
    assert not Food.objects.filter(name="Moon oats, rolled").exists()


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (line("zinc", "much", "mg"), "zinc-amount", "in figures"),
        (line("zinc", "1e308", "mg"), "zinc-amount", "in figures"),
        (line("zinc", "9" * 400, "mg"), "zinc-amount", "number"),
        (line("zinc", "-3", "mg"), "zinc-amount", "0 or more"),
        (line("zinc", "1,200", "mg"), "zinc-amount", "two ways"),
        (line("zinc", "10000000000", "mg"), "zinc-amount", "at most"),
        (line("zinc", "3", ""), "zinc-unit", "In which unit"),
        (line("zinc", "3", "bags"), "zinc-unit", "bags is not one"),
        (line("zinc", "3", "mg", "stardust"), "zinc-form", "stardust is not one"),
        (line("zinc", "41", "g"), "zinc-amount", "41 g cannot be in a serving of 40 g"),
        (line("vitamin_e", "10", "IU"), "vitamin_e-form", "means nothing without its form"),
        (line("vitamin_d", "10", "IU"), "vitamin_d-form", "means nothing without its form"),
        (line("riboflavin", "3", "IU"), "riboflavin-unit", "IU is not one"),
        (line("saturated_fat", "4", "g"), "saturated_fat-amount", "only 7.5 g fat in all"),
        (line("lysine", "7", "g"), "lysine-amount", "only 12.5 g protein in all"),
        ({"name": "beef HEART,  raw"}, "name", "Another food is called"),
        ({"name": ""}, "name", "Give the food a name"),
        ({"group": ""}, "group", "Choose the group"),
        ({"group": "vitamin supplement"}, "group", "not one of the available"),
        ({"state": ""}, "state", "Raw, cooked"),
        ({"serving_g": ""}, "serving_g", "What does a serving weigh?"),
        ({"serving_g": "0"}, "serving_g", "or more"),
        ({"basis_of": "100ml"}, "g_per_ml", "What does 1 ml weigh?"),
        ({"basis_of": "100ml", "g_per_ml": "92"}, "g_per_ml", "92 g/ml cannot be right"),
        ({"refuse_percent": "100"}, "refuse_percent", "at most 99"),
        (line("protein", "", "g"), "protein-amount", "Enter the protein"),
        (line("fat", "", "g"), "fat-amount", "Enter the fat"),
        (line("water", "", "g"), "water-amount", "Enter the water, or the dry matter"),
        (line("water", "", "g") | {"dry_matter": "41"}, "dry_matter", "cannot be in a serving of 40 g"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_typed_is_lost(clerk, typed, field, said):
    before = FoodValue.objects.count()
    sent = OATS | PLAIN_LINES | typed | SAVE
    response = clerk.post(LABEL, sent)
    assert said in " ".join(errors_of(response)[field])
    form = response.context["form"]
    assert {name: form[name].value() for name in sent if name in form.fields} == {
        name: value for name, value in sent.items() if name in form.fields
    }
    assert f'id="id_{field}_error"' in response.content.decode()
    assert FoodValue.objects.count() == before


def test_numbers_are_read_as_people_write_them(clerk):
    lines = (
        line("sodium", "1\u00a0200,5", "mg")
        | line("potassium", "1\u202f000", "mg")
        | line("zinc", " 2,5 ", "mg")
    )
    values = clerk.post(LABEL, OATS | PLAIN_LINES | lines).context["form"].values
    found = [values[key].per_100g for key in ("sodium", "potassium", "zinc")]
    assert found == pytest.approx([3001.25, 2500, 6.25])


def test_a_second_error_does_not_hide_behind_a_missing_value(clerk):
    wrong = errors_of(clerk.post(LABEL, OATS | line("protein", "x", "g") | SAVE))
    assert "figures" in wrong["protein-amount"][0]
    assert len(wrong["protein-amount"]) == 1


# ---- warnings ----

IRON_IN_G = line("iron", "4", "g")  # 10 000 mg in 100 g


def test_an_unlikely_value_waits_for_a_tick_and_a_reason(clerk):
    sent = OATS | PLAIN_LINES | IRON_IN_G | SAVE
    response = clerk.post(LABEL, sent)
    [warning] = response.context["form"].warnings
    assert "times the usual" in warning.message
    assert "tick the warning" in response.content.decode()
    ticked = sent | {"kept": [warning.message]}
    assert "Say why" in errors_of(clerk.post(LABEL, ticked))["reason"][0]
    assert errors_of(clerk.post(LABEL, sent | {"reason": "fortified"}))
    assert not Food.objects.filter(name="Moon oats, rolled").exists()
    assert clerk.post(LABEL, ticked | {"reason": "fortified"}).status_code == 302
    food = Food.objects.get(name="Moon oats, rolled")
    assert warning.message in food.note
    assert "Reason: fortified" in food.note
    assert food.history.get().history_change_reason == "fortified"


def test_a_tick_holds_for_its_own_warning_only(clerk):
    sent = OATS | PLAIN_LINES | IRON_IN_G | SAVE | {"reason": "fortified"}
    [warning] = clerk.post(LABEL, sent).context["form"].warnings
    other = sent | line("iron", "5", "g") | {"kept": [warning.message]}
    response = clerk.post(LABEL, other)
    assert [warned.kept for warned in response.context["form"].warnings] == [False]
    assert response.status_code == 200


def test_parts_that_do_not_add_up_are_a_warning(clerk):
    lines = line("carbohydrate", "10", "g") | line("ash", "1", "g")  # 23 g of 40 g
    [warning] = clerk.post(LABEL, OATS | PLAIN_LINES | lines | SAVE).context["form"].warnings
    assert "add up to 57.5 g in 100 g" in warning.message


# ---- other ways in ----


def test_a_laboratory_report_is_taken_as_one(clerk):
    sent = OATS | {"basis_of": "100g", "source": "report 7"} | PLAIN_LINES | SAVE
    clerk.post(LABORATORY, sent)
    food = Food.objects.get(name="Moon oats, rolled")
    assert food.source.startswith("laboratory report: report 7, entered by sam")
    assert set(food.values.values_list("kind", flat=True)) == {"laboratory"}


def test_another_way_in_is_no_page(clerk):
    assert clerk.get(reverse("nutrients:food-enter", args=["hearsay"])).status_code == 404
