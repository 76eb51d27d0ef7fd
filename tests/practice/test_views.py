"""The search over everything, and signing in."""

from pytest_django.asserts import assertRedirects

from practice import queries
from tests import cast


def test_the_search_finds_dogs_owners_recipes_and_foods(signed_in):
    cast.make_patient(cast.make_owner("Tilda Turkington"), name="Otto", breed="terrier")
    cast.make_recipe("Turkey and rice")
    found = queries.search_everything("turk")
    assert [dog.name for dog in found.patients.rows] == ["Otto"]
    assert [owner.name for owner in found.owners.rows] == ["Tilda Turkington"]
    assert [recipe.title for recipe in found.recipes.rows] == ["Turkey and rice"]
    assert found.foods.rows
    assert all("turk" in food.name.lower() for food in found.foods.rows)
    page = signed_in.get("/search/?q=turk").content.decode()
    for words in ("Otto", "Tilda Turkington", "Turkey and rice", found.foods.rows[0].name):
        assert words in page


def test_a_long_answer_is_cut_and_counted(signed_in):
    owner = cast.make_owner()
    for number in range(10):
        cast.make_patient(owner, name=f"Quince {number}")
    found = queries.search_everything("quince").patients
    assert (len(found.rows), found.count, found.more) == (queries.SEARCH_LIMIT, 10, True)
    assert "All 10 dogs" in signed_in.get("/search/?q=quince").content.decode()


def test_no_words_find_nothing_and_strange_words_are_escaped(signed_in):
    assert queries.search_everything("").nothing
    assert "Type a dog" in signed_in.get("/search/?q=+").content.decode()
    page = signed_in.get("/search/?q=%3Cb%3Equince").content.decode()
    assert "Nothing holds “&lt;b&gt;quince”" in page


def test_signing_in_leads_back_to_the_page_that_was_asked_for(client, staff):
    form = {"username": "sam", "password": cast.PASSWORD, "next": "/patients/"}
    assertRedirects(client.post("/sign-in/", form), "/patients/")
    assert client.post("/sign-out/").status_code == 302
    assert client.get("/").status_code == 302


def test_signing_in_leads_to_no_other_site(client, staff):
    form = {"username": "sam", "password": cast.PASSWORD, "next": "https://elsewhere.example/"}
    assertRedirects(client.post("/sign-in/", form), "/")


def test_a_wrong_password_is_said_and_the_name_kept(client, staff):
    answer = client.post("/sign-in/", {"username": "sam", "password": "wrong"})
    assert answer.status_code == 200
    page = answer.content.decode()
    assert 'value="sam"' in page
    assert "correct username and password" in page


def wrong_passwords(client, times: int, username: str = "sam"):
    for _ in range(times):
        answer = client.post("/sign-in/", {"username": username, "password": "wrong"})
    return answer


def test_eight_wrong_passwords_pause_the_sign_in(client, staff, settings):
    right = {"username": "sam", "password": cast.PASSWORD}
    answer = wrong_passwords(client, settings.AXES_FAILURE_LIMIT)
    assert answer.status_code == 429
    assert "Too many wrong passwords" in answer.content.decode()
    assert client.post("/sign-in/", right).status_code == 429
    assert client.get("/").status_code == 302


def test_seven_wrong_passwords_do_not(client, staff, settings):
    wrong_passwords(client, settings.AXES_FAILURE_LIMIT - 1)
    right = {"username": "sam", "password": cast.PASSWORD}
    assertRedirects(client.post("/sign-in/", right), "/")


def test_one_persons_mistakes_do_not_lock_the_others_out(client, staff, viewer, settings):
    wrong_passwords(client, settings.AXES_FAILURE_LIMIT)
    assertRedirects(client.post("/sign-in/", {"username": "vera", "password": cast.PASSWORD}), "/")
