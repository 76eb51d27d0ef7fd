"""A version on its way to approval."""

from datetime import date

from recipes import acceptance_services, services
from recipes.acceptance import Condition
from recipes.acceptance_queries import unaccepted_of
from recipes.acceptance_services import SignOff

VET = SignOff("Dr M. Sorrel", "Sallow Bridge", date(2026, 2, 3))


def accept_open(version, by) -> None:
    """Accept all that is open, with a veterinarian where it takes one."""
    acceptance_services.accept_limits(
        version=version,
        keys=[limit.key for limit in unaccepted_of(version) if limit.condition != Condition.NEVER],
        reason="A topper, fed once a week.",
        by=by,
        seen=services.fingerprint(version),
        sign_off=VET,
    )


def make_ready(version, by) -> None:
    """In review, with nothing open that was not accepted."""
    services.send_to_review(recipe=version.recipe, by=by)
    accept_open(version, by)


def approve(version, by) -> None:
    services.approve_version(version=version, by=by, seen=services.fingerprint(version))
