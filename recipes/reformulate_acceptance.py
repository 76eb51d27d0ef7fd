"""A proposal, or those of its lines that were ticked, taken over into the recipe."""

from collections.abc import Collection, Sequence

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from recipes import services
from recipes.models import RecipeVersion
from recipes.presentation import as_written
from recipes.reformulate_offer import Offer
from recipes.reformulate_page import mixed, version_with
from recipes.reformulate_start import Start, foods_by_key

LONGEST_NOTE = RecipeVersion._meta.get_field("note").max_length
LONGEST_WORDS = 200


def accept(*, start: Start, offer: Offer, taken: Collection[str], words: str, by: User) -> RecipeVersion:
    """Save the start with the lines that were taken, as a draft; kitchen steps and particulars stay.

    A cooked weight that was weighed for other amounts is left out. words: what the author adds to the note.
    Raises ValidationError when nothing would change or the version changed since the proposal was worked out.
    """
    ingredients = mixed(start, offer, taken)
    changes = _changes(offer, taken)
    if not changes and not start.swap:
        raise ValidationError("Nothing is ticked: tick the lines to take over.")
    version = version_with(start.version, ingredients)
    steps = list(start.version.kitchen_steps.all())
    for step in steps:
        step.pk, step._state.adding = None, True
    return services.save_version(
        recipe=start.version.recipe,
        particulars={name: getattr(version, name) for name in services.PARTICULARS}
        | {"note": note(start.swap, changes, words)},
        ingredients=ingredients,
        kitchen_steps=steps,
        author=by,
        seen=offer.seen,
    )


def _changes(offer: Offer, taken: Collection[str]) -> list[str]:
    """The largest change first: "Salt, plain 2 to 1.5 g"."""
    lines = [line for line in offer.changed() if line.key in taken]
    foods = foods_by_key(line.food for line in lines)
    lines.sort(key=lambda line: -abs(line.after_g - line.before_g))
    return [_change(str(foods[line.food]), line.before_g, line.after_g) for line in lines]


def _change(food: str, before_g: float, after_g: float) -> str:
    if not before_g:
        return f"{food} {as_written(after_g)} g, new"
    if not after_g:
        return f"{food} left out"
    return f"{food} {as_written(before_g)} to {as_written(after_g)} g"


def note(swap: str, changes: Sequence[str], words: str) -> str:
    """What changed, in at most as many letters as a version's note holds; what does not fit is counted."""
    words = words.strip()
    room = LONGEST_NOTE - len(words) - (2 if words else 0)
    said = _told(swap, changes)
    named = len(changes)
    while len(said) > room and named:
        named -= 1
        said = _told(swap, [*changes[:named], f"{len(changes) - named} more"])
    told = said if len(said) <= room else f"{said[: room - 1]}…"
    return f"{told}. {words}" if words else told


def _told(swap: str, changes: Sequence[str]) -> str:
    parts = [swap, f"Reformulated: {'; '.join(changes)}" if changes else ""]
    return ". ".join(filter(None, parts))
