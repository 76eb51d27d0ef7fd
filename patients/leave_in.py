"""What must stay in a dog's batch, and what falls below minimum without it: for the take-home sheet. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrients.language import inside, say
from patients.batch import Batch, Grounds
from patients.workings import limits_for_dog
from recipes.consequences import in_short, in_words
from recipes.omissions import Omission, Outcome, Slip, if_omitted

# Common practice, no source: what a cook will read of nutrients in one sentence.
MOST_NAMED, MOST_UNKNOWN = 3, 2
TOLD_ENERGY_PERCENT = 5  # common practice, no source: from here on the energy is told as well


@dataclass(frozen=True)
class LeaveIn:
    """supplements: what happens without any of them. lines: (food, sentence), supplements first, then the
    foods without which a limit is not met any more. no_limit: supplements whose loss alone worsens no limit.
    """

    supplements: str
    lines: Sequence[tuple[str, str]]
    no_limit: Sequence[str]


def of_batch(plan, batch: Batch, grounds: Grounds) -> LeaveIn:
    """Judged on the amounts as rounded, at this dog's own intake: its minima rise as its energy falls."""
    found = if_omitted(
        batch.given(), grounds.table, grounds.retention, grounds.method,
        lambda kcal: limits_for_dog(plan, grounds, kcal / plan.batch_days), grounds.negligible,
    )  # fmt: skip
    lost = [line for line in found.lines if line.without.lost or (line.is_supplement and line.without.worse)]
    lost.sort(key=lambda line: (not line.is_supplement, -line.without.lost))
    spared = [line.food for line in found.lines if line.is_supplement and not line.without.worse]
    return LeaveIn(_without_any(found.slips), [(line.food, _sentence(line)) for line in lost], spared)


def _without_any(slips: Sequence[Slip]) -> str:
    """The slip of forgetting all supplements, when there are several."""
    outcome = next((slip.outcome for slip in slips if slip.forgets_all), None)
    said = "" if outcome is None else in_words(outcome.worse, MOST_NAMED)
    return say("Without any of the supplements: {consequence}.").format(consequence=said) if said else ""


def _sentence(line: Omission) -> str:
    told = say("without it {consequence}.").format(consequence=_consequence(line.without))
    if not line.unknown:
        return told
    unknown = in_short([inside(say(name)) for name in line.unknown], MOST_UNKNOWN)
    return f"{told} {say('Not known of it: {nutrients}.').format(nutrients=unknown)}"


def _consequence(outcome: Outcome) -> str:
    """The limits that are not met any more; when there is none, those that were open and move further off."""
    told = [each for each in outcome.worse if each.is_new] or outcome.worse
    said = in_words(told, MOST_NAMED)
    if abs(outcome.kcal_change_percent) < TOLD_ENERGY_PERCENT:
        return said
    return f"{said}; {outcome.energy_words}"
