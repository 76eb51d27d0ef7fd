"""What is asked of a reformulation, and what it answers."""

from dataclasses import dataclass

from recipes.analysis import Portion


@dataclass(frozen=True)
class Choice:
    """A present line of the recipe, or a food or supplement that may be added.

    portion: with the present grams (0 for what is new). least_g, most_g: how far it may go [g]; equal: it
    must not move. cost_per_kg: None when not known.
    """

    portion: Portion
    least_g: float
    most_g: float
    is_new: bool = False
    cost_per_kg: float | None = None

    @property
    def before_g(self) -> float:
        return 0.0 if self.is_new else self.portion.grams


@dataclass(frozen=True)
class Band:
    """What must be kept of a nutrient, per 1000 kcal in the nutrient's own unit; None: no such bound.

    name: as sentences say it; "" for the key itself.
    """

    nutrient: str
    least: float | None
    most: float | None
    name: str = ""
    unit: str = "g"


@dataclass(frozen=True)
class Wishes:
    """What the recipe shall hold beside the profiles.

    kcal: least and most energy of the batch; None keeps the present energy. cost_ceiling: for the batch, in
    the money of `cost_per_kg`. most_supplements: different ones. margin: share added to minima and taken off
    maxima, such as 0.02.
    """

    bands: tuple[Band, ...] = ()
    kcal: tuple[float, float] | None = None
    cost_ceiling: float | None = None
    most_supplements: int | None = None
    margin: float = 0.0


@dataclass(frozen=True)
class Line:
    """One choice in the proposal. doses: dose units of a supplement, None for a food.

    why: the limits that it closes or that hold it, or at which bound it is held; "" when nothing is to say.
    """

    portion: Portion
    before_g: float
    after_g: float
    doses: float | None
    why: str


@dataclass(frozen=True)
class Obstacle:
    """What the proposal does not fulfil, or what stands against it.

    side: minimum, maximum, band, kcal, cost or supplements. short: how much is missing or too much, in
    `unit`; 0.0 when it is held, but only at the cost of another one; None when data are missing.
    """

    profile: str
    nutrient: str
    name: str
    side: str
    short: float | None
    unit: str
    sentence: str


@dataclass(frozen=True)
class Proposal:
    """One line per choice, in their order.

    feasible: every limit and wish is met, judged at the final amounts; False also when data are missing.
    helps: what would help most, best first. withheld: what was not added or raised because a maximum cannot
    be confirmed. proven: False when the time ran out before the amounts were proven to be the best.
    """

    lines: tuple[Line, ...]
    feasible: bool
    obstacles: tuple[Obstacle, ...]
    helps: tuple[str, ...]
    withheld: tuple[str, ...]
    seconds: float
    proven: bool = True
