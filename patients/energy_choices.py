"""A method's answer for a dog's daily energy, and the published range it lies in. Pure calculation.

Energy in kcal of metabolizable energy a day, weights in kg.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from patients.energy import metabolic_weight

LOSE, GAIN, HOLD, GROW = "lose", "gain", "hold", "grow"


@dataclass(frozen=True)
class EnergyChoice:
    """One method's answer [kcal/day]. `kcal` is None when the method names only a range or lacks a fact.

    `certainty` is empty for what was observed on this dog. `note` says which weight was used, `at_kg` is that
    weight; `published` the factor as printed. goal: what it is for. fits: why it speaks of this dog, or "".
    offered: it may be chosen for a plan; else it stands for comparison.
    """

    key: str
    label: str
    kcal: float | None
    low_kcal: float | None
    high_kcal: float | None
    source: str
    certainty: str
    note: str
    at_kg: float
    published: str = ""
    rule: str = ""
    goal: str = HOLD
    fits: str = ""
    offered: bool = True

    @property
    def has_range(self) -> bool:
        return self.low_kcal is not None and self.low_kcal != self.high_kcal

    @property
    def per_mbw(self) -> float | None:
        """kcal per kg^0.75 of the weight it was worked out at."""
        return None if self.kcal is None else self.kcal / metabolic_weight(self.at_kg)

    @property
    def span(self) -> tuple[float, float] | None:
        """The lowest and the highest it names."""
        values = [value for value in (self.low_kcal, self.kcal, self.high_kcal) if value is not None]
        return (min(values), max(values)) if values else None


def published_range(choices: Iterable[EnergyChoice], goal: str) -> tuple[float, float] | None:
    """The lowest and the highest that the offered methods name for a goal [kcal].

    Where none is published for the goal, all that are offered count; None when they name nothing.
    """
    offered = [choice for choice in choices if choice.offered and choice.span]
    spans = [choice.span for choice in offered if choice.goal == goal] or [each.span for each in offered]
    return (min(low for low, _ in spans), max(high for _, high in spans)) if spans else None


def outside(kcal: float, span: tuple[float, float] | None) -> bool:
    """Is a whole number of kcal outside a range? Its ends belong to it, also as they are rounded."""
    return span is not None and not round(span[0]) <= round(kcal) <= round(span[1])


def outside_sentence(kcal: float, span: tuple[float, float]) -> str:
    return (
        f"{kcal:,.0f} kcal lies outside what is published for this, {span[0]:,.0f} to {span[1]:,.0f} kcal: "
        "say why. The reason is kept with the plan."
    )
