"""What a batch lacks when something is left out, halved, doubled or bought fatter. Pure calculation.

Every variation is analysed and judged as a recipe of its own, on its own energy.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from nutrients.adequacy import ProfileLimits, is_open, judge
from nutrients.composition import Composition
from nutrients.energy_density import energy_of
from nutrients.language import listed, number, say
from recipes.analysis import Portion, compositions
from recipes.consequences import Judged, Worse, falls_most, worse

OIL_GROUPS = ("plant oil", "animal fat", "fish oil", "oil supplement")
# Share of the known calcium that makes a supplement one of the batch's calcium; common practice, no source.
CALCIUM_SHARE = 0.1
ALL_FORGOTTEN = "all supplements forgotten"
NOTHING_LEFT = "nothing is left that holds energy"

Batch = Sequence[Portion]
LimitsAt = Callable[[float], ProfileLimits]  # the limits for a batch of so many kcal


@dataclass(frozen=True)
class Outcome:
    """What follows from a variation. kcal: of the batch, which the recipe as written holds 100 % of.

    falls_most: when no limit gets worse, the minimum whose amount falls most, if one does. problem: why
    nothing can be judged; "" otherwise.
    """

    kcal: float
    kcal_percent: float
    worse: tuple[Worse, ...]
    falls_most: Worse | None = None
    problem: str = ""

    @property
    def kcal_change_percent(self) -> float:
        return self.kcal_percent - 100

    @property
    def energy_words(self) -> str:
        """Such as "22 % less energy"."""
        percent = round(abs(self.kcal_change_percent))
        if not percent:
            return say("energy as before")
        said = (
            say("{percent} % less energy") if self.kcal_change_percent < 0 else say("{percent} % more energy")
        )
        return said.format(percent=number(percent))

    @property
    def lost(self) -> int:
        """How many limits are not met any more, or cannot be confirmed any more."""
        return sum(each.is_new for each in self.worse)


@dataclass(frozen=True)
class Omission:
    """A food or a supplement, all its lines together, left out and halved.

    unknown: names of the judged nutrients that it can carry and has no value for: what leaving it out does
    to them is not known.
    """

    food: str
    grams: float
    is_supplement: bool
    without: Outcome
    half: Outcome
    unknown: tuple[str, ...]


@dataclass(frozen=True)
class Slip:
    """A mistake that happens in kitchens and shops, and what follows from it."""

    what: str
    outcome: Outcome

    @property
    def forgets_all(self) -> bool:
        return self.what == ALL_FORGOTTEN


@dataclass(frozen=True)
class Omissions:
    """kcal: of the batch as written. open: names of the limits that are open as it is written."""

    kcal: float
    open: tuple[str, ...]
    lines: tuple[Omission, ...]
    slips: tuple[Slip, ...]


def sentence(title: str, found: Omissions) -> str:
    """What the page says first: the line that must not be forgotten most of all."""
    worst = max(found.lines, key=lambda line: line.without.lost)
    lost = worst.without.lost
    if not lost:
        return f"{title}: whatever single line is left out, every limit that is met stays met."
    limits = "one limit is not met any more" if lost == 1 else f"{lost} limits are not met any more"
    return f"{title}: without {worst.food} {limits}."


def if_omitted(
    portions: Batch,
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    limits: ProfileLimits | LimitsAt,
    negligible: frozenset[tuple[str, str]] = frozenset(),
    fatter: Mapping[str, Portion] | None = None,
) -> Omissions:
    """Every food of a batch left out and halved, and the common slips.

    table, retention, method, negligible: as in `recipes.analysis.composition`. limits: a profile, or what
    gives the one that holds for a batch of so many kcal (a dog's minima rise as its energy falls). fatter:
    food -> the fatter cut that may be bought for it (`recipes.cuts`); its values stand in `table`.
    Raises ValueError when the batch as written holds no energy.
    """
    limits_at = limits if callable(limits) else lambda kcal: limits
    foods = list(dict.fromkeys(portion.food for portion in portions))
    slips = dict(_slips(portions, table, fatter or {}))
    varied = [_times(portions, {food}, share) for food in foods for share in (0, 0.5)]
    asked = [list(portions), *varied, *slips.values()]
    made = iter(compositions([batch for batch in asked if batch], table, retention, method, negligible))
    judged = [_judged(next(made), limits_at) if batch else None for batch in asked]
    if judged[0] is None:
        raise ValueError("There is no energy in it: nothing can be judged per 1000 kcal.")
    outcomes = [_outcome(judged[0], each) for each in judged[1:]]
    return Omissions(
        kcal=judged[0].kcal,
        open=tuple(judged[0].judgement.loc[is_open(judged[0].judgement), "name"]),
        lines=tuple(
            _omission(portions, food, judged[0], *outcomes[2 * place : 2 * place + 2])
            for place, food in enumerate(foods)
        ),
        slips=tuple(map(Slip, slips, outcomes[len(varied) :])),
    )


def _times(portions: Batch, foods: set[str], share: float) -> list[Portion]:
    """The batch with so many times the grams of these foods; 0 leaves them out."""
    changed = [
        replace(portion, grams=portion.grams * share) if portion.food in foods else portion
        for portion in portions
    ]
    return [portion for portion in changed if portion.grams > 0]


def _slips(
    portions: Batch, table: pd.DataFrame, fatter: Mapping[str, Portion]
) -> Iterable[tuple[str, list[Portion]]]:
    """What happens, in words, and the batch that comes of it."""
    supplements = list(dict.fromkeys(portion.food for portion in portions if portion.is_supplement))
    if len(supplements) > 1:
        yield ALL_FORGOTTEN, _times(portions, set(supplements), 0)
    if calcium := _of_calcium(portions, table):
        yield f"the calcium forgotten: {listed(calcium)}", _times(portions, set(calcium), 0)
    for food in dict.fromkeys(portion.food for portion in portions if portion.group in OIL_GROUPS):
        yield f"double {food}", _times(portions, {food}, 2)
    for food, cut in fatter.items():
        bought = [
            replace(portion, food=cut.food, retention_group=cut.retention_group)
            if portion.food == food
            else portion
            for portion in portions
        ]
        yield f"{cut.food} instead of {food}", bought


def _of_calcium(portions: Batch, table: pd.DataFrame) -> list[str]:
    """The supplements that bring a tenth or more of the calcium that is known."""
    if "calcium" not in table:
        return []
    brought = pd.Series([table.at[each.food, "calcium"] * each.grams for each in portions]).fillna(0)
    return [
        portion.food
        for portion, amount in zip(portions, brought, strict=True)
        if portion.is_supplement and amount > 0 and amount >= CALCIUM_SHARE * brought.sum()
    ]


def _judged(made_of: Composition, limits_at: LimitsAt) -> Judged | None:
    """None when it holds no energy."""
    kcal = energy_of(made_of).kcal
    if not kcal > 0:
        return None
    limits = limits_at(kcal)
    return Judged(made_of, kcal, judge(made_of.totals, made_of.completeness, kcal, limits), limits)


def _outcome(written: Judged, varied: Judged | None) -> Outcome:
    if varied is None:
        return Outcome(0.0, 0.0, (), problem=NOTHING_LEFT)
    found = worse(written, varied)
    most = None if found else falls_most(written, varied)
    return Outcome(varied.kcal, 100 * varied.kcal / written.kcal, found, most)


def _omission(portions: Batch, food: str, written: Judged, without: Outcome, half: Outcome) -> Omission:
    lines = [portion for portion in portions if portion.food == food]
    completeness = written.composition.completeness
    judgement = written.judgement
    carried = [key for key in judgement.index if key in completeness.index]
    unknown = [key for key in carried if food in completeness.at[key, "missing_that_matter"]]
    return Omission(
        food=food,
        grams=sum(portion.grams for portion in lines),
        is_supplement=lines[0].is_supplement,
        without=without,
        half=half,
        unknown=tuple(judgement.loc[unknown, "name"]),
    )
