"""The states of a recipe and the moves between them: draft, in review, approved, retired. Pure."""

from dataclasses import dataclass

DRAFT, IN_REVIEW, APPROVED, RETIRED = "draft", "in_review", "approved", "retired"
IN_USE = (DRAFT, IN_REVIEW, APPROVED)
WRITER, APPROVER = "recipes.change_recipe", "recipes.approve_recipeversion"
WORDS = {DRAFT: "a draft", IN_REVIEW: "in review", APPROVED: "approved", RETIRED: "retired"}


@dataclass(frozen=True)
class Move:
    """From one of `begins` to `ends`, by whoever has the permission. done: as the history tells it."""

    begins: tuple[str, ...]
    ends: str
    permission: str
    verb: str
    done: str
    needs_reason: bool = False


MOVES = {
    "save": Move(IN_USE, DRAFT, WRITER, "written", "saved as a draft"),
    "restore": Move(IN_USE, DRAFT, WRITER, "restored", "made from an older version"),
    "review": Move((DRAFT,), IN_REVIEW, WRITER, "sent to review", "sent to review"),
    "send_back": Move((IN_REVIEW,), DRAFT, APPROVER, "sent back", "sent back to draft", needs_reason=True),
    "approve": Move((IN_REVIEW,), APPROVED, APPROVER, "approved", "approved"),
    "retire": Move(IN_USE, RETIRED, APPROVER, "retired", "retired"),
    "bring_back": Move((RETIRED,), DRAFT, APPROVER, "brought back", "brought back as a draft"),
}


def refusal(move: str, state: str) -> str:
    """Why a recipe in this state cannot be moved so, in a sentence; "" when it can."""
    wanted = MOVES[move]
    if state in wanted.begins:
        return ""
    if state == wanted.ends:
        return f"It is {WORDS[state]} already."
    if state == RETIRED:
        return f"It is retired and cannot be {wanted.verb}: a practitioner has to bring it back first."
    allowed = " or ".join(WORDS[begin] for begin in wanted.begins)
    return f"It is {WORDS[state]}: only a recipe that is {allowed} can be {wanted.verb}."


def moves_from(state: str) -> tuple[str, ...]:
    """The moves that are legal in a state, in the order of the table."""
    return tuple(key for key, move in MOVES.items() if state in move.begins)
