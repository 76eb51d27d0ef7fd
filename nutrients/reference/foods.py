"""Foods, their composition, their household measures and what else they are called."""

from collections.abc import Iterator
from pathlib import Path

from nutrients.models import Food, FoodValue, Measure, Nutrient, Synonym
from nutrients.reference.lines import BadLine, Line, found, line, number, read, rows
from nutrients.reference.tables import Count, write

FOOD_COLUMNS = ("name", "group", "state", "retention_group", "source", "source_ref", "refuse_percent", "note")


def load(folder: Path, nutrients: dict[str, Nutrient]) -> Iterator[Count]:
    """Load foods.csv with the sources of its columns, corrections.csv, measures.csv and synonyms.csv."""
    table = list(rows(folder / "foods.csv"))
    foods = [food_line(place, row) for place, row in table]
    foreign = names_of_other_sources(foods)
    yield write(foods, ("name",), {(name,) for name in foreign})
    by_name = own(foods, foreign)
    values = food_values(folder, table, by_name, nutrients)
    yield write(values, ("food", "nutrient"))
    everything = {each.instance.name: each.instance for each in foods}
    measures = read(folder / "measures.csv", Measure, food=everything)
    yield write((m for m in measures if m.instance.food.name in by_name), ("food", "amount", "label"))
    yield write(read(folder / "synonyms.csv", Synonym), ("word", "called"))


def food_line(place: str, row: dict[str, str]) -> Line:
    """The food itself. An empty refuse is unknown."""
    refuse = row["refuse_percent"]
    values = {name: row[name] for name in FOOD_COLUMNS}
    values["refuse_percent"] = number(place, "refuse_percent", refuse) if refuse else None
    return line(place, Food, values)


def names_of_other_sources(foods: list[Line]) -> set[str]:
    """Names under which the practice keeps a food from another source: these are its own."""
    sources = dict(Food.objects.values_list("name", "source"))
    return {
        each.instance.name
        for each in foods
        if not sources.get(each.instance.name, each.instance.source).startswith(each.instance.source)
    }


def own(foods: list[Line], foreign: set[str]) -> dict[str, Food]:
    """The foods that this table keeps, by name: neither from another source nor deleted by a person."""
    kept = (each.instance for each in foods if each.instance.name not in foreign)
    return {food.name: food for food in kept if food.pk}


def food_values(folder: Path, table: list, foods: dict[str, Food], nutrients: dict[str, Nutrient]):
    """A line for every cell that holds a number; an empty cell is unknown and has no row."""
    columns = value_columns(table, nutrients)
    sources = {row["column"]: row["source"] for _, row in rows(folder / "food_sources.csv")}
    corrections = read_corrections(folder / "corrections.csv", table)
    for place, row in table:
        if row["name"] not in foods:
            continue
        for column, nutrient in columns.items():
            if row[column]:
                correction = corrections.get((row["name"], column))
                yield line(
                    place,
                    FoodValue,
                    {
                        "food": foods[row["name"]],
                        "nutrient": nutrient,
                        "per_100g": number(place, column, row[column]),
                        "kind": correction["kind"] if correction else FoodValue.Kind.PUBLISHED,
                        "source": correction["source"] if correction else found(place, sources, column),
                    },
                )


def read_corrections(path: Path, table: list) -> dict[tuple[str, str], dict[str, str]]:
    """Corrections by food and column. Each must name the very cell that it corrects."""
    cells = {(row["name"], column): cell for _, row in table for column, cell in row.items()}
    corrections = {}
    for place, row in rows(path):
        where = row["food"], row["column"]
        if cells.get(where) != row["value_used"]:
            raise BadLine(place, f"foods.csv does not hold {row['value_used']} as {where[1]} of {where[0]!r}")
        corrections[where] = row
    return corrections


def value_columns(table: list, nutrients: dict[str, Nutrient]) -> dict[str, Nutrient]:
    """The columns that hold amounts: a nutrient's key and its unit, such as `calcium_mg`."""
    stored = {f"{n.key}_{n.unit.lower()}": n for n in nutrients.values() if not n.derived}
    place, first = table[0]
    columns = [column for column in first if column not in FOOD_COLUMNS]
    for column in columns:
        if column not in stored:
            raise BadLine(place, f"{column} is no nutrient with its unit")
    return {column: stored[column] for column in columns}
