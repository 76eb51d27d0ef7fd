"""A pasted list in the recipe's form: read, chosen from and put into the lines, with nothing lost."""

import pytest
from django.urls import reverse

from recipes import forms, pasting
from recipes.models import Recipe
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
NEW = reverse("recipes:recipe-new")
LIST = "1 cup cooked barley / 2 large eggs\n2 moonstone (blue) / ½ tsp salt"


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


def pasted(text, *lines, **fields):
    return form_data(
        *lines, act="paste-take", **{"pasted": text, "pasted-read": pasting.PastedList(text).mark} | fields
    )


def typed(data):
    forms_ = forms.as_typed(data, Recipe(), data["act"])
    return [
        [form[field].value() for field in ("amount", "unit", "food", "note")] for form in forms_.lines
    ], forms_


def test_what_is_clear_is_chosen_and_what_is_not_is_asked():
    barley, eggs, moonstone, salt = pasting.of_form({"pasted": LIST}).lines
    assert [offer.food for offer in (barley.chosen, eggs.chosen)] == [
        "Pearled barley, cooked",
        "Egg, whole, raw",
    ]
    assert barley.to_check == eggs.to_check == []
    assert barley.chosen.measured.written == "1 cup = 157 g"
    assert moonstone.to_check == ["No food is called “moonstone”."]
    assert salt.chosen is None
    assert {"Salt, plain", "Salt, iodized"} <= {offer.food for offer in salt.offers}


def test_the_lines_are_put_behind_the_others_and_the_unknown_as_it_was_typed():
    lines, forms_ = typed(pasted(LIST, line(TURKEY, "500"), line()))
    assert lines == [
        ["500", "g", TURKEY, ""],
        ["1", "cup", "Pearled barley, cooked", ""],
        ["2", "large", "Egg, whole, raw", ""],
        ["2", "", "moonstone", "blue"],
        ["0.5", "tsp", "salt", ""],
    ]
    assert forms_.pasted.text == ""


def test_a_supplement_goes_where_heat_spares_it():
    forms_ = forms.as_typed(data := pasted("1 tsp fish oil / 1 cup cooked barley"), Recipe(), data["act"])
    assert [form["when"].value() for form in forms_.lines] == ["cooled_batch", "in_the_pot"]


def test_another_food_is_chosen_by_hand_and_measured_as_that_food():
    eggs = pasting.of_form({"pasted": LIST}).lines[1]
    lines, _ = typed(pasted(LIST, **{eggs.field: "Egg yolk, raw"}))
    assert lines[1] == ["2", "large", "Egg yolk, raw", ""]
    lines, _ = typed(pasted(LIST, **{eggs.field: ""}))
    assert lines[1] == ["2", "", "large eggs", ""]


def test_a_list_that_changed_since_it_was_read_is_read_again_first():
    lines, forms_ = typed(pasted(LIST, line(TURKEY, "500"), **{"pasted-read": "00000000"}))
    assert len(lines) == 1
    assert forms_.pasted.text == LIST
    assert len(forms_.pasted.lines) == 4


def test_what_poisons_dogs_is_refused_where_it_is_read():
    (raisins,) = pasting.of_form({"pasted": "20 g raisins"}).lines
    assert "Never in a dog's food" in raisins.to_check[0]
    assert raisins.offers == ()


def test_two_hundred_lines_are_refused_and_kept():
    text = "\n".join(f"{grams} g turkey" for grams in range(1, 201))
    lines, forms_ = typed(pasted(text, line(TURKEY, "500")))
    assert len(lines) == 1
    assert "more than the 60" in forms_.pasted.problem
    assert forms_.pasted.text == text


def test_a_list_that_is_no_recipe_at_all_is_refused_and_kept():
    text = "1 g rice\n" * 5000
    read = pasting.of_form({"pasted": text})
    assert (read.text, read.lines) == (text, ())
    assert "5000 lines" in read.problem


def test_a_list_left_beside_the_lines_is_not_lost_by_saving(writer):
    response = writer.post(NEW, form_data(line(TURKEY, "500"), pasted="1 cup cooked barley"))
    page = response.content.decode()
    assert "This list is not in the recipe yet" in page
    assert "1 cup cooked barley" in page
    assert not Recipe.objects.exists()


def test_with_a_script_the_list_alone_comes_back_and_then_the_lines_with_it(writer):
    data = form_data(line(RICE, "5"), pasted=LIST, act="paste")
    answer = writer.post(NEW, data, headers=HTMX).content.decode()
    assert "<html" not in answer
    assert 'id="lines"' not in answer
    assert "4 lines read, 2 to check" in answer
    answer = writer.post(NEW, pasted(LIST, line(RICE, "5")), headers=HTMX).content.decode()
    assert 'id="lines"' in answer
    assert 'hx-swap-oob="true"' in answer
    assert "Pearled barley, cooked" in answer


def test_without_a_script_the_page_comes_back(writer):
    page = writer.post(NEW, form_data(line(RICE, "5"), pasted=LIST, act="paste")).content.decode()
    assert "<html" in page
    assert "4 lines read, 2 to check" in page


def test_html_in_a_list_is_shown_as_text(writer):
    page = writer.post(NEW, form_data(pasted="2 <b>eggs</b><script>", act="paste")).content.decode()
    assert "<script>" not in page.split("<main")[1].split("<script src")[0]
    assert "&lt;b&gt;eggs" in page
