"""A proposal as it stands on the page: what is accepted is what was shown, however long it was looked at.

It goes along with the page, signed, so that accepting needs no second reckoning.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import groupby

from django.core import signing

from nutrients.queries import profile_limits
from recipes import queries
from recipes.reformulate import Choice, Obstacle, Proposal, Wishes, reformulate
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
    """What the form asks for. Raises ValueError with a sentence when it contradicts itself."""
    forms = [form for form in asked.rows if form.choice() is not None]
    choices: list[Choice] = [form.choice() for form in forms]
    given = queries.reference(choice.portion for choice in choices)
    profiles = asked.wishes.chosen()
    wishes: Wishes = asked.wishes.wishes()
    proposal = reformulate(
        choices,
        given.table,
        given.retention,
        start.version.method,
        [profile_limits(profile) for profile in profiles],
        given.negligible,
        wishes,
    )
    keys = [(form.cleaned_data["food"], form.cleaned_data["when"]) for form in forms]
    return _offer(asked.seen, [profile.key for profile in profiles], keys, proposal)


def _offer(seen: str, profiles: Sequence[str], keys: Sequence[tuple[int, str]], proposal: Proposal) -> Offer:
    lines = [
        OfferedLine(food, when, line.before_g, line.after_g, line.why)
        for (food, when), line in zip(keys, proposal.lines, strict=True)
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
        if obstacle.short is None:
            return "unconfirmed"
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
