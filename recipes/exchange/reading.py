"""A file of recipes read and checked against its layout. Pure: nothing is known here of foods or profiles."""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from recipes.exchange import layout
from recipes.exchange.json_lines import Path, lines_of
from recipes.exchange.layout import NUMBER, PARTS, SCALARS, TEXT, WHOLE, Field

MOST_DIGITS = 30
SAID = {
    TEXT: "a text between quotation marks",
    NUMBER: "a number",
    WHOLE: "a whole number",
}


@dataclass(frozen=True)
class Problem:
    """line: from 1; None for the file as a whole."""

    line: int | None
    reason: str

    def __str__(self) -> str:
        return self.reason if self.line is None else f"Line {self.line}: {self.reason}"


class BadRecipes(ValueError):
    """A file that is refused as a whole, with every reason that was found."""

    def __init__(self, problems: list[Problem]):
        super().__init__("; ".join(map(str, problems)))
        self.problems = problems

    @classmethod
    def of(cls, reason: str) -> "BadRecipes":
        return cls([Problem(None, reason)])


@dataclass(frozen=True)
class RecipeFile:
    """recipes: as PARTS[RECIPE] says. lines: the line of each value by its path within the recipes.

    has_steps: whether the file can hold kitchen steps and substitutions; CSV cannot.
    """

    recipes: list[dict]
    lines: dict[Path, int] = field(default_factory=dict)
    has_steps: bool = True

    def problem(self, path: Path, reason: str) -> Problem:
        """With the line of the value at `path`, or of the nearest that holds it."""
        while path and path not in self.lines:
            path = path[:-1]
        return Problem(self.lines.get(path), reason)


def read_json(text: str) -> RecipeFile:
    """Raises BadRecipes with every line that is not as the layout says."""
    try:
        content = json.loads(text, object_pairs_hook=_members, parse_constant=_no_number)
        whole = RecipeFile([], lines_of(text))
    except json.JSONDecodeError as wrong:
        raise BadRecipes([Problem(wrong.lineno, f"This is no JSON: {wrong.msg}.")]) from None
    except RecursionError:
        raise BadRecipes.of("Its lists are nested too deeply.") from None
    except ValueError as wrong:
        raise BadRecipes.of(f"{wrong}.") from None
    problems = [whole.problem(path, reason) for path, reason in check(content, layout.FILE, ())]
    problems = problems or [whole.problem(path, reason) for path, reason in _check_head(content)]
    if problems:
        raise BadRecipes(problems)
    inside = {path[1:]: line for path, line in whole.lines.items() if path[:1] == ("recipes",)}
    return RecipeFile(content["recipes"], inside)


def _members(pairs: list[tuple[str, object]]) -> dict:
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"“{twice[:40]}” stands twice in the same part")
    return members


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")


def _check_head(content: dict) -> Iterator[tuple[Path, str]]:
    if content["holds"] != layout.NAME:
        yield ("holds",), f"This file says that it holds “{content['holds'][:40]}”, not “{layout.NAME}”."
    if content["layout"] != layout.LAYOUT:
        yield (
            ("layout",),
            f"Layout {content['layout']} is not known here: this program reads layout {layout.LAYOUT}.",
        )
    if len(content["recipes"]) > layout.MOST_RECIPES:
        yield ("recipes",), f"At most {layout.MOST_RECIPES:,} recipes can be brought in at once."


def check(value: object, part: str, path: Path) -> Iterator[tuple[Path, str]]:
    """What is not as the layout says in a part and all that it holds."""
    if not isinstance(value, dict):
        yield path, f"Here stands a {part}, written between braces."
        return
    fields = {each.name: each for each in PARTS[part]}
    for name in value.keys() - fields.keys():
        yield (*path, name), f"A {part} has no “{name[:40]}”."
    for name, wanted in fields.items():
        if name not in value:
            yield path, f"“{name}” is missing in this {part}."
        elif wanted.kind in SCALARS:
            if reason := _wrong(value[name], wanted):
                yield (*path, name), reason
        else:
            yield from _check_list(value[name], wanted, (*path, name))


def _check_list(value: object, wanted: Field, path: Path) -> Iterator[tuple[Path, str]]:
    if not isinstance(value, list):
        yield path, f"“{wanted.name}” is a list, written between brackets."
    elif not value and not wanted.may_be_empty:
        yield path, f"“{wanted.name}” needs at least one {wanted.kind}."
    else:
        for place, item in enumerate(value):
            yield from check(item, wanted.kind, (*path, place))


def _wrong(value: object, wanted: Field) -> str:
    """Why this is no value of the field; "" when it is one."""
    if wanted.kind == TEXT:
        if not isinstance(value, str) or "\0" in value:
            return f"“{wanted.name}” must be {SAID[TEXT]}."
        return "" if value.strip() or wanted.may_be_empty else f"“{wanted.name}” is empty."
    if value is None:
        return "" if wanted.may_be_empty else f"“{wanted.name}” is not known: give {SAID[wanted.kind]}."
    kinds = int if wanted.kind == WHOLE else (int, float)
    is_number = isinstance(value, kinds) and not isinstance(value, bool)
    if is_number and abs(value) < 10**MOST_DIGITS and math.isfinite(value):
        return ""
    return f"“{wanted.name}” must be {SAID[wanted.kind]}."
