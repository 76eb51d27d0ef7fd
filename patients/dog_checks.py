"""What cannot well be right about a dog's dates and weights [kg]; "" when all may be right. Pure."""

from datetime import date

from patients.life_stage import OLDEST_YEARS, age_in_months, life_stage
from patients.sentences import in_kg


def birth_problem(born: date, today: date) -> str:
    if born > today:
        return "This birth date lies in the future."
    if age_in_months(born, today) // 12 > OLDEST_YEARS:
        return f"That makes the dog older than {OLDEST_YEARS} years: check the year."
    return ""


def outgrown(born: date, adult_kg: float | None, on: date, weight_kg: float) -> str:
    """A growing dog that weighs more than it is expected to weigh grown."""
    if not adult_kg or weight_kg <= adult_kg or on < born or not life_stage(born, on, adult_kg).growing:
        return ""
    return (
        f"The dog still grows and weighs {in_kg(weight_kg)}, more than the {in_kg(adult_kg)} expected of it "
        "grown: check both."
    )
