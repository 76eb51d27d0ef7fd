"""The limits of a profile per 1000 kcal, on dry matter or per kg^0.75 a day. Pure calculation.

Each basis is an amount of food that holds a stated energy: 1000 kcal; the energy density of 1 kg of dry
matter; the daily energy of a dog per kg^0.75. So one rule goes for all of them: amounts stand to each other
as their energies do. AAFCO states its dry-matter profiles at 4000 kcal ME per kg, FEDIAF its own at 400 kcal
per 100 g. Per kg^0.75: FEDIAF Nutritional Guidelines, Annex 1, units per 1000 kcal = requirement x 1000 /
daily energy. Ratios are the same on every basis.
"""

import math
from dataclasses import dataclass, replace

from nutrients.adequacy import PER_1000_KCAL, ProfileLimits
from nutrients.composition import RATIOS

PER_DM, PER_MBW = "per_dm", "per_mbw"
BASIS_NAMES = {
    PER_1000_KCAL: "per 1000 kcal",
    PER_DM: "on dry matter",
    PER_MBW: "per kg^0.75 a day",
}
KCAL_PER_KG_DM = 4000.0  # AAFCO and FEDIAF: the energy density that their dry-matter tables assume
KCAL_PER_MBW = 110.0  # FEDIAF: moderately active adult
# Dry matter of pure fat holds 9000 kcal per kg by 4/9/4; the lower end is common practice, no source.
DENSITY_RANGE = (1000.0, 9000.0)
# From a sick dog at rest to a racing sled dog (FEDIAF Annex 1, from memory).
MBW_RANGE = (40.0, 1240.0)
# 1 g per 100 g is 10 g per kg: grams are written as percent of dry matter.
PERCENT_PER_G_PER_KG = 0.1
PERCENT_DM, PER_KG_DM = "% DM", "/kg DM"


@dataclass(frozen=True)
class StatedEnergy:
    """What a change of basis rests on: kcal in 1 kg of dry matter, kcal per kg^0.75 a day.

    Raises ValueError for a value that cannot be right.
    """

    per_kg_dm: float = KCAL_PER_KG_DM
    per_mbw: float = KCAL_PER_MBW

    def __post_init__(self):
        _check(self.per_kg_dm, "An energy density", "kcal per kg of dry matter", DENSITY_RANGE)
        _check(self.per_mbw, "A daily energy", "kcal per kg^0.75", MBW_RANGE)

    def kcal(self, basis: str) -> float:
        """The energy of what a basis refers to. Raises ValueError for a basis that is none."""
        if basis not in BASIS_NAMES:
            raise ValueError(f"{basis!r} is no basis of a profile.")
        return {PER_1000_KCAL: 1000.0, PER_DM: self.per_kg_dm, PER_MBW: self.per_mbw}[basis]

    def words(self, basis: str) -> str:
        """The basis as a caption says it."""
        if basis == PER_DM:
            return f"On dry matter, at {self.per_kg_dm:g} kcal per kg of dry matter"
        if basis == PER_MBW:
            return f"Per kg^0.75 a day, at {self.per_mbw:g} kcal per kg^0.75 a day"
        return "Per 1000 kcal"


def _check(value: float, what: str, unit: str, within: tuple[float, float]) -> None:
    low, high = within
    if not (math.isfinite(value) and low <= value <= high):
        raise ValueError(f"{what} of {value:g} {unit} cannot be right: enter {low:g} to {high:g}.")


def amount_on_basis(
    amount: float, unit: str, nutrient: str, from_basis: str, to_basis: str, stated: StatedEnergy
) -> float:
    """A limit of a nutrient, written in `unit` on `from_basis`, as it is written on `to_basis`. NaN stays."""
    if nutrient in RATIOS:
        return amount
    return amount * _written(unit, to_basis, stated) / _written(unit, from_basis, stated)


def _written(unit: str, basis: str, stated: StatedEnergy) -> float:
    """What one unit per kcal becomes on the basis."""
    as_percent = basis == PER_DM and _plain(unit) == "g"
    return stated.kcal(basis) * (PERCENT_PER_G_PER_KG if as_percent else 1.0)


def unit_on_basis(unit: str, nutrient: str, to_basis: str) -> str:
    """How a unit is written on a basis: on dry matter g as % DM and mg as mg/kg DM."""
    if nutrient in RATIOS:
        return unit
    plain = _plain(unit)
    if to_basis != PER_DM:
        return plain
    return PERCENT_DM if plain == "g" else plain + PER_KG_DM


def _plain(unit: str) -> str:
    """The unit without its basis."""
    return "g" if unit == PERCENT_DM else unit.removesuffix(PER_KG_DM)


def decimals_of(limit: float, most: int = 4) -> int:
    """As many decimals as three digits of a limit need, at most `most`: 45.0, 1.25, 0.075, 1250."""
    return min(most, max(0, 2 - math.floor(math.log10(limit)))) if limit > 0 else 1


def on_basis(profile: ProfileLimits, to_basis: str, stated: StatedEnergy) -> ProfileLimits:
    """The whole profile on another basis, and with the same stated energies back again.

    Raises ValueError for a basis that is none. Only what is per 1000 kcal can be judged with.
    """
    limits = profile.limits.copy()
    for key, unit in profile.limits["unit"].items():
        given = unit, key, profile.basis, to_basis, stated
        for side in ("minimum", "maximum"):
            limits.at[key, side] = amount_on_basis(limits.at[key, side], *given)
        limits.at[key, "unit"] = unit_on_basis(unit, key, to_basis)
        shown = limits.loc[key, ["minimum", "maximum"]].dropna()
        limits.at[key, "decimals"] = decimals_of(shown.iloc[0]) if len(shown) else 1
    return replace(profile, limits=limits, basis=to_basis)
