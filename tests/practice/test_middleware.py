"""Nothing is shown without a sign-in, and every answer carries the headers that keep a browser strict."""

import re

import pytest
from django.test import Client

from practice.models import PracticeProfile
from tests import cast
from tests.practice.pages import OPEN_TO_ALL, every_page

pytestmark = pytest.mark.django_db
PAGES = every_page()
BEHIND_SIGN_IN = sorted(set(PAGES) - OPEN_TO_ALL)
HTMX = {"HX-Request": "true", "HX-Current-URL": "http://testserver/patients/?q=juniper"}
INLINE = re.compile(r"<style|<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=|javascript:", re.IGNORECASE)


def test_every_address_has_a_name_and_the_walk_found_the_four_places():
    assert all(name.rpartition(":")[2] != "None" for name in PAGES)
    for name in ("practice:today", "patients:patient-list", "recipes:recipe-list", "nutrients:food-list"):
        assert name in PAGES


@pytest.mark.parametrize("name", BEHIND_SIGN_IN)
def test_a_stranger_is_sent_to_the_sign_in(client, name):
    for answer in (client.get(PAGES[name]), client.post(PAGES[name])):
        assert answer.status_code == 302
        assert answer["Location"] == f"/sign-in/?next={PAGES[name]}"


@pytest.mark.parametrize("name", BEHIND_SIGN_IN)
def test_a_fragment_asked_for_after_the_session_ended_sends_the_whole_page(client, name):
    answer = client.get(PAGES[name], headers=HTMX)
    assert answer["HX-Redirect"] == "/sign-in/?next=/patients/%3Fq%3Djuniper"
    assert answer.content == b""


def test_a_fragment_of_another_site_is_not_the_place_to_come_back_to(client):
    answer = client.get("/patients/", headers=HTMX | {"HX-Current-URL": "https://elsewhere.example/page"})
    assert answer["HX-Redirect"] == "/sign-in/?next=/"


def policy_of(answer) -> dict[str, str]:
    parts = (part.strip().partition(" ") for part in answer["Content-Security-Policy"].split(";"))
    return {name: sources for name, _, sources in parts if name}


@pytest.mark.parametrize(
    "path", ["/", "/patients/", "/settings/", "/sign-in/", "/nowhere/", "/patients/999999/"]
)
def test_every_answer_carries_a_strict_policy(signed_in, path):
    answer = signed_in.get(path)
    policy = policy_of(answer)
    assert policy["default-src"] == "'none'"
    assert set(policy.values()) == {"'none'", "'self'"}  # so nothing inline, no eval, no other host
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["form-action"] == "'self'"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] == "same-origin"
    assert answer["Cross-Origin-Opener-Policy"] == "same-origin"


def test_a_stored_page_is_never_taken_for_a_fragment(signed_in, client):
    for answer in (signed_in.get("/patients/"), client.get("/sign-in/")):
        assert "HX-Request" in answer["Vary"]


@pytest.fixture
def filled(db):
    """The first dog with a visit, a plan and a recipe: what `1` in an address stands for."""
    PracticeProfile.objects.create(name="Quillmarsh Canine Nutrition")
    dog = cast.make_patient()
    cast.make_visit(dog, appetite="poor")
    cast.make_plan(dog, cast.make_recipe())


@pytest.mark.parametrize("name", sorted(PAGES))
def test_no_page_holds_inline_script_or_style(signed_in, filled, name):
    answer = signed_in.get(PAGES[name])
    if answer["Content-Type"].startswith("text/html"):
        assert not INLINE.search(answer.content.decode())


def test_the_session_cookie_is_out_of_reach_of_scripts(client):
    cast.make_user("staff", "sam")
    client.post("/sign-in/", {"username": "sam", "password": cast.PASSWORD})
    cookie = client.cookies["sessionid"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_a_form_of_another_site_is_refused(staff):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(staff)
    assert strict.post("/sign-out/").status_code == 403
    assert strict.post("/patients/new/", {"name": "Juniper"}).status_code == 403


def test_every_app_finds_the_practice_on_the_request(signed_in):
    assert signed_in.get("/").wsgi_request.practice.recheck_days == 28  # the model's default
    PracticeProfile.objects.create(name="Quillmarsh Canine Nutrition", recheck_days=14)
    assert signed_in.get("/").wsgi_request.practice.recheck_days == 14


def test_what_a_browser_keeps_of_a_page_is_for_this_person_only(signed_in):
    kept = signed_in.get("/")["Cache-Control"]
    assert "private" in kept
    assert "no-cache" in kept
