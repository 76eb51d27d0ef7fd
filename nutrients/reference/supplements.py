"""Supplements: what their labels say, and the composition that follows from it."""

from collections.abc import Iterator
from pathlib import Path

from django.core.exceptions import ValidationError

from nutrients.models import ElementFraction, Food, FoodValue, LabelAmount, Nutrient, Supplement
from nutrients.reference.foods import names_of_other_sources, own
from nutrients.reference.lines import YES_NO, BadLine, Line, found, line, number, rows, value
from nutrients.reference.tables import Count, write
from nutrients.units import convert

SOURCE = "Generic product, invented for this program"
FOOD_COLUMNS = ("name", "group", "note")
SUPPLEMENT_COLUMNS = ("form", "dose_unit", "heat", "heat_reason", "label_text", "assay")
DOSE_COLUMNS = ("grams_per_dose_unit", "smallest_step")
PROXIMATE_COLUMNS = {
    "energy_kcal": "energy",
    "water_g": "water",
    "protein_g": "protein",
    "fat_g": "fat",
    "ash_g": "ash",
    "fiber_g": "fiber",
}
NOT_DECLARED = (
    "not declared on the label; US supplement labels must declare what is present in more than trace amounts "
    "(21 CFR 101.36, from memory)"
)


def load(folder: Path, nutrients: dict[str, Nutrient]) -> Iterator[Count]:
    """Load supplements.csv and supplement_labels.csv into foods, supplements, label lines and values."""
    table = list(rows(folder / "supplements.csv"))
    foods = [line(place, Food, food_of(row)) for place, row in table]
    foreign = names_of_other_sources(foods)
    yield write(foods, ("name",), {(name,) for name in foreign})
    everything = {row["name"] for _, row in table}
    kept = own(foods, foreign)
    table = [(place, row) for place, row in table if row["name"] in kept]
    supplements = [supplement_line(place, row, kept[row["name"]]) for place, row in table]
    yield write(supplements, ("food",))
    by_name = {each.instance.food.name: each.instance for each in supplements}
    labels = [
        label_line(place, row, by_name, nutrients)
        for place, row in rows(folder / "supplement_labels.csv")
        if row["supplement"] not in everything - kept.keys()
    ]
    yield write(labels, ("supplement", "nutrient"))
    refuse_unassayed(supplements)
    yield write(composition(table, kept, labels, nutrients), ("food", "nutrient"))


def food_of(row: dict[str, str]) -> dict[str, object]:
    """The food that carries a supplement's composition."""
    return {name: row[name] for name in FOOD_COLUMNS} | {"state": Food.State.AS_SOLD, "source": SOURCE}


def supplement_line(place: str, row: dict[str, str], food: Food) -> Line:
    stated = {name: row[name] for name in SUPPLEMENT_COLUMNS}
    stated |= {name: number(place, name, row[name]) for name in DOSE_COLUMNS}
    declares_all = value(place, Supplement, "declares_all", row["declares_all"], {})
    return line(place, Supplement, stated | {"declares_all": declares_all, "food": food})


def label_line(place: str, row: dict[str, str], supplements: dict, nutrients: dict[str, Nutrient]) -> Line:
    """One line of a label. Where the label weighs a compound, the conversion is said in words."""
    nutrient = found(place, nutrients, row["nutrient"])
    amount = number(place, "amount", row["amount"])
    conversion = row["conversion"]
    if row["compound"]:
        fraction = fraction_of(place, row["compound"], nutrient)
        held = f"{amount * fraction.fraction:.4g} {row['unit']} {nutrient.name.lower()}"
        conversion = f"{amount:g} {row['unit']} {fraction.compound} x {fraction.fraction:g} = {held}"
    values = {
        "supplement": found(place, supplements, row["supplement"]),
        "nutrient": nutrient,
        "amount": amount,
        "unit": row["unit"],
        "compound": row["compound"],
        "conversion": conversion,
    }
    return line(place, LabelAmount, values)


def fraction_of(place: str, compound: str, nutrient: Nutrient) -> ElementFraction:
    """What the compound holds of the nutrient, weight by weight."""
    fraction = ElementFraction.objects.filter(compound=compound, nutrient=nutrient).first()
    if not fraction or not fraction.fraction or not fraction.unit.startswith("g "):
        raise BadLine(
            place, f"element_fractions.csv has no share of {nutrient.name.lower()} for {compound!r}"
        )
    return fraction


def refuse_unassayed(supplements: list[Line]) -> None:
    """Ask each supplement again now that its label lines stand: seaweed needs a measured iodine."""
    for each in supplements:
        try:
            each.instance.clean()
        except ValidationError as problem:
            raise BadLine(each.place, problem) from None


def composition(table: list, foods: dict[str, Food], labels: list[Line], nutrients: dict[str, Nutrient]):
    """Values per 100 g: the label's, then the proximates, then the zeros of a label that declares all."""
    for place, row in table:
        food = foods[row["name"]]
        stated = [each for each in labels if each.instance.supplement.food.name == food.name]
        known = {each.instance.nutrient.key for each in stated}
        yield from (label_value(each, food) for each in stated)
        for column, key in PROXIMATE_COLUMNS.items():
            if key not in known:
                amount = number(place, column, row[column])
                kind = FoodValue.Kind.LABEL if YES_NO[row["declares_all"]] else FoodValue.Kind.ESTIMATE
                yield value_line(place, food, nutrients[key], amount, kind, row["proximates_source"])
        if YES_NO[row["declares_all"]]:
            known |= set(PROXIMATE_COLUMNS.values())
            for key, nutrient in nutrients.items():
                if key not in known and not nutrient.derived:
                    yield value_line(place, food, nutrient, 0.0, FoodValue.Kind.LABEL, NOT_DECLARED)


def label_value(label: Line, food: Food) -> Line:
    """A label line as an amount per 100 g, in the nutrient's own unit."""
    stated = label.instance
    nutrient, amount = stated.nutrient, stated.amount
    if stated.compound:
        amount *= fraction_of(label.place, stated.compound, nutrient).fraction
    try:
        amount = convert(amount, stated.unit, nutrient.unit, nutrient.key)
    except ValueError as problem:
        raise BadLine(label.place, problem) from None
    per_100g = amount / stated.supplement.grams_per_dose_unit * 100
    source = f"label: {stated.conversion}" if stated.conversion else "label"
    return value_line(label.place, food, nutrient, round(per_100g, 6), FoodValue.Kind.LABEL, source)


def value_line(place: str, food: Food, nutrient: Nutrient, per_100g: float, kind: str, source: str) -> Line:
    values = {"food": food, "nutrient": nutrient, "per_100g": per_100g, "kind": kind, "source": source}
    return line(place, FoodValue, values)
