"""The tables of the exported database: which model each holds and how its rows are told apart."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from django.conf import settings
from django.db import models

from nutrients.models import (
    BatchYield,
    Caution,
    CookingYield,
    ElementFraction,
    Food,
    FoodValue,
    LabelAmount,
    LabelForm,
    Limit,
    Measure,
    Negligible,
    Nutrient,
    Profile,
    Retention,
    Standard,
    Supplement,
    Synonym,
    WatchLevel,
)

DICTIONARY = settings.BASE_DIR / "fixtures" / "database_dictionary.csv"
BY_HAND = "by_hand"  # changed: a person entered or changed the row; removed: a person took it away
CHANGED, REMOVED = "changed", "removed"


@dataclass(frozen=True)
class Table:
    """key: the fields that tell rows apart. order: how the rows are sorted; by the key when empty.

    references: field -> path to what names the other row. stated: columns that repeat what another table
    says, with the path to it; they are checked, not stored. removals: whether what a person took away is
    told, so that it is not brought back. belongs_to: the field of the row of which this one is a part: rows
    that the file does not name are not kept with it.
    """

    name: str
    model: type[models.Model]
    key: tuple[str, ...]
    references: Mapping[str, str] = field(default_factory=dict)
    order: tuple[str, ...] = ()
    stated: Mapping[str, str] = field(default_factory=dict)
    removals: bool = False
    belongs_to: str = ""

    @property
    def file(self) -> str:
        return f"{self.name}.csv"

    @property
    def columns(self) -> list[str]:
        return [row["column"] for row in dictionary() if row["table"] == self.name]

    @property
    def fields(self) -> list[str]:
        """The columns that are fields of the model."""
        return [name for name in self.columns if name != BY_HAND and name not in self.stated]

    @property
    def has_history(self) -> bool:
        return BY_HAND in self.columns

    def path(self, column: str) -> str:
        """Where a column's content stands, seen from the model."""
        return self.references.get(column) or self.stated.get(column) or column

    def sorting(self) -> list[str]:
        return [self.path(name) for name in self.order or self.key]


NUTRIENT = {"nutrient": "nutrient__key"}
FOOD = {"food": "food__name"}

# In the order in which they are read: every table after those it refers to.
TABLES = (
    Table("nutrients", Nutrient, ("key",), order=("order", "key")),
    Table("foods", Food, ("name",)),
    Table(
        "values",
        FoodValue,
        ("food", "nutrient"),
        FOOD | NUTRIENT,
        stated={"unit": "nutrient__unit"},
        removals=True,
    ),
    Table("measures", Measure, ("food", "amount", "label"), FOOD, order=("food", "pk")),
    Table("supplements", Supplement, ("food",), FOOD),
    Table(
        "label_amounts",
        LabelAmount,
        ("supplement", "nutrient"),
        {"supplement": "supplement__food__name"} | NUTRIENT,
        belongs_to="supplement",
    ),
    Table("label_forms", LabelForm, ("nutrient", "form", "unit"), NUTRIENT),
    Table("element_fractions", ElementFraction, ("compound", "nutrient"), NUTRIENT),
    Table("synonyms", Synonym, ("word", "called")),
    Table("standards", Standard, ("name",)),
    Table(
        "profiles",
        Profile,
        ("key",),
        {"standard": "standard__name", "inherits": "inherits__key", "copied_from": "copied_from__key"},
    ),
    Table("limits", Limit, ("profile", "nutrient", "kind"), {"profile": "profile__key"} | NUTRIENT),
    Table("negligible", Negligible, ("nutrient", "food_group"), NUTRIENT),
    Table("watch_levels", WatchLevel, ("nutrient",), NUTRIENT),
    Table("retention", Retention, ("food_group", "method", "nutrient"), NUTRIENT),
    Table("batch_yields", BatchYield, ("retention_group", "method")),
    Table("cooking_yields", CookingYield, ("food_group", "food", "method")),
    Table("cautions", Caution, ("kind", "subject")),
)


@cache
def dictionary() -> list[dict[str, str]]:
    """Table, column, unit and meaning of everything that is exported."""
    with DICTIONARY.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))
