"""Two people save one recipe: both texts side by side, nothing lost, and the ways on."""

import pytest
from django.urls import reverse

from recipes.conflict import Text, side_by_side
from recipes.models import Recipe, RecipeVersion
from recipes.services import fingerprint
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, form_data, line

PARTICULARS = (("Title", "Pot"), ("Vessel", ""))


def text(lines=(), steps=(), particulars=PARTICULARS):
    return Text(
        particulars, tuple((food, when, f"{grams} g, {when}") for food, grams, when in lines), tuple(steps)
    )


def told(rows):
    return [(row.what, row.difference) for row in rows]


class TestSideBySide:
    def test_two_texts_that_read_the_same_differ_in_nothing(self):
        one = text([("rice", 5, "late")], ["Simmer."])
        compared = side_by_side(one, one)
        assert compared.differences == 0
        assert [row.mine for _, rows in compared.parts for row in rows] == ["Pot", "", "5 g, late", "Simmer."]

    def test_each_difference_is_told_in_words_with_both_texts(self):
        mine = text(
            [("rice", 5, "late"), ("kale", 9, "late")], particulars=(("Title", "Pot"), ("Vessel", "pan"))
        )
        theirs = text([("rice", 7, "late"), ("egg", 1, "late")])
        compared = side_by_side(mine, theirs)
        assert told(compared.particulars) == [("Title", ""), ("Vessel", "changed")]
        assert told(compared.lines) == [
            ("rice", "changed"),
            ("kale", "only in yours"),
            ("egg", "only in theirs"),
        ]
        rice, kale, egg = compared.lines
        assert (rice.mine, rice.theirs) == ("5 g, late", "7 g, late")
        assert (kale.theirs, egg.mine) == ("", "")
        assert compared.differences == 4

    def test_a_line_that_moved_is_told_and_the_others_are_not(self):
        lines = [("rice", 5, "late"), ("kale", 9, "late"), ("egg", 1, "late")]
        compared = side_by_side(text([lines[2], *lines[:2]]), text(lines))
        assert told(compared.lines) == [("egg", "in another place"), ("rice", ""), ("kale", "")]

    def test_one_food_at_two_moments_is_two_lines(self):
        mine = text([("oil", 5, "late"), ("oil", 2, "in the bowl")])
        theirs = text([("oil", 2, "in the bowl"), ("oil", 6, "in the pot")])
        compared = side_by_side(mine, theirs)
        assert [(row.mine, row.theirs) for row in compared.lines] == [
            ("5 g, late", "6 g, in the pot"),
            ("2 g, in the bowl", "2 g, in the bowl"),
        ]

    def test_steps_are_laid_beside_each_other_by_what_they_say(self):
        compared = side_by_side(
            text(steps=["Soak.", "Simmer.", "Cool."]), text(steps=["Simmer gently.", "Cool.", "Stir."])
        )
        assert [(row.mine, row.theirs, row.difference) for row in compared.steps] == [
            ("Soak.", "Simmer gently.", "changed"),
            ("Simmer.", "", "only in yours"),
            ("Cool.", "Cool.", ""),
            ("", "Stir.", "only in theirs"),
        ]


@pytest.fixture
def version(db):
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


def edit_url(version):
    return reverse("recipes:recipe-edit", args=[version.recipe.pk])


def typed_in(response) -> dict[str, str]:
    """What the page's form would send on."""
    return response.context["typed"] | {"theirs": response.context["fingerprint"]}


def both_save(writer, version, **mine):
    """Another saves 300 g turkey after I opened the recipe; then I save 450 g."""
    seen = fingerprint(version)
    theirs = form_data(line(TURKEY, "300"), title="Turkey and rice", note="less", seen=seen)
    assert writer.post(edit_url(version), theirs).status_code == 302
    data = form_data(line(TURKEY, "450"), line(RICE, "200"), steps=[{"text": "Simmer."}], seen=seen)
    return writer.post(edit_url(version), data | mine)


class TestPage:
    def test_it_shows_both_texts_and_writes_neither(self, writer, version):
        response = both_save(writer, version)
        page = response.content.decode()
        assert response.status_code == 200
        for said in ("450 g, in the pot", "300 g, in the pot", "Simmer.", "less", "only in yours", "changed"):
            assert said in page
        assert version.ingredients.get().grams == 300

    def test_keeping_mine_is_a_second_press_that_knows_what_it_writes_over(self, writer, version):
        response = both_save(writer, version)
        writer.post(edit_url(version), typed_in(response) | {"act": "save-over"})
        assert [i.grams for i in version.ingredients.all()] == [450, 200]
        assert version.kitchen_steps.get().text == "Simmer."

    def test_what_was_saved_once_more_meanwhile_is_not_written_over_either(self, writer, version):
        response = both_save(writer, version)
        version.ingredients.update(grams=299)
        again = writer.post(edit_url(version), typed_in(response) | {"act": "save-over"})
        assert "299 g, in the pot" in again.content.decode()
        assert version.ingredients.get().grams == 299

    def test_going_on_keeps_all_that_was_typed_and_compares_again_at_the_next_save(self, writer, version):
        data = typed_in(both_save(writer, version))
        page = writer.post(edit_url(version), data | {"act": "work-out"})
        assert [form["amount"].value() for form in page.context["forms"].lines] == ["450", "200"]
        assert "Somebody saved this recipe after you opened it" in page.content.decode()
        again = writer.post(edit_url(version), data | {"seen": page.context["seen"], "act": "save"})
        assert "compared" in again.context

    @pytest.mark.parametrize("field", ["title", "purpose", "tags", "note", "vessel"])
    def test_particulars_that_another_changed_are_noticed(self, writer, version, field):
        seen = fingerprint(version)
        model = RecipeVersion if field in ("note", "vessel") else Recipe
        model.objects.filter(pk=version.pk if model is RecipeVersion else version.recipe.pk).update(
            **{field: "new"}
        )
        response = writer.post(edit_url(version), form_data(line(TURKEY, "450"), seen=seen))
        assert "compared" in response.context

    def test_a_version_approved_meanwhile_stays_and_says_by_whom(self, writer, version, practitioner):
        seen = fingerprint(version)
        RecipeVersion.objects.filter(pk=version.pk).update(
            approved_by=practitioner, approved_at="2026-03-01T12:00Z"
        )
        response = writer.post(edit_url(version), form_data(line(TURKEY, "450"), seen=seen))
        assert "approved by robin" in response.content.decode()
        writer.post(edit_url(version), typed_in(response) | {"act": "save-over"})
        assert [v.number for v in version.recipe.versions.all()] == [2, 1]
        assert version.ingredients.count() == 2

    def test_a_form_that_does_not_say_what_it_saw_is_compared_too(self, writer, version):
        response = writer.post(edit_url(version), form_data(line(TURKEY, "450")))
        assert "compared" in response.context
        assert version.ingredients.count() == 2

    def test_html_is_shown_as_text(self, writer, version):
        page = both_save(
            writer, version, title="<script>alert(1)</script>", note="</textarea><b>x"
        ).content.decode()
        assert "<script>alert" not in page
        assert "&lt;script&gt;alert(1)" in page
        assert "&lt;/textarea&gt;&lt;b&gt;x" in page
