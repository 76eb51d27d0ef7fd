"""Everything the nutrient database stores."""

from nutrients.models.foods import (
    ElementFraction,
    Food,
    FoodValue,
    Heat,
    LabelAmount,
    Measure,
    Nutrient,
    Supplement,
)
from nutrients.models.kitchen import BatchYield, Caution, CookingYield, Method, Retention
from nutrients.models.standards import Certainty, Limit, Negligible, Profile, Standard, WatchLevel

__all__ = [
    "BatchYield",
    "Caution",
    "Certainty",
    "CookingYield",
    "ElementFraction",
    "Food",
    "FoodValue",
    "Heat",
    "LabelAmount",
    "Limit",
    "Measure",
    "Method",
    "Negligible",
    "Nutrient",
    "Profile",
    "Retention",
    "Standard",
    "Supplement",
    "WatchLevel",
]
