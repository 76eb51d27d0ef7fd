"""What happened to a recipe: who moved it when, and why."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from nutrients.changes import said_by
from recipes.models import Recipe
from recipes.states import MOVES, WORDS


@dataclass(frozen=True)
class Event:
    """One entry of the history. number: of the version it was about, None when that is not known."""

    when: datetime
    who: str
    what: str
    number: int | None
    why: str


def events_of(recipe: Recipe) -> list[Event]:
    """The newest first. Of one draft saved again and again by one person the last time stands for all."""
    entries = list(recipe.history.select_related("history_user").order_by("history_date", "history_id"))
    return list(reversed(list(_told(entries))))


def _told(entries: list) -> Iterator[Event]:
    for place, entry in enumerate(entries):
        before = entries[place - 1] if place else None
        after = entries[place + 1] if place + 1 < len(entries) else None
        if after is not None and _saved_again(entry, after):
            continue
        if what := _what(entry, before):
            yield Event(
                when=entry.history_date,
                who=said_by(entry),
                what=what,
                number=entry.version_number,
                why=entry.history_change_reason or "",
            )


def _saved_again(entry, after) -> bool:
    if entry.move != "save" or after.move != "save":
        return False
    about = ("version_number", "history_user_id", "history_change_reason")
    return all(getattr(entry, name) == getattr(after, name) for name in about)


def _what(entry, before) -> str:
    """The move in words; of an entry without one, such as one of an import, what became of the state."""
    if entry.move:
        return MOVES[entry.move].done
    if before is None:
        return f"entered as {WORDS[entry.state]}"
    return "" if entry.state == before.state else f"made {WORDS[entry.state]}"
