"""How a day's food is divided among its meals. Pure calculation."""

import re
from collections.abc import Sequence

WHOLE = 100


def read_split(typed: str) -> list[int]:
    """Shares in percent, such as `40, 60` or `40/60`. Raises ValueError for what is no whole percent."""
    parts = [part for part in re.split(r"[\s,;/]+", typed.strip().replace("%", " ")) if part]
    if not all(part.isascii() and part.isdigit() for part in parts):
        raise ValueError("Enter whole percents, one for each meal, such as 40, 60.")
    return [int(part) for part in parts]


def split_problem(split: Sequence[int], meals: int) -> str:
    """What is wrong with a split, or an empty text. No split: all meals alike."""
    if not split:
        return ""
    if len(split) != meals:
        return f"{len(split)} shares for {meals} meals a day: enter one for each meal, or leave it empty."
    if any(share <= 0 for share in split) or sum(split) != WHOLE:
        return f"The shares make {sum(split)} % together: each above 0, and 100 % in all."
    return ""


def meal_weights(day_g: float, split: Sequence[int]) -> list[tuple[int, float]]:
    """(percent, grams) of each meal; none for meals that are all alike."""
    return [(share, day_g * share / WHOLE) for share in split]
