"""What a dog was found to eat in a day. Pure: kcal of metabolizable energy."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Intake:
    """`known_kcal` and `extras_kcal` add up what is known; `unknown` names what has no energy."""

    known_kcal: float
    extras_kcal: float
    unknown: tuple[str, ...]
    items: int

    @property
    def kcal(self) -> float | None:
        """The whole day, or None when nothing was told or a part of it is unknown."""
        return self.known_kcal if self.items and not self.unknown else None


def intake(items: Iterable) -> Intake:
    """Add up diet items (`what`, `kcal_per_day` or None, `is_extra`)."""
    items = list(items)
    known = [item for item in items if item.kcal_per_day is not None]
    return Intake(
        known_kcal=sum(item.kcal_per_day for item in known),
        extras_kcal=sum(item.kcal_per_day for item in known if item.is_extra),
        unknown=tuple(item.what for item in items if item.kcal_per_day is None),
        items=len(items),
    )
