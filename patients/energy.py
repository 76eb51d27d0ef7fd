"""Daily energy of a dog. Pure calculation: weights in kg, energy in kcal of metabolizable energy a day.

Every function raises ValueError, with a sentence for the person who typed the number, when a value is zero,
negative, not a number, infinite or outside a dog's range. `patients.energy_methods` sets the methods side by
side; the practitioner chooses.
"""

import math

from nutrients.units import MBW_EXPONENT

HEAVIEST_KG = 120.0  # common practice, no source: heavier than any dog on the scales of a practice

LINEAR_RER_PER_KG, LINEAR_RER_BASE = 30.0, 70.0  # Small Animal Clinical Nutrition, 5th ed., Table 5-2
LINEAR_RER_FROM_KG, LINEAR_RER_TO_KG = 2.0, 45.0  # the same table: it holds between these weights
RER_PER_MBW = 70.0  # Small Animal Clinical Nutrition, 5th ed., Table 5-2
HIGHEST_FACTOR = 10.0  # just above 8 x RER, heavy work: Small Animal Clinical Nutrition, 5th ed., Table 5-2
HIGHEST_KCAL_PER_MBW = 1240.0  # racing sled dogs: FEDIAF, Annex 1 (energy), from memory
HIGHEST_KCAL = 15_000.0  # common practice, no source: a day's energy above this is a typing error

NRC_MAINTENANCE_PER_MBW = 130.0  # NRC 2006, quoted by FEDIAF's annex as the standard assumption
GROWTH_MULTIPLE, GROWTH_DECAY, GROWTH_OFFSET = 3.2, 0.87, 0.1  # NRC 2006, energy of puppies after weaning
GROWTH_PER_MBW_BY_SHARE = ((0.5, 210.0), (0.8, 175.0), (1.0, 140.0))  # FEDIAF 2021 (VNJ 37(4), 2022, Table 2)

GESTATION_WEEKS = 9  # common practice: 63 days
GESTATION_RISE_WEEK, GESTATION_PER_KG = 5, 26.0  # NRC 2006, Table 15-6, from memory
LACTATION_PER_MBW = 145.0  # NRC 2006, Table 15-7, from memory
LACTATION_PER_KG_FIRST_FOUR, LACTATION_PER_KG_NEXT_FOUR = 24.0, 12.0  # NRC 2006, Table 15-7, from memory
LACTATION_BY_WEEK = {1: 0.75, 2: 0.95, 3: 1.1, 4: 1.2}  # NRC 2006, Table 15-7, from memory
LARGEST_LITTER = 8  # NRC 2006, Table 15-7: the equation ends at the eighth puppy, from memory

IDEAL_BCS = 5  # 9-point scale: AAHA 2014 Weight Management Guidelines
WELL_CONDITIONED = (4, 5)  # the scores that body condition charts call ideal for dogs; from memory
PERCENT_PER_BCS_POINT = 10.0  # AAHA 2014 Weight Management Guidelines, for points above 5
HIGHEST_PERCENT_PER_BCS_POINT = 15.0  # upper end of the range in veterinary literature, from memory
EXTRAS_SHARE = 0.10  # Clinician's Brief, obesity management calculation sheet: treats below 10 % of the day


def check_weight(kg: float, what: str = "weight") -> float:
    """Return `kg`, or raise ValueError when it cannot be a dog's weight in kg."""
    return _check(kg, what, HEAVIEST_KG, "kg")


def check_kcal(kcal: float, what: str = "daily energy") -> float:
    """Return `kcal`, or raise ValueError when no dog can need so much in a day."""
    return _check(kcal, what, HIGHEST_KCAL, "kcal")


def _check(value: float, what: str, highest: float, unit: str) -> float:
    if not (math.isfinite(value) and 0 < value <= highest):
        raise ValueError(
            f"A {what} of {value:g} {unit} cannot be right: enter more than 0 and at most {highest:g} {unit}."
        )
    return value


def metabolic_weight(weight_kg: float) -> float:
    """Metabolic body weight, kg^0.75."""
    return check_weight(weight_kg) ** MBW_EXPONENT


def resting_energy(weight_kg: float) -> float:
    """Resting energy requirement, 70 x kg^0.75 [kcal/day]. Small Animal Clinical Nutrition, 5th ed."""
    return RER_PER_MBW * metabolic_weight(weight_kg)


def resting_energy_linear(weight_kg: float) -> float:
    """Resting energy requirement, 30 x kg + 70 [kcal/day], for 2 to 45 kg.

    Small Animal Clinical Nutrition, 5th ed., Table 5-2, which prefers the form with kg^0.75.
    Raises ValueError outside these weights.
    """
    if not LINEAR_RER_FROM_KG <= check_weight(weight_kg) <= LINEAR_RER_TO_KG:
        raise ValueError(f"30 x kg + 70 holds from 2 to 45 kg, not at {weight_kg:g} kg.")
    return LINEAR_RER_PER_KG * weight_kg + LINEAR_RER_BASE


def daily_energy(weight_kg: float, factor: float) -> float:
    """Daily energy requirement, RER x `factor` [kcal/day]. The factor is at most 10."""
    return resting_energy(weight_kg) * _check(factor, "factor", HIGHEST_FACTOR, "x RER")


def maintenance_by_activity(weight_kg: float, kcal_per_mbw: float) -> float:
    """`kcal_per_mbw` [kcal per kg^0.75] x kg^0.75 [kcal/day]. FEDIAF Nutritional Guidelines, Annex 1."""
    per_mbw = _check(kcal_per_mbw, "daily energy", HIGHEST_KCAL_PER_MBW, "kcal per kg^0.75")
    return per_mbw * metabolic_weight(weight_kg)


def share_of_adult_weight(weight_kg: float, adult_kg: float) -> float:
    """Weight / expected adult weight. Raises ValueError when it is above 1."""
    share = check_weight(weight_kg) / check_weight(adult_kg, "expected adult weight")
    if share > 1:
        raise ValueError(
            f"The dog weighs {weight_kg:g} kg, more than its expected adult weight of {adult_kg:g} kg: "
            "correct the expected weight, or feed it as an adult when it is grown."
        )
    return share


def growth_energy(weight_kg: float, adult_kg: float) -> float:
    """Energy of a growing dog after weaning [kcal/day].

    130 x kg^0.75 x 3.2 x (e^(-0.87 p) - 0.1), p = weight / expected adult weight. NRC 2006.
    Raises ValueError when the weight is above the expected adult weight.
    """
    share = share_of_adult_weight(weight_kg, adult_kg)
    growth = GROWTH_MULTIPLE * (math.exp(-GROWTH_DECAY * share) - GROWTH_OFFSET)
    return NRC_MAINTENANCE_PER_MBW * metabolic_weight(weight_kg) * growth


def growth_energy_by_share(weight_kg: float, adult_kg: float) -> float:
    """Energy of a growing dog [kcal/day]: 210, 175 or 140 kcal per kg^0.75 of the present weight.

    Up to 50 %, 80 % and 100 % of the expected adult weight. FEDIAF 2021.
    Raises ValueError when the weight is above the expected adult weight.
    """
    share = share_of_adult_weight(weight_kg, adult_kg)
    per_mbw = next(kcal for up_to, kcal in GROWTH_PER_MBW_BY_SHARE if share <= up_to)
    return per_mbw * metabolic_weight(weight_kg)


def gestation_energy(weight_kg: float, week: int) -> float:
    """Energy of a pregnant bitch in weeks 1-9 [kcal/day], by her present weight.

    130 x kg^0.75, from week 5 on + 26 x kg. NRC 2006, Table 15-6 (from memory).
    """
    if week not in range(1, GESTATION_WEEKS + 1):
        raise ValueError(f"Week {week} of pregnancy does not exist: enter 1 to {GESTATION_WEEKS}.")
    maintenance = NRC_MAINTENANCE_PER_MBW * metabolic_weight(weight_kg)
    return maintenance + (GESTATION_PER_KG * weight_kg if week >= GESTATION_RISE_WEEK else 0)


def lactation_energy(weight_kg: float, puppies: int, week: int) -> float:
    """Energy of a nursing bitch in weeks 1-4 [kcal/day], by her present weight.

    145 x kg^0.75 + kg x (24 n + 12 m) x L, n = puppies 1-4, m = puppies 5-8, L = 0.75, 0.95, 1.1 and 1.2
    in weeks 1-4. NRC 2006, Table 15-7 (from memory).
    """
    if week not in LACTATION_BY_WEEK:
        raise ValueError(f"The equation covers weeks 1 to 4 of nursing, not week {week}.")
    if puppies not in range(1, LARGEST_LITTER + 1):
        raise ValueError(
            f"The equation covers 1 to {LARGEST_LITTER} puppies, not {puppies}: "
            "for a larger litter let her eat as much as she wants and follow her weight."
        )
    first, next_four = min(puppies, 4), max(puppies - 4, 0)
    per_kg = LACTATION_PER_KG_FIRST_FOUR * first + LACTATION_PER_KG_NEXT_FOUR * next_four
    return LACTATION_PER_MBW * metabolic_weight(weight_kg) + weight_kg * per_kg * LACTATION_BY_WEEK[week]


def ideal_weight(weight_kg: float, bcs: float, percent_per_point: float = PERCENT_PER_BCS_POINT) -> float:
    """Ideal weight [kg] = weight / (1 + percent x (BCS - 5) / 100), BCS on the 9-point scale.

    AAHA 2014 for points above 5; below 5 the same scale is extended (from memory).
    """
    if not 1 <= bcs <= 9:
        raise ValueError(f"A body condition score of {bcs:g} does not exist: enter 1 to 9.")
    percent = _check(percent_per_point, "step per point", HIGHEST_PERCENT_PER_BCS_POINT, "percent")
    return check_weight(weight_kg) / (1 + percent * (bcs - IDEAL_BCS) / 100)


def most_extras(daily_kcal: float) -> float:
    """The most that treats, toppers, chews and pill wrappers may bring together: 10 % of the day [kcal]."""
    return check_kcal(daily_kcal) * EXTRAS_SHARE


def recipe_energy(daily_kcal: float, extras_kcal: float, recipe_share: float = 1.0) -> float:
    """What the recipe must bring a day [kcal]: (daily - all extras) x share.

    Raises ValueError when the extras are negative or above 10 % of the day, or the share is not in (0, 1].
    """
    most = most_extras(daily_kcal)
    if not (math.isfinite(extras_kcal) and extras_kcal >= 0):
        raise ValueError(f"Extras of {extras_kcal:g} kcal cannot be right: enter 0 or more.")
    if extras_kcal > most and not math.isclose(extras_kcal, most):
        raise ValueError(
            f"Extras of {extras_kcal:.0f} kcal are more than 10 % of the day: at most {most:.0f} kcal."
        )
    if not 0 < recipe_share <= 1:
        raise ValueError(f"A recipe share of {recipe_share:g} cannot be right: enter more than 0, at most 1.")
    return (daily_kcal - extras_kcal) * recipe_share


def target_density(requirement_per_mbw: float, kcal_per_mbw: float) -> float:
    """Units per 1000 kcal that cover a requirement per kg^0.75 at an energy intake per kg^0.75.

    requirement x 1000 / energy. FEDIAF Nutritional Guidelines, Annex 1.
    """
    if not (math.isfinite(requirement_per_mbw) and requirement_per_mbw >= 0):
        raise ValueError(f"A requirement of {requirement_per_mbw:g} cannot be right: enter 0 or more.")
    per_mbw = _check(kcal_per_mbw, "daily energy", HIGHEST_KCAL_PER_MBW, "kcal per kg^0.75")
    return requirement_per_mbw * 1000 / per_mbw
