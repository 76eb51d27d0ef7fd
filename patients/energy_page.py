"""What the energy page shows: every method on one scale, and what follows from a choice. Pure calculation."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from nutrients.adequacy import ProfileLimits, for_patient
from patients.dog import Dog
from patients.energy import most_extras, resting_energy
from patients.energy_choices import EnergyChoice, outside, outside_sentence, published_range
from patients.plan_checks import energy_problem, goal_problem, target_problem

BY_HAND = "by-hand"
MOST_OF_RER = (
    8.0  # heavy work, Small Animal Clinical Nutrition: beyond it stands an arrow, or all else shrinks
)
MOST_TICKS = 4
STEPS = (1, 2, 2.5, 5, 10)  # what the ticks of a scale may be counted in, times a power of ten
FAMILIES = (  # headings by the beginning of a rule, in the order of the page
    ("DER", "Factors times resting energy (RER)"),
    ("FEDIAF", "FEDIAF, by activity, age or share of adult weight"),
    ("NRC", "NRC 2006"),
    ("", "Equations and other tables"),
)
GOAL_TITLES = {"lose": "To lose weight", "gain": "To gain weight"}
COMPARISON = "For comparison, not offered for a plan"


@dataclass(frozen=True)
class Scale:
    """From 0 to `end` kcal, with ticks. Places are percent of its width."""

    end: float
    ticks: tuple[float, ...]

    def at(self, kcal: float) -> float:
        return min(kcal / self.end, 1) * 100

    @property
    def places(self) -> list[tuple[float, float]]:
        """(place, kcal) of every tick."""
        return [(self.at(tick), tick) for tick in self.ticks]


def scale_for(choices: Iterable[EnergyChoice], resting_kcal: float, typed_kcal: float | None = None) -> Scale:
    """A scale on which everything fits, up to eight times the resting energy."""
    values = [high for choice in choices if choice.span for high in choice.span]
    longest = min(max([*values, typed_kcal or 0, resting_kcal]), MOST_OF_RER * resting_kcal)
    rough = longest / MOST_TICKS
    power = 10 ** math.floor(math.log10(rough))
    step = next(each * power for each in STEPS if each * power >= rough * (1 - 1e-9))
    count = math.ceil(longest / step - 1e-9)
    return Scale(count * step, tuple(step * i for i in range(count + 1)))


@dataclass(frozen=True)
class Mark:
    """Where a method stands on the scale [percent of its width]; dot or bar None: it has none."""

    dot: float | None
    bar_from: float | None
    bar_width: float | None
    beyond: bool


def mark(choice: EnergyChoice, scale: Scale) -> Mark:
    if not choice.span:
        return Mark(None, None, None, False)
    low, high = choice.span
    bar = (scale.at(low), max(scale.at(high) - scale.at(low), 0)) if high > low else (None, None)
    return Mark(None if choice.kcal is None else scale.at(choice.kcal), *bar, beyond=high > scale.end)


@dataclass(frozen=True)
class EnergyRow:
    choice: EnergyChoice
    mark: Mark
    chosen: bool

    @property
    def per_mbw_range(self) -> tuple[float, float] | None:
        """kcal per kg^0.75 of the weight it was worked out at."""
        span, mbw = self.choice.span, resting_energy(self.choice.at_kg) / resting_energy(1)
        return (span[0] / mbw, span[1] / mbw) if span else None


def grouped(
    choices: Sequence[EnergyChoice], scale: Scale, chosen: "Outcome", goal: str
) -> list[tuple[str, list[EnergyRow]]]:
    """The methods under their headings: this dog itself and the goal's own first, comparisons last."""
    rows = [_row(choice, scale, chosen) for choice in choices]
    titles = [title for title in (GOAL_TITLES.get(goal), "This dog itself") if title]
    titles += [*(title for _, title in FAMILIES), *GOAL_TITLES.values(), COMPARISON]
    groups = {title: [row for row in rows if _title(row.choice) == title] for title in dict.fromkeys(titles)}
    return [(title, found) for title, found in groups.items() if found]


def _row(choice: EnergyChoice, scale: Scale, chosen: "Outcome") -> EnergyRow:
    """Within a chosen method's range the dot is the number that was typed."""
    place = mark(choice, scale)
    if choice.key != chosen.method:
        return EnergyRow(choice, place, False)
    return EnergyRow(
        choice, place if chosen.kcal is None else replace(place, dot=scale.at(chosen.kcal)), True
    )


def _title(choice: EnergyChoice) -> str:
    if choice.key == "observed":
        return "This dog itself"
    if choice.goal in GOAL_TITLES:
        return GOAL_TITLES[choice.goal]
    if not choice.offered:
        return COMPARISON
    return next(title for beginning, title in FAMILIES if choice.rule.startswith(beginning))


@dataclass(frozen=True)
class Wanted:
    """What was asked: the goal, the weight aimed at [kg], the method and the number [kcal a day]."""

    goal: str
    target_kg: float
    method: str = ""
    kcal_per_day: float | None = None
    reason: str = ""


@dataclass(frozen=True)
class Raised:
    """A nutrient of which the food must hold more than the profile asks, in `unit` per 1000 kcal."""

    name: str
    published: float
    needed: float
    unit: str
    decimals: int

    @property
    def percent_more(self) -> float:
        return (self.needed / self.published - 1) * 100


@dataclass(frozen=True)
class Outcome:
    """What follows from a choice. method: its key, BY_HAND for a number that is not the method's own; label:
    its name. kcal: None until one is chosen. problems: why no plan can follow.

    why_needed: what the missing reason is about, or "". of_rer: times the resting energy at the weight aimed
    at; per_mbw: kcal per kg^0.75 of it.
    """

    method: str
    label: str
    kcal: float | None
    span: tuple[float, float] | None
    problems: tuple[str, ...] = ()
    why_needed: str = ""
    is_outside: bool = False
    of_rer: float | None = None
    per_mbw: float | None = None
    extras_kcal: float | None = None

    @property
    def may_go_on(self) -> bool:
        return self.kcal is not None and not self.problems and not self.why_needed


def outcome(wanted: Wanted, choices: Sequence[EnergyChoice], dog: Dog) -> Outcome:
    """A number typed beside a method stands instead of its own, and is held against its range too."""
    span = published_range(choices, wanted.goal)
    choice = next((each for each in choices if each.key == wanted.method and each.offered), None)
    kcal = wanted.kcal_per_day if wanted.kcal_per_day is not None else choice and choice.kcal
    by_method = choice and (wanted.kcal_per_day is None or _names(choice, wanted.kcal_per_day))
    method, label = (choice.key, choice.label) if by_method else (BY_HAND, "set by hand")
    if kcal is None and choice is None:
        method = wanted.method
    aim_problems = [p for p in (target_problem(wanted, dog), goal_problem(wanted.goal, dog)) if p]
    if kcal is None:
        missing = _missing(wanted, choice)
        return Outcome(method, label, None, span, (*aim_problems, *([missing] if missing else [])))
    kcal = float(round(kcal))
    try:
        extras = most_extras(kcal)
    except ValueError as wrong:
        return Outcome(method, label, None, span, (str(wrong),))
    asked = Wanted(wanted.goal, wanted.target_kg, wanted.method, kcal)
    problems = aim_problems or [p for p in [energy_problem(asked, dog)] if p]
    passed = next((each for each in _held_against(choice, span) if outside(kcal, each)), None)
    resting = resting_energy(wanted.target_kg)
    return Outcome(
        method=method,
        label=label,
        kcal=kcal,
        span=span,
        problems=tuple(problems),
        why_needed=outside_sentence(kcal, passed) if passed and not wanted.reason.strip() else "",
        is_outside=passed is not None,
        of_rer=kcal / resting,
        per_mbw=kcal / resting * resting_energy(1),
        extras_kcal=extras,
    )


def _names(choice: EnergyChoice, kcal: float) -> bool:
    """Is the number the method's own, or within the range it names?"""
    return choice.span is not None and not outside(kcal, choice.span)


def _held_against(choice: EnergyChoice | None, span) -> list[tuple[float, float] | None]:
    """The ranges a number must lie within: the goal's, and the chosen method's where it names one."""
    return [span, choice.span if choice and choice.has_range else None]


def _missing(wanted: Wanted, choice: EnergyChoice | None) -> str:
    if wanted.method == BY_HAND:
        return "Type the kcal a day, or choose a method."
    if choice and choice.span:
        low, high = choice.span
        return f"{choice.label}: this method names a range. Type your number, {low:,.0f} to {high:,.0f} kcal."
    if choice:
        return f"{choice.label}: {choice.note}"
    return "This method does not fit the dog: choose another." if wanted.method else ""


def richer_food(
    profile: ProfileLimits, allowances: ProfileLimits, kcal: float, ideal_kg: float
) -> list[Raised]:
    """What a dog on so few kcal needs its food to hold more of, the greatest rise first.

    allowances: NRC 2006, per kg^0.75. A growth profile is never raised (`nutrients.adequacy.for_patient`).
    """
    limits = for_patient(profile, allowances, kcal, ideal_kg).limits
    before = profile.limits["minimum"]
    rows = limits[limits["raised"].astype(bool)]
    found = [
        Raised(line["name"], before[key], line["minimum"], line["unit"], int(line["decimals"]))
        for key, line in rows.iterrows()
    ]
    return sorted(found, key=lambda each: -each.percent_more)
