"""Everything the nutrient database stores."""

from nutrients.models.foods import Food, FoodValue, Heat, Measure, Nutrient, Supplement, Synonym
from nutrients.models.imports import FoodImport
from nutrients.models.kitchen import BatchYield, Caution, CookingYield, Method, Retention
from nutrients.models.labels import ElementFraction, LabelAmount, LabelForm
from nutrients.models.prices import Price
from nutrients.models.standards import Certainty, Limit, Negligible, Profile, Standard, WatchLevel

__all__ = [
    "BatchYield",
    "Caution",
    "Certainty",
    "CookingYield",
    "ElementFraction",
    "Food",
    "FoodImport",
    "FoodValue",
    "Heat",
    "LabelAmount",
    "LabelForm",
    "Limit",
    "Measure",
    "Method",
    "Negligible",
    "Nutrient",
    "Price",
    "Profile",
    "Retention",
    "Standard",
    "Supplement",
    "Synonym",
    "WatchLevel",
]
