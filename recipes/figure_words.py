"""What the library's figures are called, and in which unit they are asked for and shown. Pure."""

from dataclasses import dataclass

PER_1000_KCAL = "per 1000 kcal"


@dataclass(frozen=True)
class Figure:
    """key: of the figures kept with a version; stored: how much of the kept unit one of this unit is."""

    key: str
    name: str
    unit: str
    basis: str
    decimals: int
    stored: float = 1

    @property
    def in_words(self) -> str:
        return f"{self.unit} {self.basis}"


FIGURES = (
    Figure("kcal_per_100g", "Energy", "kcal", "per 100 g cooked", 0),
    Figure("protein", "Protein", "g", PER_1000_KCAL, 1),
    Figure("fat", "Fat", "g", PER_1000_KCAL, 1),
    Figure("nfe", "Carbohydrate (NFE)", "g", PER_1000_KCAL, 1),
    Figure("fiber", "Fibre", "g", PER_1000_KCAL, 1),
    Figure("calcium", "Calcium", "g", PER_1000_KCAL, 2, stored=1000),
    Figure("phosphorus", "Phosphorus", "g", PER_1000_KCAL, 2, stored=1000),
    Figure("sodium", "Sodium", "mg", PER_1000_KCAL, 0),
    Figure("copper", "Copper", "mg", PER_1000_KCAL, 2),
)
BY_KEY = {figure.key: figure for figure in FIGURES}
