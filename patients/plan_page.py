"""What a plan's pages show of its workings. Pure: templates only write it down."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrients.adequacy import counts
from nutrients.adequacy_table import AdequacyRow, grouped_rows
from patients.batch import Batch
from patients.per_day import DayRow, raised_sentence
from patients.plan_cautions import PlanCautions, plan_cautions
from patients.plan_checks import MOST_DAYS
from patients.rounding import whole_batches
from patients.sheet.doses import by_moment
from patients.sheet.kitchen import pot_sentence, timeline_part
from patients.workings import Workings


@dataclass(frozen=True)
class Consequence:
    """What follows from a plan. groups: the adequacy table against the profile; groups_for_dog: with minima
    raised for this dog, None for a growth profile; open_rows: what is below, above or not confirmed.
    """

    workings: Workings
    summary: str
    moments: list[dict]
    groups: list[tuple[str, list[AdequacyRow]]]
    groups_for_dog: list[tuple[str, list[AdequacyRow]]] | None
    open_rows: list[AdequacyRow]
    counts: dict[str, int]
    cautions: PlanCautions
    pot: str = ""
    meals: Sequence[tuple[int, float]] = ()
    day: Sequence[DayRow] = ()
    raised: str = ""
    whole_rows: Sequence[AdequacyRow] = ()
    whole_batches: Sequence[str] = ()
    stations: Sequence[dict] = ()

    @property
    def batch(self) -> Batch | None:
        return self.workings.batch


def consequence(workings: Workings) -> Consequence:
    """The workings in the order in which a page tells them."""
    batch = workings.batch
    if batch is None:
        return Consequence(
            workings,
            "Not worked out yet.",
            [],
            [],
            None,
            [],
            {},
            plan_cautions(workings),
            "",
            [],
            (),
            "",
            [],
            [],
            [],
        )
    found, estimated = counts(batch.strictest), batch.analysis.estimated
    rows = [row for _, rows in grouped_rows(batch.strictest, estimated) for row in rows if row.open]
    return Consequence(
        workings=workings,
        summary=_summary(workings, batch, found),
        moments=by_moment(batch.doses),
        groups=grouped_rows(batch.analysis.judgement, estimated),
        groups_for_dog=None if batch.for_dog is None else grouped_rows(batch.for_dog, estimated),
        open_rows=rows,
        counts=found,
        cautions=plan_cautions(workings),
        pot=pot_sentence(workings, batch),
        meals=batch.meals(workings.plan.meal_split),
        day=workings.day,
        raised=raised_sentence(workings.plan, workings.dog.name, batch),
        whole_rows=_whole_rows(workings),
        whole_batches=whole_batch_sentences(batch),
        stations=timeline_part(workings, batch),
    )


def _summary(workings: Workings, batch: Batch, found: dict[str, int]) -> str:
    """Such as `640 kcal a day, 2 meals of 327 g; 33 nutrients met, 2 below, 8 cannot be confirmed.`"""
    plan = workings.plan
    words = {"meets": "met", "below": "below", "above": "above", "cannot_confirm": "cannot be confirmed"}
    answers = ", ".join(f"{found[key]} {word}" for key, word in words.items() if found[key])
    meals = f"{plan.meals_per_day} meal{'' if plan.meals_per_day == 1 else 's'} of {batch.meal_g:,.0f} g"
    return f"{plan.kcal_per_day:,.0f} kcal a day, {meals}; nutrients: {answers}."


def _whole_rows(workings: Workings) -> list[AdequacyRow]:
    """The open rows of the whole day, where food beside the recipe is known."""
    if workings.whole is None:
        return []
    return [row for _, rows in grouped_rows(workings.whole.judgement) for row in rows if row.open]


def whole_batch_sentences(batch: Batch) -> list[str]:
    """The nearest batches in which whole tablets come out, such as `8 days: 6 x Iron tablet`."""
    offers = whole_batches(batch.pieces_per_day(), batch.scaled.days, MOST_DAYS)
    return [
        f"{offer.days} day{'' if offer.days == 1 else 's'}: "
        + ", ".join(f"{count} x {name}" for name, count in offer.pieces.items())
        for offer in offers
    ]
