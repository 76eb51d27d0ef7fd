"""The lines of a form as they are typed: read from what was sent, added, moved and removed. Pure.

Without a script every such change is a button that sends the form; a line is a dict of what was typed.
"""

from collections.abc import Mapping, Sequence

MOST_LINES = 60
LONGEST_COUNT = 9  # digits of a place or of a number of lines; what is longer is none
Typed = dict[str, str]


def typed_lines(data: Mapping[str, str], prefix: str, fields: Sequence[str], most: int) -> list[Typed]:
    """The lines of a form set, in order, blank ones included, at most `most`."""
    total = data.get(f"{prefix}-TOTAL_FORMS", "")
    is_count = total.isdecimal() and len(total) <= LONGEST_COUNT
    count = min(int(total), most) if is_count else 0
    return [{field: data.get(f"{prefix}-{place}-{field}", "") for field in fields} for place in range(count)]


def rearranged(lines: list[Typed], action: str, place: int, to: int = -1) -> tuple[list[Typed], int]:
    """The lines after `add`, `up`, `down`, `remove` or `move` at `place`, and the place to go on working at.

    to: where `move` puts the line, counted among the lines as they stand then.

    An action that cannot be done leaves the lines as they are.
    """
    lines = list(lines)
    if action == "add" and len(lines) < MOST_LINES:
        return [*lines, {}], len(lines)
    if not 0 <= place < len(lines):
        return lines, 0
    if action == "remove":
        del lines[place]
        return lines, max(0, place - 1)
    if action == "move" and 0 <= to < len(lines):
        lines.insert(to, lines.pop(place))
        return lines, to
    other = place + {"up": -1, "down": 1}.get(action, 0)
    if 0 <= other < len(lines):
        lines[place], lines[other] = lines[other], lines[place]
        return lines, other
    return lines, place


def with_food(lines: list[Typed], name: str) -> tuple[list[Typed], int]:
    """The lines with a food put into the first one that is blank, else into a new one."""
    place = next((at for at, line in enumerate(lines) if not (line.get("food") or line.get("amount"))), None)
    if place is None:
        lines, place = rearranged(lines, "add", 0)
        if lines[place:] != [{}]:
            return lines, 0
    return [line | {"food": name} if at == place else line for at, line in enumerate(lines)], place
