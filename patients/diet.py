"""What a dog was found to eat in a day. Pure: kcal of metabolizable energy."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from patients.energy import EXTRAS_SHARE

NOT_KNOWN = ""
COMPLETENESS = {"yes": "known to be complete", "no": "known not to be", NOT_KNOWN: "not known"}


@dataclass(frozen=True)
class Intake:
    """`known_kcal` and `extras_kcal` add up what is known; `unknown` names what has no energy.

    by_completeness: "yes", "no" or "" -> the known kcal of what is complete by itself, of what is not, and of
    what is not known to be either.
    """

    known_kcal: float
    extras_kcal: float
    unknown: tuple[str, ...]
    items: int
    by_completeness: dict[str, float] = field(default_factory=dict)

    @property
    def kcal(self) -> float | None:
        """The whole day, or None when nothing was told or a part of it is unknown."""
        return self.known_kcal if self.items and not self.unknown else None

    @property
    def extras_share(self) -> float | None:
        """Of the known energy (0..1); None when no energy is known."""
        return self.extras_kcal / self.known_kcal if self.known_kcal else None

    @property
    def too_many_extras(self) -> bool:
        return self.extras_share is not None and self.extras_share > EXTRAS_SHARE

    @property
    def sentences(self) -> list[str]:
        """What follows from the diet, as a colleague would say it."""
        said = []
        if self.unknown:
            said.append(
                f"At least {self.known_kcal:,.0f} kcal a day: not known of {', '.join(self.unknown)}."
            )
        if self.extras_share is not None:
            said.append(self._of_extras())
        told = [
            f"{words} {kcal:,.0f} kcal"
            for key, words in COMPLETENESS.items()
            if (kcal := self.by_completeness.get(key, 0))
        ]
        return [*said, *([f"Complete by itself: {', '.join(told)}."] if told else [])]

    def _of_extras(self) -> str:
        of_known = " of what is known" if self.unknown else ""
        share = f"Extras are {self.extras_kcal:,.0f} kcal, {self.extras_share * 100:.0f} %{of_known}"
        most = f"{EXTRAS_SHARE * 100:.0f} %"
        return (
            f"{share}: more than the {most} that a day should hold." if self.too_many_extras else f"{share}."
        )


def intake(items: Iterable) -> Intake:
    """Add up diet items (`what`, `kcal_per_day` or None, `is_extra`, `complete`)."""
    items = list(items)
    known = [item for item in items if item.kcal_per_day is not None]
    return Intake(
        known_kcal=sum(item.kcal_per_day for item in known),
        extras_kcal=sum(item.kcal_per_day for item in known if item.is_extra),
        unknown=tuple(item.what for item in items if item.kcal_per_day is None),
        items=len(items),
        by_completeness={
            key: sum(item.kcal_per_day for item in known if item.complete == key) for key in COMPLETENESS
        },
    )
