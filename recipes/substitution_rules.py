"""What a substitution may not be, whatever its consequences. Pure: sentences that say what to do instead."""

from collections.abc import Iterable, Mapping, Sequence

from recipes.analysis import Portion
from recipes.substitutions import Swap

Pairs = Iterable[tuple[str, str]]  # (the food that is replaced, its stand-in)
Refusal = tuple[str, str]  # the field of the form, and the sentence


def refusals(swap: Swap, portions: Sequence[Portion], others: Pairs) -> list[Refusal]:
    """portions: the version's. others: the pairs of the other substitutions of the same version."""
    foods = {line.food for line in portions}
    if swap.replaces not in foods:
        return [("", f"{swap.replaces} is not in this version: nothing can stand in for it.")]
    food, when = swap.portion.food, swap.portion.when
    if food == swap.replaces:
        return [("food", "A food cannot stand in for itself: choose another.")]
    found = []
    if any((line.food, line.when) == (food, when) for line in portions):
        found.append(("food", already_in(food, when)))
    if round_trip := going_round(others, swap.replaces, food):
        found.append(("food", round_trip))
    found += [("", sentence) for sentence in _wrong_amounts(swap, foods)]
    return found


def already_in(food: str, when: str) -> str:
    return (
        f"{food} is in this version already ({when.replace('_', ' ')}): it would be more of the same. "
        "Change its amount in the recipe instead."
    )


def going_round(others: Pairs, replaces: str, food: str) -> str:
    """What is wrong when stand-ins lead from one to the next, or back to where they began; "" for nothing."""
    next_of: dict[str, list[str]] = {}
    for one, other in others:
        next_of.setdefault(one, []).append(other)
    if way := _way(next_of, food, replaces):
        steps = ", ".join(f"{way[at]} by {way[at + 1]}" for at in range(len(way) - 1))
        return (
            f"That goes round in a circle: {replaces} is replaced by {food}, {steps}. Take one of them out."
        )
    if food in next_of:
        onward = " or ".join(next_of[food])
        return f"{food} is itself replaced by {onward} in this version: let {onward} stand in directly."
    leading = [one for one, stand_ins in next_of.items() if replaces in stand_ins]
    if leading:
        return (
            f"{replaces} stands in for {' and '.join(leading)} in this version: a stand-in of a stand-in is "
            "never judged. Take that substitution out first."
        )
    return ""


def _way(next_of: Mapping[str, Sequence[str]], begin: str, end: str) -> tuple[str, ...]:
    """The foods from one to another, each replaced by the next; empty when there is no way."""
    ways, seen = [(begin,)], {begin}
    while ways:
        way = ways.pop()
        for step in next_of.get(way[-1], ()):
            if step == end:
                return (*way, step)
            if step not in seen:
                seen.add(step)
                ways.append((*way, step))
    return ()


def _wrong_amounts(swap: Swap, foods: set[str]) -> list[str]:
    others = foods - {swap.replaces}
    gone = [food for food in swap.amounts if food not in others]
    return [f"{food} is no other line of this version: its amount cannot change along." for food in gone]
