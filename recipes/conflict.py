"""Two texts of one recipe side by side: what one is about to save, and what another saved meanwhile. Pure.

Differences are told in words: nothing of either text is left out, also where both are the same.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

SAME, CHANGED = "", "changed"
ONLY_MINE, ONLY_THEIRS, MOVED = "only in yours", "only in theirs", "in another place"


@dataclass(frozen=True)
class Text:
    """A recipe as it reads. particulars: (what, how it reads); lines: (food, when, how it reads)."""

    particulars: tuple[tuple[str, str], ...]
    lines: tuple[tuple[str, str, str], ...]
    steps: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One thing as it reads in both texts, empty where it does not stand; difference: in words, or empty."""

    what: str
    mine: str
    theirs: str
    difference: str


@dataclass(frozen=True)
class SideBySide:
    particulars: tuple[Row, ...]
    lines: tuple[Row, ...]
    steps: tuple[Row, ...]

    @property
    def parts(self) -> list[tuple[str, tuple[Row, ...]]]:
        return [("Particulars", self.particulars), ("Ingredients", self.lines), ("Kitchen steps", self.steps)]

    @property
    def differences(self) -> int:
        return sum(bool(row.difference) for _, rows in self.parts for row in rows)


def text_of(recipe, version, ingredients: Iterable, kitchen_steps: Iterable) -> Text:
    """A recipe, saved or not, as it reads: of objects with the fields of the models."""
    cooked_g = version.cooked_weight_g
    particulars = (
        ("Title", recipe.title),
        ("Purpose", recipe.purpose),
        ("Profile", str(recipe.profile)),
        ("Tags", recipe.tags),
        ("Method", version.get_method_display()),
        ("Vessel", version.vessel),
        ("Water added", f"{version.added_water_g or 0:,.6g} g"),
        ("Cooked weight", f"{cooked_g:,.6g} g" if cooked_g else "not weighed"),
        ("What changed", version.note),
    )
    return Text(particulars, tuple(map(_line, ingredients)), tuple(map(_step, kitchen_steps)))


def _line(ingredient) -> tuple[str, str, str]:
    when = ingredient.get_when_display()
    reads = f"{ingredient.grams:,.10g} g, {when}, in steps of {ingredient.step_g:g} g"
    return ingredient.food.name, when, f"{reads}; {ingredient.note}" if ingredient.note else reads


def _step(step) -> str:
    minutes = "" if step.minutes is None else f" {step.minutes} minutes."
    temperature = "" if step.temperature_c is None else f" {step.temperature_c:g} °C inside."
    return f"{step.text}{minutes}{temperature}"


def side_by_side(mine: Text, theirs: Text) -> SideBySide:
    return SideBySide(
        tuple(
            Row(what, ours, other, SAME if ours == other else CHANGED)
            for (what, ours), (_, other) in zip(mine.particulars, theirs.particulars, strict=True)
        ),
        tuple(_lines(mine.lines, theirs.lines)),
        tuple(_steps(mine.steps, theirs.steps)),
    )


def _lines(mine: Sequence[tuple[str, str, str]], theirs: Sequence[tuple[str, str, str]]) -> list[Row]:
    """Lines of one food stand side by side; what stands in theirs only comes last."""
    partner = _partners(mine, theirs)
    in_order = SequenceMatcher(None, list(partner), sorted(partner, key=partner.get), autojunk=False)
    kept = {
        at for block in in_order.get_matching_blocks() for at in list(partner)[block.a : block.a + block.size]
    }
    rows = []
    for place, (food, _, reads) in enumerate(mine):
        other = theirs[partner[place]][2] if place in partner else ""
        differs = [CHANGED] * (reads != other) + [MOVED] * (place not in kept)
        rows.append(Row(food, reads, other, " and ".join(differs) if place in partner else ONLY_MINE))
    alone = (line for place, line in enumerate(theirs) if place not in partner.values())
    return rows + [Row(food, "", reads, ONLY_THEIRS) for food, _, reads in alone]


def _partners(mine: Sequence[tuple[str, str, str]], theirs: Sequence[tuple[str, str, str]]) -> dict[int, int]:
    """The place of each of my lines with the place of theirs that it belongs to."""
    partner: dict[int, int] = {}
    for named in (2, 1):  # by food and moment, then by food alone
        for place, line in enumerate(mine):
            free = (
                at
                for at, other in enumerate(theirs)
                if at not in partner.values() and other[:named] == line[:named]
            )
            if place not in partner and (found := next(free, None)) is not None:
                partner[place] = found
    return dict(sorted(partner.items()))


def _steps(mine: Sequence[str], theirs: Sequence[str]) -> list[Row]:
    """Steps that read the same stand side by side, and what was changed between them."""
    rows = []
    for _, start, end, other_start, other_end in SequenceMatcher(None, mine, theirs, False).get_opcodes():
        for at in range(max(end - start, other_end - other_start)):
            ours = mine[start + at] if start + at < end else ""
            other = theirs[other_start + at] if other_start + at < other_end else ""
            difference = (
                (SAME if ours == other else CHANGED) if ours and other else ONLY_MINE if ours else ONLY_THEIRS
            )
            rows.append(Row(f"Step {len(rows) + 1}", ours, other, difference))
    return rows
