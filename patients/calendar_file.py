"""Re-checks as a calendar file (RFC 5545). Pure.

A calendar leaves the practice: it names the dog and the owner, and nothing of the dog's health.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event, vText

PRODUCT = "-//Bowlwright//Re-checks//EN"
REFRESH = timedelta(hours=6)


@dataclass(frozen=True)
class Recheck:
    """One entry. key: stays the same for this dog, so that a moved day moves the entry."""

    key: str
    day: date
    dog: str
    owner: str
    changed_at: datetime


def calendar_file(rechecks: Iterable[Recheck], name: str, practice_id: str) -> bytes:
    """A calendar with a whole-day entry for each re-check. practice_id: the right side of every UID."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", vText(name))  # RFC 7986
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for recheck in rechecks:
        event = Event()
        event.add("uid", f"{recheck.key}@{practice_id}")
        event.add("dtstamp", recheck.changed_at)
        event.add("dtstart", recheck.day)
        event.add("dtend", recheck.day + timedelta(days=1))
        event.add("summary", f"Re-check: {recheck.dog} ({recheck.owner})")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return calendar.to_ical()
