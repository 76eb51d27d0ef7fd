"""The recipe's form as a browser sends it."""

from nutrients.models import Profile

TURKEY, RICE = "Ground turkey, 93% lean, raw", "White rice, long-grain, unenriched, dry"
CALCIUM, VITAMIN_E = "Calcium carbonate powder", "Vitamin E capsule, 100 IU"


def line(food="", amount="", unit="g", when="in_the_pot", step_g="", note="") -> dict[str, str]:
    return {"food": food, "amount": amount, "unit": unit, "when": when, "step_g": step_g, "note": note}


def form_data(*lines, steps=(), **fields) -> dict[str, str]:
    """lines: of `line`; steps: dicts with text, minutes, temperature_c."""
    data = {
        "title": "Turkey and rice",
        "purpose": "",
        "tags": "",
        "profile": str(Profile.objects.get(key="aafco-adult").pk),
        "method": "simmered_liquid_kept",
        "added_water_g": "",
        "cooked_weight_g": "",
        "note": "",
        "act": "save",
    }
    for prefix, rows in (("lines", lines), ("steps", steps)):
        data |= {f"{prefix}-TOTAL_FORMS": str(len(rows)), f"{prefix}-INITIAL_FORMS": "0"}
        for place, row in enumerate(rows):
            data |= {f"{prefix}-{place}-{field}": value for field, value in row.items()}
    return data | {key: str(value) for key, value in fields.items()}
