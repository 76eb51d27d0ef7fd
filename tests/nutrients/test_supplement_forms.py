"""The form of a supplement: doses, forms, complete labels, seaweeds, copies and changes."""

import pytest
from django.urls import reverse

from nutrients import queries
from nutrients.models import Food, Supplement
from tests.nutrients.entries import (
    DROPS,
    NATURAL,
    SAVE,
    errors_of,
    line,
    shown,
)

pytestmark = pytest.mark.django_db
NEW = reverse("nutrients:supplement-new")
COPPER_OXIDE = "copper(II) oxide (poorly available, do not count)"
VITAMIN_E = line("vitamin_e", "10", "IU", NATURAL)


def per_dose(name) -> dict[str, float]:
    """What one dose unit holds, by nutrient."""
    supplement = Supplement.objects.get(food__name=name)
    values = supplement.food.values.values_list("nutrient__key", "per_100g")
    return {key: amount * supplement.grams_per_dose_unit / 100 for key, amount in values}


def copy_url(name) -> str:
    return reverse("nutrients:food-copy", args=[Food.objects.get(name=name).pk])


def test_a_drop_holds_what_its_label_says(clerk):
    response = clerk.post(NEW, DROPS | VITAMIN_E | {"lot": "L-17", "expiry": "2027-03-31"} | SAVE)
    supplement = Supplement.objects.get(food__name="Moon drops")
    assert response.url == supplement.food.get_absolute_url()
    assert per_dose("Moon drops") == pytest.approx({"vitamin_e": 10 / 1.49})
    stated = supplement.label_amounts.get()
    assert (stated.amount, stated.unit, stated.compound) == (10, "IU", NATURAL)
    assert stated.conversion.startswith("10 IU / 1.49 = 6.711 mg alpha-tocopherol, in 1 drop of 0.03 g")
    assert (supplement.lot, f"{supplement.expiry}") == ("L-17", "2027-03-31")
    assert supplement.food.source.startswith("label, entered by sam")
    assert supplement.food.state == "as sold"


def test_elemental_and_compound_weights_are_told_apart(clerk):
    """Zinc 65.38 of zinc gluconate 455.7; choline 104.17 of its bitartrate 253.25."""
    tablet = DROPS | {"dose_unit": "tablet", "grams_per_dose_unit": "1,5"}
    element = line("zinc", "50", "mg")
    compound = line("zinc", "50", "mg", "zinc gluconate, anhydrous") | line(
        "choline", "500", "mg", "choline bitartrate"
    )
    clerk.post(NEW, tablet | element | SAVE)
    clerk.post(NEW, tablet | compound | {"name": "Moon tablet"} | SAVE)
    assert per_dose("Moon drops")["zinc"] == pytest.approx(50)
    assert per_dose("Moon tablet")["zinc"] == pytest.approx(50 * 65.38 / 455.7, rel=1e-3)
    assert per_dose("Moon tablet")["choline"] == pytest.approx(500 * 104.17 / 253.25, rel=1e-3)


def test_epa_and_dha_of_a_capsule(clerk):
    capsule = DROPS | {"dose_unit": "capsule", "grams_per_dose_unit": "1", "group": "oil supplement"}
    lines = line("epa", "180", "mg") | line("dha", "120", "mg") | line("fat", "1", "g")
    clerk.post(NEW, capsule | lines | SAVE)
    assert per_dose("Moon drops") == pytest.approx({"epa": 0.18, "dha": 0.12, "fat": 1})


def test_what_a_label_leaves_open_stays_unknown(clerk):
    clerk.post(NEW, DROPS | VITAMIN_E | SAVE)
    row = queries.food_table().loc["Moon drops"]
    assert row.drop("vitamin_e").isna().all()


def test_a_complete_label_makes_the_rest_zero_without_inventing_energy(clerk):
    clerk.post(NEW, DROPS | VITAMIN_E | {"declares_all": "on"} | SAVE)
    row = queries.food_table().loc["Moon drops"]
    assert row["zinc"] == row["protein"] == row["nfe"] == row["energy"] == 0
    assert row["ash"] == 100
    zero = Food.objects.get(name="Moon drops").values.get(nutrient__key="zinc")
    assert "does not name it" in zero.source


def test_what_a_complete_label_declares_gives_its_energy(clerk):
    """0.02 g fat and 0.004 g carbohydrate in a drop of 0.03 g: 9 x 66.7 + 4 x 13.3 kcal in 100 g."""
    lines = line("fat", "20", "mg") | line("carbohydrate", "4", "mg")
    clerk.post(NEW, DROPS | VITAMIN_E | lines | {"declares_all": "on"} | SAVE)
    row = queries.food_table().loc["Moon drops"]
    assert row["energy"] == pytest.approx(9 * 200 / 3 + 4 * 40 / 3)
    assert row["ash"] == pytest.approx(20)
    assert row["nfe"] == pytest.approx(40 / 3)


def test_a_line_that_is_wrong_is_not_called_zero(clerk):
    sent = DROPS | VITAMIN_E | line("zinc", "x", "mg") | {"declares_all": "on"}
    form = clerk.post(NEW, sent).context["form"]
    assert "zinc" not in form.values
    assert "Zinc" not in form.left_zero()
    assert "Copper" in form.left_zero()


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (line("vitamin_e", "10", "IU"), "vitamin_e-form", "without its form"),
        (line("zinc", "50", "mg"), "zinc-amount", "50 mg cannot be in 1 drop of 0.03 g"),
        (line("copper", "1", "mg", COPPER_OXIDE), "copper-form", "not counted"),
        (line("iodine", "1", "mg", "kelp or other seaweed, its own weight"), "iodine-form", "500-fold"),
        ({"grams_per_dose_unit": "0"}, "grams_per_dose_unit", "0.0001 or more"),
        ({"grams_per_dose_unit": ""}, "grams_per_dose_unit", "Enter a number"),
        ({"dose_unit": "g", "grams_per_dose_unit": "2"}, "grams_per_dose_unit", "One g weighs 1 g"),
        ({"smallest_step": "-1"}, "smallest_step", "0.001 or more"),
        ({"heat": ""}, "heat", "Does heat harm it?"),
        ({"label_text": ""}, "label_text", "required"),
        ({"expiry": "soon"}, "expiry", "valid date"),
        ({"name": "moon DROPS of old"}, "name", "Another food is called"),
        ({"group": "organ"}, "group", "not one of the available"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_at_its_field(clerk, typed, field, said):
    Food.objects.create(name="Moon drops of old", group="salt", state="as sold", source="x")
    response = clerk.post(NEW, DROPS | VITAMIN_E | typed | SAVE)
    assert said in " ".join(errors_of(response)[field])
    assert response.context["form"]["name"].value() == (DROPS | typed)["name"]
    assert not Supplement.objects.filter(food__name="Moon drops").exists()


def test_a_label_has_a_line(clerk):
    assert "at least one line" in " ".join(errors_of(clerk.post(NEW, DROPS | SAVE))["__all__"])


def test_a_seaweed_needs_an_assay_and_its_iodine(clerk):
    kelp = DROPS | {"group": "seaweed supplement", "dose_unit": "g", "grams_per_dose_unit": "1"}
    lines = line("calcium", "10", "mg")
    wrong = errors_of(clerk.post(NEW, kelp | lines | SAVE))
    assert "need an assay" in wrong["assay"][0]
    assert "that the assay found" in wrong["iodine-amount"][0]
    assayed = kelp | line("iodine", "600", "ug") | {"assay": "lot 4, 600 ug per g"}
    assert clerk.post(NEW, assayed | SAVE).status_code == 302
    assert per_dose("Moon drops")["iodine"] == 600


# ---- copies and changes ----


def test_a_copy_reads_like_its_original(clerk):
    url = copy_url("Zinc gluconate tablet, 10 mg zinc")
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon zinc"} | SAVE
    assert clerk.post(url, sent).status_code == 302
    original, copy = per_dose("Zinc gluconate tablet, 10 mg zinc"), per_dose("Moon zinc")
    assert copy["zinc"] == pytest.approx(original["zinc"])
    assert Supplement.objects.get(food__name="Moon zinc").lot == ""


def test_a_copy_of_iu_asks_for_the_form_again(clerk):
    url = copy_url("Vitamin E capsule, 100 IU")
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon capsule"} | SAVE
    assert "vitamin_e-form" in errors_of(clerk.post(url, sent))


@pytest.mark.parametrize("name", ["Eggshell powder, dried", "Bone meal, food grade"])
def test_a_product_that_is_no_form_is_never_copied_as_the_pure_element(clerk, name):
    """1000 mg of eggshell are 380 mg calcium, not 1000 mg."""
    url = copy_url(name)
    sent = shown(clerk.get(url).context["form"]) | {"name": "Moon powder"} | SAVE
    clerk.post(url, sent)
    copied = per_dose("Moon powder")
    assert copied["calcium"] == pytest.approx(per_dose(name)["calcium"])
    assert copied["calcium"] < 400


def test_every_supplement_can_be_copied_or_says_what_is_missing(clerk):
    for name in Supplement.objects.values_list("food__name", flat=True):
        url = copy_url(name)
        form = clerk.get(url).context["form"]
        sent = shown(form) | {"name": f"Moon {name}"} | SAVE
        response = clerk.post(url, sent)
        if response.status_code == 200:
            assert {field.partition("-")[2] for field in response.context["form"].errors} == {"form"}, name


def test_an_own_supplement_is_changed_with_a_reason(clerk):
    clerk.post(NEW, DROPS | VITAMIN_E | SAVE)
    food = Food.objects.get(name="Moon drops")
    url = reverse("nutrients:food-edit", args=[food.pk])
    sent = shown(clerk.get(url).context["form"]) | {"vitamin_e-amount": "5", "lot": "L-18"} | SAVE
    assert "Say why" in errors_of(clerk.post(url, sent))["reason"][0]
    assert clerk.post(url, sent | {"reason": "weaker product"}).status_code == 302
    assert per_dose("Moon drops")["vitamin_e"] == pytest.approx(5 / 1.49)
    supplement = Supplement.objects.get(food=food)
    assert supplement.lot == "L-18"
    assert supplement.label_amounts.get().amount == 5
    assert supplement.history.first().history_change_reason == "weaker product"


def test_an_expired_lot_is_marked(clerk):
    clerk.post(NEW, DROPS | VITAMIN_E | {"expiry": "2020-01-01"} | SAVE)
    page = clerk.get(Food.objects.get(name="Moon drops").get_absolute_url()).content.decode()
    assert "past its date" in page
