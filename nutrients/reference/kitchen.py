"""What cooking does to food, what compounds and labelled forms hold, and what never goes into a bowl."""

from collections.abc import Iterator
from pathlib import Path

from nutrients.models import (
    BatchYield,
    Caution,
    CookingYield,
    ElementFraction,
    LabelForm,
    Nutrient,
    Retention,
)
from nutrients.reference.lines import read
from nutrients.reference.tables import Count, write


def load(folder: Path, nutrients: dict[str, Nutrient]) -> Iterator[Count]:
    """Load the retention factors, the yields, the element fractions, the label forms and the cautions."""
    retention = read(folder / "retention.csv", Retention, nutrient=nutrients)
    yield write(retention, ("food_group", "method", "nutrient"))
    yield write(read(folder / "cooking_yields.csv", CookingYield), ("food_group", "food", "method"))
    yield write(read(folder / "batch_yields.csv", BatchYield), ("retention_group", "method"))
    fractions = read(folder / "element_fractions.csv", ElementFraction, nutrient=nutrients)
    yield write(fractions, ("compound", "nutrient"))
    forms = read(folder / "label_forms.csv", LabelForm, nutrient=nutrients)
    yield write(forms, ("nutrient", "form", "unit"))
    cautions = list(read(folder / "cautions.csv", Caution))
    for each in cautions:
        each.instance.words = each.instance.words.replace("|", "\n")
    yield write(cautions, ("kind", "subject"))
