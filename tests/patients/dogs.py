"""A dog's record as the calculations take it: anything with a patient's attributes."""

from dataclasses import dataclass
from datetime import date


@dataclass
class Record:
    born: date = date(2022, 1, 1)
    name: str = "Tansy"
    breed: str = "collie cross"
    sex: str = "female"
    neutered: bool = False
    expected_adult_kg: float | None = None
    mated_on: date | None = None
    whelped_on: date | None = None
    litter: int | None = None
    stage_by_hand: str = ""
    stage_reason: str = ""
