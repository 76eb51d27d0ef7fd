"""What must not be added or raised because a maximum cannot be confirmed.

A maximum is out of reach of confirmation while a food of the recipe has no value for the nutrient. Then
- the known amount per 1000 kcal does not rise above the present one,
- neither does the food without a value, per 1000 kcal, for it may carry the nutrient,
- no supplement that carries the nutrient is added, and none is raised per 1000 kcal.
A new food or supplement without a value is never added where a maximum, a sum, a ratio or the energy would no
longer be confirmed. A line counts as part of the recipe unless it must go (most 0 g): taking out a food
without a value is not counted on. Ratios are no nutrient: they hold nothing back, beyond what is new.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from nutrients.adequacy import ENERGY_PARTS, ProfileLimits
from nutrients.composition import PARTS, RATIOS
from recipes.reformulate.contents import Contents, ceiling_parts
from recipes.reformulate.proposal import Choice


@dataclass(frozen=True)
class Cap:
    """Something that may not rise per 1000 kcal: `per_gram` of each choice."""

    per_gram: np.ndarray
    name: str
    sentence: str


@dataclass
class Withheld:
    """barred: choices that are not added. caps: what may not rise. sentences: both, in words."""

    barred: np.ndarray
    caps: list[Cap] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)

    def bar(self, index: int, choice: Choice, reason: str) -> None:
        """Raises ValueError when the choice was asked to be in."""
        sentence = f"{choice.portion.food} is not added: {reason}"
        if choice.least_g > 0:
            raise ValueError(f"{sentence} Let its least amount be 0 g.")
        self.barred[index] = True
        self.sentences.append(sentence)


def withheld(choices: Sequence[Choice], contents: Contents, profiles: Sequence[ProfileLimits]) -> Withheld:
    """Raises ValueError when a choice that must be in may not be added."""
    held = Withheld(np.zeros(len(choices), dtype=bool))
    new = np.array([choice.before_g == 0 for choice in choices])
    staying = ~new & np.array([choice.most_g > 0 for choice in choices])
    _bar_without_value(held, choices, contents, profiles, new, staying)
    named = set()
    for key, name in _with_maximum(profiles):
        parts = ceiling_parts(key)
        without = contents.lacks(parts) & staying
        if without.any() and name not in named:
            named.add(name)
            _hold_back(held, choices, contents.per_gram(parts), without, name, new)
    _hold_back_energy(held, choices, contents.lacks(ENERGY_PARTS) & staying)
    return held


def _with_maximum(profiles: Sequence[ProfileLimits]) -> Iterator[tuple[str, str]]:
    for profile in profiles:
        limited = profile.limits[profile.limits["maximum"].notna()]
        yield from limited["name"].drop([*RATIOS], errors="ignore").items()


def _bar_without_value(held, choices, contents, profiles, new, staying) -> None:
    """Bars each new choice whose missing value would leave something unconfirmed."""
    for index in np.flatnonzero(new & [choice.most_g > 0 for choice in choices]):
        if contents.lacks(ENERGY_PARTS)[index]:
            held.bar(index, choices[index], "its energy is not wholly known.")
            continue
        names = [
            name for name, parts in _to_confirm(profiles, contents, staying) if contents.lacks(parts)[index]
        ]
        if names:
            said = _list(list(dict.fromkeys(names)))
            held.bar(
                index, choices[index], f"it has no value for {said}, which could not be confirmed with it."
            )


def _to_confirm(profiles, contents, staying) -> Iterator[tuple[str, tuple[str, ...]]]:
    """(name, parts) of what a new choice must have a value for."""
    for profile in profiles:
        for key, name, maximum in zip(
            profile.limits.index, profile.limits["name"], profile.limits["maximum"], strict=True
        ):
            if key not in RATIOS and not np.isnan(maximum):
                yield name, tuple(ceiling_parts(key))
            elif key in PARTS and key != "vitamin_a" and not (contents.lacks(PARTS[key]) & staying).any():
                yield name, PARTS[key]


def _hold_back(held: Withheld, choices, per_gram, without, name: str, new) -> None:
    """Nothing raises a nutrient that cannot be confirmed for want of a value in the foods `without`."""
    foods = _list([choices[index].portion.food for index in np.flatnonzero(without)])
    reason = f"the maximum of {name} cannot be confirmed while {foods} {_has(without)} no value for it"
    held.caps.append(Cap(per_gram, name, f"{name} may not rise per 1000 kcal: {reason}."))
    held.sentences.append(f"{name} is not raised per 1000 kcal, nor is {foods}: {reason}.")
    for index, choice in enumerate(choices):
        carries = choice.portion.is_supplement and per_gram[index] > 0
        if new[index] and carries and choice.most_g > 0 and not held.barred[index]:
            held.bar(index, choice, f"it carries {name}, and {reason}.")
        elif without[index] or (carries and not new[index]):
            held.caps.append(_cap_of_line(index, choice, len(choices), name, f"{name}: {reason}."))


def _hold_back_energy(held: Withheld, choices, without) -> None:
    for index in np.flatnonzero(without):
        food = choices[index].portion.food
        reason = f"{food} is not raised per 1000 kcal: its energy is not wholly known."
        held.caps.append(_cap_of_line(index, choices[index], len(choices), "Energy", reason))
        held.sentences.append(reason)


def _cap_of_line(index: int, choice: Choice, count: int, name: str, reason: str) -> Cap:
    per_gram = np.zeros(count)
    per_gram[index] = 1.0
    return Cap(per_gram, name, f"{choice.portion.food} may not rise per 1000 kcal. {reason}")


def _has(marks: np.ndarray) -> str:
    return "has" if marks.sum() == 1 else "have"


def _list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
