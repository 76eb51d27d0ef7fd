"""What labels state, without a database, and what somebody types into the forms of foods and supplements."""

from django.urls import reverse

from nutrients.labels import Form
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


class Measured:
    """A nutrient without a database."""

    def __init__(self, key, name, unit):
        self.key, self.name, self.unit = key, name, unit


ZINC = Measured("zinc", "Zinc", "mg")
VITAMIN_E = Measured("vitamin_e", "Vitamin E", "mg")
PROTEIN = Measured("protein", "Protein", "g")
FORMS = [
    Form("vitamin_e", NATURAL, "IU", 1, 1, "IU", "alpha-tocopherol"),
    Form("vitamin_e", "half as active", "mg", 2, 1, "mg", "alpha-tocopherol"),
    Form("zinc", "zinc oxide", "mg", 1, 0.8034, "mg"),
    Form("zinc", "zinc dust", "mg", 1, None, "", note="Zinc dust is not for eating."),
]


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


def errors_of(response):
    """What stands beside the fields of a form that came back."""
    assert response.status_code == 200
    return response.context["form"].errors


def page(name: str, food: Food, *more: str) -> str:
    """The address of one of a food's pages."""
    return reverse(f"nutrients:{name}", args=[food.pk, *more])


def amounts(name: str) -> dict[str, float]:
    """What 100 g of a food hold, by nutrient."""
    return dict(Food.objects.get(name=name).values.values_list("nutrient__key", "per_100g"))


def unsaved_food(**particulars) -> Food:
    return Food(
        **{"name": "Moon oats, rolled", "group": "grain & starch", "state": "dried", "source": "label"}
        | particulars
    )


def unsaved_value(key: str, per_100g: float | None, kind: str = "label", **ranges) -> FoodValue:
    nutrient = Nutrient.objects.get(key=key)
    return FoodValue(nutrient=nutrient, per_100g=per_100g, kind=kind, source="the packet", **ranges)
