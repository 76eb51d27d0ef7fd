"""What a feeding plan needs to know of a dog. Pure: taken from its record by `patients.services`."""

from dataclasses import dataclass
from datetime import date

from patients.agreements import Agreement
from patients.energy import PERCENT_PER_BCS_POINT, WELL_CONDITIONED, ideal_weight
from patients.life_stage import ADULT_PROFILE, GROWTH_PROFILE, OLD, STAGES, LifeStage
from patients.reproduction import tells_breeding


@dataclass(frozen=True)
class Avoided:
    """A food by its whole name, or every food whose name or group holds the word."""

    food: str
    word: str
    reason: str

    def means(self, food: str, group: str) -> bool:
        if self.food:
            return food == self.food
        word = self.word.casefold()
        return word in food.casefold() or word in group.casefold()


@dataclass(frozen=True)
class Dog:
    """weight_kg, weighed_on, bcs and activity: of the last visit, None or "" before the first. is_steady:
    the weight has hardly moved since the visit before it. given_supplements: what the owner gives beside any
    plan. freezer: none, little (a drawer), much, or "" for not told. results: laboratory results, each with
    its day; within_range: those of them that the laboratory itself marked so. agreements: the
    veterinarian's that stand.
    """

    name: str
    breed: str
    stage: LifeStage
    age_months: int | None = None
    weight_kg: float | None = None
    weighed_on: date | None = None
    bcs: int | None = None
    is_steady: bool = False
    neutered: bool | None = None
    activity: str = ""
    conditions: tuple[str, ...] = ()
    notes: str = ""
    avoids: tuple[Avoided, ...] = ()
    concerns: tuple[str, ...] = ()
    medicines: tuple[str, ...] = ()
    given_supplements: tuple[str, ...] = ()
    freezer: str = ""
    results: tuple[str, ...] = ()
    within_range: tuple[str, ...] = ()
    agreements: tuple[Agreement, ...] = ()

    @property
    def open_results(self) -> tuple[str, ...]:
        """Results that the laboratory did not mark as within its range."""
        return tuple(result for result in self.results if result not in self.within_range)

    @property
    def needs_growth_profile(self) -> bool:
        """Growing, pregnant or nursing."""
        if self.stage.growing or self.stage.breeding:
            return True
        return bool(self.told_breeding)

    @property
    def told_breeding(self) -> list[str]:
        """The conditions by which she is pregnant or nursing."""
        return [condition for condition in self.conditions if tells_breeding(condition)]

    @property
    def profile_key(self) -> str:
        """The profile that a plan begins with: one of growth also when only a condition says she breeds."""
        key = self.stage.profile_key
        return GROWTH_PROFILE if self.needs_growth_profile and key == ADULT_PROFILE else key

    @property
    def traits(self) -> frozenset[str]:
        """What speaks for one published energy factor or another (`patients.energy_methods.SUITS_WORDS`)."""
        found = {self.activity, "age"}
        if self.neutered is not None:
            found.add("neutered" if self.neutered else "intact")
        if self.stage.label == STAGES[OLD]:
            found.add("senior")
        return frozenset(found - {""})

    def ideal_kg(self, percent_per_point: float = PERCENT_PER_BCS_POINT) -> float:
        """The ideal weight of a grown dog that was weighed: its own while its condition is ideal."""
        if self.bcs in WELL_CONDITIONED:
            return self.weight_kg
        return ideal_weight(self.weight_kg, self.bcs, percent_per_point)

    def agreement_on(self, subject: str) -> Agreement | None:
        return next((each for each in self.agreements if each.subject == subject), None)

    @property
    def agreed_kcal(self) -> float | None:
        """The least energy a day that the veterinarian agreed to; never for a dog that needs growth food."""
        agreed = [each.lowest_kcal for each in self.agreements if each.lowest_kcal is not None]
        return min(agreed) if agreed and not self.needs_growth_profile else None

    def avoided(self, foods: dict[str, str]) -> list[tuple[str, Avoided]]:
        """Of the foods (name -> group) those that this dog must not get, each with the entry that says so."""
        return [
            (food, entry)
            for food, group in foods.items()
            for entry in self.avoids
            if entry.means(food, group)
        ]
