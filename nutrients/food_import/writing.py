"""Comparing what a download says with what is here, and writing the difference."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db import connection, transaction

from nutrients.food_import.report import Report
from nutrients.food_import.standing import KEPT, NAME_TAKEN, Standing
from nutrients.models import Food, FoodValue, Measure, Nutrient
from nutrients.signals import rows_written
from nutrients.usda import BadFile, Reading, UsdaFood

FOODS_PER_BATCH = 400
ROWS_PER_STATEMENT = 2000
FOOD_FIELDS = ("name", "group", "state", "retention_group", "refuse_percent")
LONGEST_LABEL = Measure._meta.get_field("label").max_length


def write(reading: Reading, report: Report) -> None:
    """Bring what was read into the food table, and count it; in a dry run it is only compared.

    A value that a later download no longer has is removed: it is unknown again. Foods and measures stay.
    """
    # A dry run takes no transaction: on SQLite that would keep everybody else from saving.
    with nullcontext() if report.dry_run else transaction.atomic():
        _write(reading, report)


def _write(reading: Reading, report: Report) -> None:
    keys = nutrient_keys(reading)
    standing = Standing()
    wanted = []
    for food in reading.foods.values():
        if reason := standing.reason_against(food):
            report.left_out.add(reason, food.description)
        else:
            wanted.append(food)
    for start in range(0, len(wanted), FOODS_PER_BATCH):
        batch = Batch(reading, standing, keys, report)
        batch.compare(wanted[start : start + FOODS_PER_BATCH])
        if not report.dry_run:
            batch.save()


def nutrient_keys(reading: Reading) -> dict[str, int]:
    """The primary keys of the nutrients. Raises BadFile when one that can be read is not loaded."""
    keys = dict(Nutrient.objects.filter(derived=False).values_list("key", "pk"))
    for column in reading.columns:
        if column.nutrient not in keys:
            raise BadFile("usda_nutrients.csv", None, f"{column.nutrient!r} is no nutrient: load them first")
    return keys


class HeldValue(NamedTuple):
    """A stored value; 400,000 of them are compared, too many for instances."""

    pk: int
    nutrient_id: int
    per_100g: float | None
    kind: str
    source: str


@dataclass
class Batch:
    """Some foods of a download beside what is here of them, and what is to be written."""

    reading: Reading
    standing: Standing
    keys: dict[str, int]
    report: Report
    new_foods: list[Food] = field(default_factory=list)
    changed_foods: list[Food] = field(default_factory=list)
    new_values: list[tuple[Food, int, float, str]] = field(default_factory=list)
    old_values: list[int] = field(default_factory=list)
    new_measures: list[Measure] = field(default_factory=list)
    changed_measures: list[Measure] = field(default_factory=list)
    foods_that_differ: list[Food] = field(default_factory=list)

    def compare(self, foods: Sequence[UsdaFood]) -> None:
        held = [food for food in map(self.standing.held, foods) if food]
        values: dict[int, list[HeldValue]] = defaultdict(list)
        rows = FoodValue.objects.filter(food__in=held).order_by()
        for food_id, *row in rows.values_list("food_id", *HeldValue._fields):
            values[food_id].append(HeldValue(*row))
        measures: dict[int, list[Measure]] = defaultdict(list)
        for measure in Measure.objects.filter(food__in=held).order_by():
            measures[measure.food_id].append(measure)
        for food in foods:
            mine = self.standing.held(food)
            pk = mine.pk if mine else None
            if mine and any(is_foreign(value, mine) for value in values[pk]):
                self.report.left_out.add(KEPT, food.description)
            elif name := self.standing.take_name(food):
                self._compare_food(food, mine, name, values[pk], measures[pk])
            else:
                self.report.left_out.add(NAME_TAKEN, food.description)

    def _compare_food(self, food: UsdaFood, mine: Food | None, name: str, values, measures) -> None:
        differs = self._food_differs(food, mine, name)
        target = mine or self.new_foods[-1]
        differs |= self._values_differ(food, target, values)
        differs |= self._measures_differ(food, target, measures)
        if mine is None:
            self.report.added += 1
        elif differs:
            self.foods_that_differ.append(mine)
            self.report.changed += 1
        else:
            self.report.unchanged += 1

    def _food_differs(self, food: UsdaFood, mine: Food | None, name: str) -> bool:
        kind = self.reading.kinds[food.key]
        said = (name, kind.group, kind.state, kind.retention_group, food.refuse_percent)
        fields = dict(zip(FOOD_FIELDS, said, strict=True))
        if mine is None:
            self.new_foods.append(Food(source=food.release.value, source_ref=food.ref, **fields))
            return True
        if all(getattr(mine, field) == value for field, value in fields.items()):
            return False
        for field_name, value in fields.items():
            setattr(mine, field_name, value)
        self.changed_foods.append(mine)
        return True

    def _values_differ(self, food: UsdaFood, target: Food, values: list[HeldValue]) -> bool:
        """A changed value is removed and stored anew, which is far quicker than updating many."""
        known = {value.nutrient_id: value for value in values}
        added, changed = [], []
        for column, amount in self.reading.amounts.of(food.key):
            nutrient, source = self.keys[column.nutrient], f"{target.source}, {column.origin}"
            value = known.pop(nutrient, None)
            if value is None:
                added.append((target, nutrient, amount, source))
            elif (value.per_100g, value.source) != (amount, source):
                changed.append((target, nutrient, amount, source))
                self.old_values.append(value.pk)
        self.old_values += [value.pk for value in known.values()]
        self.new_values += added + changed
        self.report.values_added += len(added)
        self.report.values_changed += len(changed)
        self.report.values_removed += len(known)
        return bool(added or changed or known)

    def _measures_differ(self, food: UsdaFood, target: Food, measures: list[Measure]) -> bool:
        known = {(measure.amount, measure.label): measure for measure in measures}
        added, changed = [], []
        for amount, label, grams in self.reading.measures.get(food.key, []):
            label = label[:LONGEST_LABEL]
            measure = known.get((amount, label))
            if measure is None:
                measure = Measure(food=target, amount=amount, label=label, grams=grams)
                known[amount, label] = measure
                added.append(measure)
            elif measure.pk and measure.grams != grams:
                measure.grams = grams
                changed.append(measure)
        self.new_measures += added
        self.changed_measures += changed
        self.report.measures_added += len(added)
        self.report.measures_changed += len(changed)
        return bool(added or changed)

    def save(self) -> None:
        size = ROWS_PER_STATEMENT
        Food.objects.bulk_create(self.new_foods, batch_size=size)
        # An insert that meets its own row: a tenth of the time of bulk_update.
        Food.objects.bulk_create(
            self.changed_foods, size, update_conflicts=True, unique_fields=["id"], update_fields=FOOD_FIELDS
        )
        # Past the history, which is what tells a person's change from an import's.
        old = FoodValue.objects.filter(pk__in=self.old_values)
        old._raw_delete(old.db)
        insert_values((food.pk, *rest) for food, *rest in self.new_values)
        Measure.objects.bulk_create(self.new_measures, batch_size=size)
        Measure.objects.bulk_update(self.changed_measures, ["grams"], batch_size=size)
        rows_written.send(Food, rows=self.foods_that_differ)


def insert_values(rows: Iterable[tuple[int, int, float, str]]) -> None:
    """Store published values: food, nutrient, amount per 100 g, source.

    Straight in SQL, which is three times as fast: on SQLite nobody else can save meanwhile.
    """
    names = ("food_id", "nutrient_id", "per_100g", "source", "kind")
    columns = ", ".join(map(connection.ops.quote_name, names))
    table = connection.ops.quote_name(FoodValue._meta.db_table)
    statement = f"INSERT INTO {table} ({columns}) VALUES (%s, %s, %s, %s, %s)"
    with connection.cursor() as cursor:
        cursor.executemany(statement, [(*row, FoodValue.Kind.PUBLISHED.value) for row in rows])


def is_foreign(value: HeldValue, food: Food) -> bool:
    """Does the value come from somewhere else than the import that brought its food?"""
    return value.kind != FoodValue.Kind.PUBLISHED or not value.source.startswith(food.source)
