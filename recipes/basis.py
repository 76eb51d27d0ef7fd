"""The basis on which amounts are shown: per 1000 kcal, on dry matter, as fed, or a day. Pure.

A recipe is always judged per 1000 kcal. Each basis is an amount of the food that holds a known energy, and
amounts stand to each other as their energies do: `nutrients.profile_basis` goes by the same rule.
"""

from dataclasses import dataclass

from nutrients.adequacy import PER_1000_KCAL
from nutrients.composition import RATIOS
from nutrients.profile_basis import PER_DM, PERCENT_PER_G_PER_KG, unit_on_basis
from recipes.analysis import Analysis

AS_FED, PER_DAY = "as_fed", "per_day"
BASES = {
    PER_1000_KCAL: "per 1000 kcal",
    PER_DM: "on dry matter",
    AS_FED: "in 100 g as fed",
    PER_DAY: "a day, for the dog",
}
DRY_MATTER = ("protein", "fat", "ash", "fiber", "nfe")


@dataclass(frozen=True)
class Basis:
    """caption: how a table says it. kcal: the energy of the food in which the amounts stand."""

    key: str
    caption: str
    kcal: float

    @property
    def is_usual(self) -> bool:
        return self.key == PER_1000_KCAL

    def amount(self, per_1000_kcal: float | None, unit: str, nutrient: str) -> float | None:
        """An amount per 1000 kcal on this basis; a ratio stays, and so does what is unknown."""
        if per_1000_kcal is None or nutrient in RATIOS:
            return per_1000_kcal
        as_percent = self.key == PER_DM and unit == "g"
        return per_1000_kcal * self.kcal / 1000 * (PERCENT_PER_G_PER_KG if as_percent else 1.0)

    def unit(self, unit: str, nutrient: str) -> str:
        return unit_on_basis(unit, nutrient, self.key)


USUAL = Basis(PER_1000_KCAL, "Per 1000 kcal", 1000.0)


def dry_matter_g(analysis: Analysis) -> float | None:
    """Protein, fat, ash, fibre and NFE of the batch [g]; None while a food has no value of one of them."""
    if foods_without_dry_matter(analysis):
        return None
    return sum(analysis.composition.totals[part] for part in DRY_MATTER)


def foods_without_dry_matter(analysis: Analysis) -> list[str]:
    missing = analysis.composition.completeness["missing"]
    return list(dict.fromkeys(food for part in DRY_MATTER for food in missing[part]))


def moisture_percent(analysis: Analysis) -> float | None:
    """Water in what is fed: 100 minus its dry matter; None while a part of that is unknown."""
    dry_g = dry_matter_g(analysis)
    return None if dry_g is None else max(0.0, 100 - 100 * dry_g / analysis.fed_g)


def basis_of(key: str, analysis: Analysis, dog: str = "", kcal_per_day: float | None = None) -> Basis:
    """The basis of this key for a batch; an unknown key is the usual one.

    On dry matter: as fed / (100 - moisture %) x 100. dog: how it is called. Raises ValueError with a
    sentence when what it rests on is not known.
    """
    kcal = analysis.energy.kcal
    if key == PER_DM:
        dry_g = dry_matter_g(analysis)
        if not dry_g:
            foods = ", ".join(foods_without_dry_matter(analysis))
            raise ValueError(f"Dry matter is not known: water, ash or another part has no value in {foods}.")
        per_kg = 1000 * kcal / dry_g
        return Basis(PER_DM, f"On dry matter, which holds {per_kg:,.0f} kcal per kg", per_kg)
    if key == AS_FED:
        return Basis(AS_FED, "In 100 g as fed", 100 * kcal / analysis.fed_g)
    if key != PER_DAY:
        return USUAL
    if not dog:
        raise ValueError("Choose a dog to see amounts a day.")
    if kcal_per_day is None:
        raise ValueError(f"{dog} has no plan that says how much energy this recipe has to bring a day.")
    return Basis(PER_DAY, f"A day for {dog}, {kcal_per_day:,.0f} kcal from this recipe", kcal_per_day)
