"""A proposal as it stands on the page: what is accepted is what was shown, however long it was looked at.

It goes along with the page, signed, so that accepting needs no second reckoning.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from itertools import groupby

from django.core import signing

from nutrients.queries import profile_limits
from recipes import queries
from recipes.reformulate import Choice, Obstacle, Proposal, Wishes, reformulate
from recipes.reformulate.problem import problem_of
from recipes.reformulate_forms import Asked
from recipes.reformulate_start import Start

SALT = "recipes.reformulation"


@dataclass(frozen=True)
class OfferedLine:
    """One line before and after [g]; food is a primary key."""

    food: int
    when: str
    before_g: float
    after_g: float
    why: str

    @property
    def key(self) -> str:
        return f"{self.food}-{self.when}"

    @property
    def changed(self) -> bool:
        return self.before_g != self.after_g


@dataclass(frozen=True)
class Offer:
    """Sentences: unmet (falls short or too much), against (held at the others' cost), unconfirmed (data
    missing). profiles: keys. seen: the fingerprint of the version that it was worked out for."""

    seen: str
    profiles: tuple[str, ...]
    lines: tuple[OfferedLine, ...]
    feasible: bool
    proven: bool
    unmet: tuple[str, ...]
    against: tuple[str, ...]
    unconfirmed: tuple[str, ...]
    helps: tuple[str, ...]
    withheld: tuple[str, ...]

    def changed(self) -> list[OfferedLine]:
        return [line for line in self.lines if line.changed]


def worked_out(start: Start, asked: Asked) -> Offer:
    """What the form asks for. Raises ValueError with a sentence when it contradicts itself.

    What is not ticked takes no part, but may be told as what would help.
    """
    rows = [row for row in asked.rows if row.choice() is not None]
    choices = [row.choice() for row in rows]
    unticked = [Choice(row.portion, 0.0, 0.0, True) for row in asked.rows if row.choice() is None]
    given = queries.reference(choice.portion for choice in [*choices, *unticked])
    profiles = asked.wishes.chosen()
    limits = [profile_limits(profile) for profile in profiles]
    common = (given.table, given.retention, start.version.method, limits, given.negligible)
    wishes = asked.wishes.wishes()
    proposal = reformulate([*choices, *_usable(choices, unticked, common, wishes)], *common, wishes)
    keys = [(row.cleaned_data["food"], row.cleaned_data["when"]) for row in rows]
    return _offer(asked.seen, [profile.key for profile in profiles], keys, proposal)


def _usable(choices: list[Choice], unticked: list[Choice], common: tuple, wishes: Wishes) -> list[Choice]:
    """Of what is not ticked that which would not be held back for want of a value if it were."""
    if not unticked:
        return []
    *_, held = problem_of([*choices, *(replace(each, most_g=1.0) for each in unticked)], *common, wishes)
    barred = held.barred[len(choices) :]
    return [each for each, out in zip(unticked, barred, strict=True) if not out]


def _offer(seen: str, profiles: Sequence[str], keys: Sequence[tuple[int, str]], proposal: Proposal) -> Offer:
    lines = [
        OfferedLine(food, when, line.before_g, line.after_g, line.why)
        for (food, when), line in zip(keys, proposal.lines, strict=False)
    ]
    said = _by_kind(proposal.obstacles)
    return Offer(
        seen=seen,
        profiles=tuple(profiles),
        lines=tuple(lines),
        feasible=proposal.feasible,
        proven=proposal.proven,
        unmet=said.get("unmet", ()),
        against=said.get("against", ()),
        unconfirmed=said.get("unconfirmed", ()),
        helps=proposal.helps,
        withheld=proposal.withheld,
    )


def _by_kind(obstacles: Sequence[Obstacle]) -> dict[str, tuple[str, ...]]:
    def kind(obstacle: Obstacle) -> str:
        if obstacle.short is None:  # of an energy that cannot be had nothing is short: no data are missing
            return "unmet" if obstacle.side == "kcal" else "unconfirmed"
        return "unmet" if obstacle.short > 0 else "against"

    return {
        name: tuple(obstacle.sentence for obstacle in found)
        for name, found in groupby(sorted(obstacles, key=kind), key=kind)
    }


def as_text(offer: Offer) -> str:
    return signing.dumps(asdict(offer), salt=SALT, compress=True)


def from_text(text: str) -> Offer:
    """Raises ValueError for what no page of ours held."""
    try:
        stored = signing.loads(text, salt=SALT)
    except signing.BadSignature:
        raise ValueError("The proposal was not kept whole: work it out again.") from None
    lines = tuple(OfferedLine(**line) for line in stored.pop("lines"))
    return Offer(lines=lines, **{key: _frozen(value) for key, value in stored.items()})


def _frozen(value):
    return tuple(value) if isinstance(value, list) else value
