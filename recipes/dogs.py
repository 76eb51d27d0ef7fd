"""The dogs a recipe can be looked at for: asked of the app above, which registers how it finds them.

The library knows no patients. What it needs of a dog stands in `LibraryDog`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from nutrients.adequacy import ProfileLimits


@dataclass(frozen=True)
class LibraryDog:
    """label: its name and its owner's. kcal_per_day: what its recipe has to bring; None when not known.

    profile_keys: the profiles of its life stage. weight_kg: the weight its allowances go by; None unknown.
    avoided: asked with food name -> group, gives food name -> why this dog must not get it.
    blocked: asked with food name -> group, gives sentences of the cautions that forbid such a recipe.
    raised: asked with a profile, gives it with the minima that a dog on so few kcal needs; None while its
    energy or weight is not known.
    """

    pk: int
    label: str
    kcal_per_day: float | None
    weight_kg: float | None
    profile_keys: tuple[str, ...]
    avoided: Callable[[Mapping[str, str]], dict[str, str]]
    blocked: Callable[[Mapping[str, str]], list[str]]
    raised: Callable[[ProfileLimits], ProfileLimits] | None = None


FindDog = Callable[[int], LibraryDog | None]
ListDogs = Callable[[], list[tuple[int, str]]]
LONGEST_KEY = 18  # digits; a longer number is no primary key
_source: dict[str, Callable] = {}


def register(list_dogs: ListDogs, find_dog: FindDog) -> None:
    """list_dogs: (primary key, label) of every dog that is fed. find_dog: None when there is none."""
    _source.update(list=list_dogs, find=find_dog)


def choices() -> list[tuple[int, str]]:
    return _source["list"]() if _source else []


def dog(asked: str) -> LibraryDog | None:
    """The dog of this primary key as it was typed; None for anything else."""
    is_key = asked.isdecimal() and len(asked) <= LONGEST_KEY
    return _source["find"](int(asked)) if _source and is_key else None
