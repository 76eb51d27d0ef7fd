"""What a search for foods looks for: the words as typed, in the singular, and what else things are called."""

import pytest

from nutrients.food_words import plain, terms

SYNONYMS = [
    ("courgette", "zucchini"),
    ("minced", "ground"),
    ("mince", "ground"),
    ("ox", "beef"),
    ("capsicum", "bell pepper"),
    ("sweet pepper", "bell pepper"),
    ("black eyed pea", "cowpea"),
]


def looks_for(text):
    """Each term as a set of alternatives."""
    return [set(term) for term in terms(text, SYNONYMS)]


def test_letters_become_plain():
    assert plain("Crème FRAÎCHE") == "creme fraîche"  # the rarer accents are left as they are
    assert plain("Épinard (whole-leaf), A/B") == "epinard  whole leaf), a b"


def test_every_word_is_a_term_of_its_own():
    assert looks_for("RAW, liver") == [{("raw",)}, {("liver",)}]
    assert looks_for("  ") == []


def test_a_synonym_holds_both_ways_and_begins_a_word():
    assert looks_for("courgette raw")[0] == {("courgette",), (" zucchini",)}
    assert looks_for("zucchini raw")[0] == {("zucchini",), (" courgette",)}


def test_several_words_for_the_same_thing_stand_for_each_other():
    assert looks_for("minced raw")[0] == {("minced",), (" mince",), (" ground",)}


def test_a_phrase_is_one_term_whose_words_may_stand_apart():
    assert looks_for("sweet pepper raw") == [
        {("sweet", "pepper"), (" capsicum",), (" bell", " pepper")},
        {("raw",)},
    ]
    assert looks_for("capsicum raw")[0] == {("capsicum",), (" bell", " pepper"), (" sweet", " pepper")}
    assert looks_for("black-eyed peas")[0] == {
        ("black", "eyed", "peas"),
        (" black", " eyed", " pea"),
        (" cowpea",),
    }


@pytest.mark.parametrize(
    ("typed", "singular"),
    [("eggs", "egg"), ("berries", "berry"), ("tomatoes", "tomato"), ("courgettes", "courgette")],
)
def test_a_plural_finds_the_singular(typed, singular):
    assert {(typed,), (f" {singular}",)} <= looks_for(f"{typed} raw")[0]


@pytest.mark.parametrize("typed", ["swiss", "asparagus", "as", "liver"])
def test_what_is_no_plural_stays(typed):
    assert looks_for(typed) == [{(typed,)}]


def test_the_word_being_typed_finds_what_it_may_become():
    assert looks_for("raw cour") == [{("raw",)}, {("cour",), (" zucchini",)}]
    assert looks_for("cour raw")[0] == {("cour",)}
    assert looks_for("cou") == [{("cou",)}]
