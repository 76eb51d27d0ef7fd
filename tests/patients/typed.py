"""What a person types into the forms of a dog and a visit, as the browser sends it."""

from django.utils import timezone


def typed_diet(*rows: tuple[str, str]) -> dict[str, str]:
    """Rows of (what, kcal a day)."""
    data = {"diet-TOTAL_FORMS": str(len(rows) + 1), "diet-INITIAL_FORMS": "0"}
    for number, (what, kcal) in enumerate((*rows, ("", ""))):
        data |= {f"diet-{number}-what": what, f"diet-{number}-kcal_per_day": kcal}
    return data


def typed_visit(prefix: str = "", **typed: str) -> dict[str, str]:
    findings = {
        "date": timezone.localdate().isoformat(), "weight_kg": "18.4", "weight_kg_unit": "kg", "bcs": "7",
        "mcs": "mild", "activity": "low", "appetite": "good", "faecal_score": "3", "notes": "Calm.",
    }  # fmt: skip
    return {f"{prefix}{name}": value for name, value in (findings | typed).items()}


def typed_rows(prefix: str, *rows: dict[str, str]) -> dict[str, str]:
    """Rows of one of the lists on a dog's record."""
    data = {f"{prefix}-TOTAL_FORMS": str(len(rows) + 1), f"{prefix}-INITIAL_FORMS": "0"}
    for number, row in enumerate(rows):
        data |= {f"{prefix}-{number}-{name}": value for name, value in row.items()}
    return data


def typed_dog(**typed: str) -> dict[str, str]:
    avoids = ({"what": "chicken", "kind": "allergy", "reason": "itching"}, {"what": "wheat"})
    lists = typed_rows("avoids", *avoids)
    lists |= typed_rows("medicines") | typed_rows("given_supplements") | typed_rows("lab_results")
    return {
        "name": "Juniper", "breed": "hound cross", "sex": "female", "neutered": "on", "born": "2019-03-01",
        "expected_adult_kg": "", "expected_adult_kg_unit": "kg", "veterinarian": "Dr M. Sorrel",
        "clinic": "Sallow Bridge", "next_recheck": "", "diet_history": "Twice a day.",
        "conditions": "arthritis\nheart murmur", "medical_notes": "",
    } | lists | typed  # fmt: skip


def typed_intake(**typed: str) -> dict[str, str]:
    """A whole intake; a name with `owner-`, `visit-` or `diet-` before it belongs to that part."""
    owner = {"owner-on_file": "", "owner-name": "Tilda Marrow", "owner-phone": "01 555 0100"}
    owner |= {"owner-email": "", "owner-address": ""}
    diet = typed_diet(("dry food", "600"), ("crusts", ""))
    return owner | typed_dog() | typed_visit("visit-") | diet | typed
