"""The moves of a recipe: each from each state, legal or refused in a sentence."""

import pytest

from recipes.models import Recipe
from recipes.states import MOVES, moves_from, refusal

WRITER, APPROVER = "recipes.change_recipe", "recipes.approve_recipeversion"

# move: (from which states, to which, with which permission, is a reason asked)
TABLE = {
    "save": ("draft in_review approved", "draft", WRITER, False),
    "restore": ("draft in_review approved", "draft", WRITER, False),
    "review": ("draft", "in_review", WRITER, False),
    "send_back": ("in_review", "draft", APPROVER, True),
    "approve": ("in_review", "approved", APPROVER, False),
    "retire": ("draft in_review approved", "retired", APPROVER, False),
    "bring_back": ("retired", "draft", APPROVER, False),
}


def test_every_move_is_in_the_table():
    assert set(MOVES) == set(TABLE)


@pytest.mark.parametrize("move", TABLE)
def test_where_a_move_begins_and_ends_and_whose_it_is(move):
    begins, ends, permission, reason = TABLE[move]
    found = MOVES[move]
    assert (set(found.begins), found.ends) == (set(begins.split()), ends)
    assert (found.permission, found.needs_reason) == (permission, reason)


@pytest.mark.parametrize("state", Recipe.State.values)
@pytest.mark.parametrize("move", TABLE)
def test_only_legal_moves(move, state):
    legal = state in TABLE[move][0].split()
    assert (refusal(move, state) == "") == legal
    assert (move in moves_from(state)) == legal


def test_a_refusal_says_what_stands_and_what_would_do():
    assert refusal("approve", "draft") == "It is a draft: only a recipe that is in review can be approved."
    assert refusal("approve", "approved") == "It is approved already."
    assert "bring it back first" in refusal("save", "retired")
