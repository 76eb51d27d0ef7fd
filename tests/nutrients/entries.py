"""What somebody types into the forms of foods and supplements."""

from nutrients.models import Food, FoodValue, Nutrient

SAVE = {"act": "save"}
OATS = {
    "name": "Moon oats, rolled",
    "group": "grain & starch",
    "state": "dried",
    "basis_of": "serving",
    "serving_g": "40",
}
DROPS = {
    "name": "Moon drops",
    "group": "vitamin supplement",
    "form": "d-alpha-tocopherol in oil",
    "heat": "sensitive",
    "label_text": "Vitamin E 10 IU per drop",
    "dose_unit": "drop",
    "grams_per_dose_unit": "0.03",
    "smallest_step": "1",
}
NATURAL = "natural (d-, RRR-)"


def line(key: str, amount: str, unit: str, form: str = "") -> dict[str, str]:
    return {f"{key}-amount": amount, f"{key}-unit": unit, f"{key}-form": form}


def bound(key: str, low: str = "", high: str = "", unit: str = "%", form: str = "") -> dict[str, str]:
    return {f"{key}-low": low, f"{key}-high": high, f"{key}-unit": unit, f"{key}-form": form}


# In a serving of 40 g: 5 g protein, 3 g fat, 4 g water.
PLAIN_LINES = line("protein", "5", "g") | line("fat", "3", "g") | line("water", "4", "g")


def shown(form) -> dict[str, str]:
    """What a form's page would send back when nothing is touched; a select sends its first choice."""
    sent = {field.html_name: field.value() for field in form}
    for name, field in form.fields.items():
        if getattr(field, "choices", None) and not sent[name]:
            sent[name] = field.choices[0][0]
    return {name: value for name, value in sent.items() if value not in (None, False)}


def unsaved_food(**particulars) -> Food:
    return Food(
        **{"name": "Moon oats, rolled", "group": "grain & starch", "state": "dried", "source": "label"}
        | particulars
    )


def unsaved_value(key: str, per_100g: float | None, kind: str = "label", **ranges) -> FoodValue:
    nutrient = Nutrient.objects.get(key=key)
    return FoodValue(nutrient=nutrient, per_100g=per_100g, kind=kind, source="the packet", **ranges)
