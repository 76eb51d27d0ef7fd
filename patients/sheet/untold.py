"""What a practice wrote itself and no catalogue holds: it stays as written, and the sheet says so. Pure."""

from collections.abc import Iterator

from nutrients.language import is_said, say
from patients.batch import Batch
from patients.sheet.cooking import Recipe


def in_english_sentence(recipe: Recipe, batch: Batch) -> str:
    """A sentence when a name or a step of this sheet has no words in the language spoken, else empty."""
    if all(map(is_said, _written(recipe, batch))):
        return ""
    return say("Some names and cooking steps stand here as we wrote them. Ask us when one is not clear.")


def _written(recipe: Recipe, batch: Batch) -> Iterator[str]:
    yield recipe.title
    yield from (text for text, _, _ in recipe.steps)
    for line in batch.scaled.lines:
        yield from (line.portion.food, line.portion.note, line.portion.form)
        if line.measured:
            yield line.measured.label
