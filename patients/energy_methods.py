"""Every published method for a dog's daily energy, side by side; the practitioner chooses. Pure calculation.

Weights in kg, energy in kcal of metabolizable energy a day. The equations are those of `patients.energy`; the
factors are data (fixtures/energy_factors.csv).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from patients.energy import (
    GESTATION_RISE_WEEK,
    GESTATION_WEEKS,
    LACTATION_BY_WEEK,
    NRC_MAINTENANCE_PER_MBW,
    check_kcal,
    check_weight,
    daily_energy,
    gestation_energy,
    growth_energy,
    growth_energy_by_share,
    lactation_energy,
    maintenance_by_activity,
    metabolic_weight,
    resting_energy_linear,
    share_of_adult_weight,
)
from patients.energy_choices import GAIN, GROW, HOLD, LOSE, EnergyChoice
from patients.life_stage import is_large_breed

# The units of published factors; rows in any other stand for an equation.
PER_RER, PER_MBW, PER_MER, PER_100_G = "x RER", "kcal per kg^0.75", "x MER", "kcal per 100 g"
PER_NRC, PER_132 = "x 130 per kg^0.75", "x 132 per kg^0.75"
OTHER_MAINTENANCE_PER_MBW = 132.0  # Home-Prepared Dog and Cat Diets (textbook companion text)
PER_MBW_OF = {PER_MBW: 1.0, PER_NRC: NRC_MAINTENANCE_PER_MBW, PER_132: OTHER_MAINTENANCE_PER_MBW}
SHARE_RULE = "FEDIAF growth"  # its rows are the steps of `growth_energy_by_share`, which picks the right one
LARGE_BREED_RULE = "large/giant-breed growth by percent of adult weight"  # points of a table
NRC = "NRC equation"
LINEAR_RER = "rer-linear"
BREED = "breed "  # begins what suits one breed alone
NEEDS_ADULT_WEIGHT = "Needs the expected adult weight."
# Why a factor speaks of this dog, by what it suits.
SUITS_WORDS = {
    "neutered": "neutered",
    "intact": "intact",
    "senior": "senior",
    "low": "activity told: low",
    "moderate": "activity told: moderate",
    "high": "activity told: high",
    "age": "its age",
}


@dataclass(frozen=True)
class Factor:
    """A published factor as data. Any object with these attributes will do, such as a row of the database.

    stage: the energy stage it is for, "" for any. suits: what speaks for it (SUITS_WORDS), the goal it is
    for, or a breed. It holds from `holds_from` on and before `holds_until`, in months of age, weeks of
    pregnancy or nursing, puppies or percent of the adult weight; None: no such bound. at_ideal: worked out at
    the weight aimed at. choosable: offered for a plan.
    """

    key: str
    rule: str
    label: str
    low: float | None
    usual: float | None
    high: float | None
    unit: str
    source: str
    certainty: str
    note: str = ""
    stage: str = "adult"
    suits: str = ""
    at_ideal: bool = False
    holds_by: str = ""
    holds_from: float | None = None
    holds_until: float | None = None
    choosable: bool = True


@dataclass(frozen=True)
class Eater:
    """What decides which methods fit a dog.

    stage: "adult", "working", "puppy", "gestation" or "lactation". week: of pregnancy or nursing; puppies: at
    the teat. traits: what speaks for a factor (SUITS_WORDS). None leaves open: then every row is shown.
    observed_kcal: a careful diet history's intake; steady: the weight has held on it.
    """

    weight_kg: float
    ideal_kg: float
    stage: str = "adult"
    age_months: int | None = None
    expected_adult_kg: float | None = None
    neutered: bool | None = None
    week: int | None = None
    puppies: int | None = None
    breed: str = ""
    traits: frozenset[str] = field(default_factory=frozenset)
    observed_kcal: float | None = None
    steady: bool = True

    @property
    def percent_grown(self) -> float | None:
        if self.expected_adult_kg is None:
            return None
        return share_of_adult_weight(self.weight_kg, self.expected_adult_kg) * 100

    @property
    def goal(self) -> str:
        return GROW if self.stage == "puppy" else HOLD


def methods_for(factors: Iterable[Factor], eater: Eater) -> list[EnergyChoice]:
    """Every method that fits the dog, side by side: what was observed, the equations, the published factors.

    Factors `at_ideal` are worked out at the weight aimed at, all others at the weight now. Raises ValueError
    for a weight, a factor or an intake that cannot be right.
    """
    check_weight(eater.weight_kg)
    check_weight(eater.ideal_kg, "ideal weight")
    factors = list(factors)
    choices = [] if eater.observed_kcal is None else [_observed(eater)]
    if eater.stage == "puppy":
        choices += [*_growth_choices(eater), *_large_breed_choice(factors, eater)]
    if eater.stage == "gestation":
        choices += _gestation_choices(eater)
    if eater.stage == "lactation":
        choices.append(_lactation_choice(eater))
    fitting = [factor for factor in factors if _fits(factor, eater)]
    return choices + [choice for factor in fitting if (choice := _by_factor(factor, factors, eater))]


def _observed(eater: Eater) -> EnergyChoice:
    check_kcal(eater.observed_kcal, "daily intake")
    label, note = "what it eats now", "Its weight is not steady on it, or not known to be: it is no need."
    if eater.steady:
        label = "observed intake, weight stable"
        note = "The weight has been stable on it: it comes before any factor."
    return EnergyChoice(
        "observed", label, eater.observed_kcal, None, None, "Diet history of this dog.", "", note,
        at_kg=eater.weight_kg, goal=eater.goal, offered=eater.steady,
        fits="this dog itself" if eater.steady else "",
    )  # fmt: skip


def _growth_choices(eater: Eater) -> list[EnergyChoice]:
    rules = (
        ("growth-nrc", "growth equation, NRC", growth_energy,
         "NRC 2006, energy of puppies after weaning", NRC),
        ("growth-fediaf", "growth by share of adult weight, FEDIAF", growth_energy_by_share, "FEDIAF 2021",
         SHARE_RULE),
    )  # fmt: skip
    kg, adult_kg = eater.weight_kg, eater.expected_adult_kg
    if adult_kg is None:
        kcals, note = (None, None), NEEDS_ADULT_WEIGHT
    else:
        kcals = tuple(equation(kg, adult_kg) for _, _, equation, _, _ in rules)
        note = f"At {kg:.3g} kg, the weight now, of {adult_kg:.3g} kg expected. Weigh again often."
    return [
        EnergyChoice(key, label, kcal, None, None, source, "verified", note, kg, rule=rule, goal=GROW)
        for (key, label, _, source, rule), kcal in zip(rules, kcals, strict=True)
    ]


def _large_breed_choice(factors: Sequence[Factor], eater: Eater) -> list[EnergyChoice]:
    """Times 130 kcal per kg^0.75, read off the line between two points; below the first, the first."""
    points = sorted(
        ((f.holds_from, f.usual, f) for f in factors if f.rule == LARGE_BREED_RULE),
        key=lambda point: point[0],
    )
    if not points or not is_large_breed(eater.expected_adult_kg):
        return []
    at = [(percent, multiple) for percent, multiple, _ in points]
    first = points[0][2]
    choice = EnergyChoice(
        "growth-large-breed", "large-breed growth by share of adult weight", None, None, None, first.source,
        first.certainty, NEEDS_ADULT_WEIGHT, eater.weight_kg, rule=LARGE_BREED_RULE, goal=GROW,
    )  # fmt: skip
    per_multiple = NRC_MAINTENANCE_PER_MBW * metabolic_weight(eater.weight_kg)
    if eater.percent_grown is None:
        return [replace(choice, low_kcal=per_multiple * at[-1][1], high_kcal=per_multiple * at[0][1],
                        published=f"{at[-1][1]:g} to {at[0][1]:g} {PER_NRC}")]  # fmt: skip
    multiple = _on_line(at, eater.percent_grown)
    note = (
        f"At {eater.percent_grown:.0f} % of {eater.expected_adult_kg:.3g} kg expected. {first.note}".strip()
    )
    return [replace(choice, kcal=per_multiple * multiple, note=note, published=f"{multiple:.3g} {PER_NRC}")]


def _on_line(points: Sequence[tuple[float, float]], at: float) -> float:
    """The second number at `at`, on straight lines between the points; beyond an end, that end's."""
    before = [point for point in points if point[0] <= at]
    after = [point for point in points if point[0] >= at]
    if not before or not after:
        return (before[-1] if before else after[0])[1]
    (x, y), (end, high) = before[-1], after[0]
    return y if end == x else y + (high - y) * (at - x) / (end - x)


def _gestation_choices(eater: Eater) -> list[EnergyChoice]:
    periods = ((1, GESTATION_RISE_WEEK - 1), (GESTATION_RISE_WEEK, GESTATION_WEEKS))
    return [
        EnergyChoice(
            f"gestation-nrc-{first}", f"gestation, weeks {first} to {last}, NRC",
            gestation_energy(eater.weight_kg, first), None, None, "NRC 2006, Table 15-6", "memory",
            f"At {eater.weight_kg:.3g} kg, the weight now.", eater.weight_kg, rule=NRC,
        )
        for first, last in periods
        if eater.week is None or first <= eater.week <= last
    ]  # fmt: skip


def _lactation_choice(eater: Eater) -> EnergyChoice:
    kg, week, puppies = eater.weight_kg, eater.week, eater.puppies
    choice = EnergyChoice(
        "lactation-nrc", "lactation by week and litter, NRC", None, None, None, "NRC 2006, Table 15-7",
        "memory", "Needs the number of puppies nursing.", kg, rule=NRC,
    )  # fmt: skip
    if puppies is None:
        return choice
    try:
        kcals = [lactation_energy(kg, puppies, each) for each in ([week] if week else LACTATION_BY_WEEK)]
    except ValueError as not_covered:
        return replace(choice, note=str(not_covered))
    if week is None:
        note = "From week 1 to week 4: the day of whelping is not known."
        return replace(choice, low_kcal=kcals[0], high_kcal=kcals[-1], note=note)
    return replace(
        choice, kcal=kcals[0], note=f"At {kg:.3g} kg, the weight now; week {week}, {puppies} nursing."
    )


def _fits(factor: Factor, eater: Eater) -> bool:
    stages = {"", eater.stage, "adult" if eater.stage == "working" else eater.stage}
    if factor.stage not in stages or factor.rule == LARGE_BREED_RULE:
        return False
    if factor.rule == SHARE_RULE and factor.holds_by == "percent" and eater.expected_adult_kg is not None:
        return False
    if factor.suits.startswith(BREED):
        return factor.suits.removeprefix(BREED) in eater.breed.casefold()
    value = {
        "months": eater.age_months, "weeks": eater.week, "puppies": eater.puppies,
        "percent": eater.percent_grown if factor.holds_by == "percent" else None,
    }.get(factor.holds_by)  # fmt: skip
    if value is None:
        return True
    until = math.inf if factor.holds_until is None else factor.holds_until
    return (factor.holds_from or 0) <= value < until


def _by_factor(factor: Factor, factors: Sequence[Factor], eater: Eater) -> EnergyChoice | None:
    """None for a row that stands for an equation, or whose equation does not hold at this weight."""
    kg, which = (eater.ideal_kg, "weight aimed at") if factor.at_ideal else (eater.weight_kg, "weight now")
    if factor.key == LINEAR_RER:
        usual, low, high = _linear(kg), None, None
    elif factor.unit in (PER_RER, PER_MER, PER_100_G, *PER_MBW_OF):
        times = _maintenance(factors, eater) if factor.unit == PER_MER else 1
        usual, low, high = (
            None if value is None else _kcal(kg, value * times, factor.unit)
            for value in (factor.usual, factor.low, factor.high)
        )
    else:
        return None
    if usual is None and low is None:
        return None
    return EnergyChoice(
        factor.key, factor.label, usual, low, high, factor.source, factor.certainty,
        f"At {kg:.3g} kg, the {which}. {factor.note}".strip(),
        at_kg=kg, published=_published(factor), rule=factor.rule,
        goal=factor.suits if factor.suits in (LOSE, GAIN) else eater.goal,
        fits=SUITS_WORDS.get(factor.suits, "") if factor.suits in eater.traits else "",
        offered=factor.choosable,
    )  # fmt: skip


def _kcal(kg: float, value: float, unit: str) -> float:
    if unit in (PER_RER, PER_MER):
        return daily_energy(kg, value)
    if unit == PER_100_G:
        return value * kg * 10
    return maintenance_by_activity(kg, value * PER_MBW_OF[unit])


def _linear(kg: float) -> float | None:
    try:
        return resting_energy_linear(kg)
    except ValueError:
        return None


def _maintenance(factors: Sequence[Factor], eater: Eater) -> float:
    """The factor of a grown dog that holds its weight, by its neutering; not told: as neutered, the lower."""
    wanted = "intact" if eater.neutered is False else "neutered"
    return next(f.usual for f in factors if f.suits == wanted and f.unit == PER_RER)


def _published(factor: Factor) -> str:
    """The factor as printed, such as `1.2 to 1.4 x RER`."""
    if factor.low is None:
        return "" if factor.usual is None else f"{factor.usual:g} {factor.unit}"
    number = f"{factor.low:g}" if factor.low == factor.high else f"{factor.low:g} to {factor.high:g}"
    return f"{number} {factor.unit}"
