"""Metabolizable energy of food from its composition.

Atwater factors for home-cooked and natural food (FEDIAF Nutritional Guidelines, annex on energy), modified
Atwater factors for processed food (AAFCO Official Publication), and the four-step equation of NRC 2006
(Nutrient Requirements of Dogs and Cats, chapter 3; from memory).
"""

import math
from dataclasses import dataclass

from nutrients.composition import Composition

ATWATER = (4.0, 9.0, 4.0)  # kcal per g protein, fat, NFE
MODIFIED_ATWATER = (3.5, 8.5, 3.5)
GROSS_ENERGY = (5.7, 9.4, 4.1)  # kcal per g protein, fat, carbohydrate (NFE + fibre); NRC 2006
DIGESTIBILITY_WITHOUT_FIBRE = 91.2  # percent; NRC 2006, dogs
DIGESTIBILITY_LOST_PER_PERCENT_FIBRE = 1.43  # crude fibre, percent of dry matter
URINE_KCAL_PER_G_PROTEIN = 1.04

EQUATIONS = ("atwater", "modified_atwater", "nrc_2006")


@dataclass(frozen=True)
class Energy:
    """Metabolizable energy of a batch (kcal) from what is known; `missing` names foods not wholly counted."""

    kcal: float
    protein_kcal: float
    fat_kcal: float
    nfe_kcal: float
    missing: tuple[str, ...] = ()


def me_atwater(protein_g: float, fat_g: float, nfe_g: float) -> float:
    """Energy (kcal) as 4 x protein + 9 x fat + 4 x NFE. Source: FEDIAF, home-cooked and natural food."""
    return sum(_by_factors(ATWATER, protein_g, fat_g, nfe_g))


def me_modified_atwater(protein_g: float, fat_g: float, nfe_g: float) -> float:
    """Energy (kcal) as 3.5 x protein + 8.5 x fat + 3.5 x NFE. Source: AAFCO, processed food."""
    return sum(_by_factors(MODIFIED_ATWATER, protein_g, fat_g, nfe_g))


def me_nrc_2006(
    protein_g: float, fat_g: float, nfe_g: float, crude_fibre_g: float, dry_matter_g: float
) -> float:
    """Energy (kcal) by the four steps of NRC 2006 for prepared dog food (from memory).

    GE = 5.7 x protein + 9.4 x fat + 4.1 x (NFE + fibre); digestibility % = 91.2 - 1.43 x crude fibre,
    percent of dry matter; DE = GE x digestibility / 100; ME = DE - 1.04 x protein. All weights in g of the
    same amount of food. Raises ValueError when the dry matter is less than its parts or nothing would be
    digested.
    """
    return sum(_by_digestibility(protein_g, fat_g, nfe_g, crude_fibre_g, dry_matter_g))


def energy_of(composition: Composition, equation: str = "atwater") -> Energy:
    """Energy of a batch from its known protein, fat and NFE (for nrc_2006 fibre and ash as well).

    Unknown parts add nothing to the kcal, which is then too low: `missing` names the foods. Raises ValueError
    for an equation that is not one of EQUATIONS.
    """
    if equation not in EQUATIONS:
        raise ValueError(f"There is no energy equation called {equation!r}: choose {', '.join(EQUATIONS)}.")
    keys = ["protein", "fat", "nfe"]
    if equation == "nrc_2006":
        keys += ["fiber", "ash"]
    known = [_known(composition, key) for key in keys]
    if equation == "nrc_2006":
        parts = _by_digestibility(*known[:4], dry_matter_g=sum(known)) if sum(known) else (0.0, 0.0, 0.0)
    else:
        parts = _by_factors(ATWATER if equation == "atwater" else MODIFIED_ATWATER, *known)
    return Energy(sum(parts), *parts, missing=_foods_without(composition, keys))


def _known(composition: Composition, key: str) -> float:
    amount = float(composition.totals.get(key, math.nan))
    return 0.0 if math.isnan(amount) else amount


def _foods_without(composition: Composition, keys: list[str]) -> tuple[str, ...]:
    contributions = composition.contributions
    unknown = contributions.reindex(columns=keys).isna().any(axis=1)
    return tuple(dict.fromkeys(contributions.index[unknown]))


def _by_factors(factors: tuple[float, ...], *grams: float) -> tuple[float, ...]:
    _check_grams(*grams)
    return tuple(factor * amount for factor, amount in zip(factors, grams, strict=True))


def _by_digestibility(
    protein_g: float, fat_g: float, nfe_g: float, crude_fibre_g: float, dry_matter_g: float
) -> tuple[float, float, float]:
    _check_grams(protein_g, fat_g, nfe_g, crude_fibre_g, dry_matter_g)
    parts_g = protein_g + fat_g + nfe_g + crude_fibre_g
    if dry_matter_g <= 0 or parts_g > dry_matter_g * (1 + 1e-9):
        raise ValueError(
            f"Dry matter of {dry_matter_g:g} g cannot hold {parts_g:g} g of protein, fat, NFE and fibre."
        )
    fibre_percent = 100 * crude_fibre_g / dry_matter_g
    digested = (DIGESTIBILITY_WITHOUT_FIBRE - DIGESTIBILITY_LOST_PER_PERCENT_FIBRE * fibre_percent) / 100
    if digested <= 0:
        raise ValueError(f"The NRC 2006 equation does not hold for {fibre_percent:.0f} % crude fibre.")
    protein, fat, carbohydrate = GROSS_ENERGY
    return (
        protein_g * (protein * digested - URINE_KCAL_PER_G_PROTEIN),
        fat_g * fat * digested,
        (nfe_g + crude_fibre_g) * carbohydrate * digested,
    )


def _check_grams(*grams: float) -> None:
    for amount in grams:
        if not math.isfinite(amount) or amount < 0:
            raise ValueError(f"An amount of food must be 0 g or more, not {amount}.")
