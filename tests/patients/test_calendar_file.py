"""The calendar file, read back by the rules of RFC 5545 and by a library that knows them."""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from patients.calendar_file import Recheck, calendar_file

CHANGED = datetime(2026, 11, 20, 9, 30, tzinfo=UTC)
LONGEST_LINE = 75  # octets, without the line break: RFC 5545, 3.1


def recheck(**particulars) -> Recheck:
    defaults = {"key": "recheck-7", "day": date(2026, 12, 24), "dog": "Juniper", "owner": "Tilda Marrow"}
    return Recheck(**(defaults | {"changed_at": CHANGED} | particulars))


def written(*rechecks: Recheck) -> bytes:
    return calendar_file(rechecks, "Re-checks, Quillmarsh", "abc123")


def unfolded(content: bytes) -> list[str]:
    """Content lines: a line break before a space or tab joins (RFC 5545, 3.1)."""
    return content.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode().split("\r\n")


def test_one_entry_line_by_line():
    assert unfolded(written(recheck())) == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Bowlwright//Re-checks//EN",
        "METHOD:PUBLISH",
        "NAME:Re-checks\\, Quillmarsh",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "BEGIN:VEVENT",
        "SUMMARY:Re-check: Juniper (Tilda Marrow)",
        "DTSTART;VALUE=DATE:20261224",
        "DTEND;VALUE=DATE:20261225",
        "DTSTAMP:20261120T093000Z",
        "UID:recheck-7@abc123",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]


def test_a_day_ends_with_the_next_also_over_the_year():
    [event] = Calendar.from_ical(written(recheck(day=date(2026, 12, 31)))).walk("VEVENT")
    assert event.decoded("dtend") == date(2027, 1, 1)


def test_the_entry_stays_the_same_when_its_day_moves():
    [before] = Calendar.from_ical(written(recheck())).walk("VEVENT")
    [after] = Calendar.from_ical(written(recheck(day=date(2027, 1, 7)))).walk("VEVENT")
    assert before["uid"] == after["uid"]
    assert before.decoded("dtstart") != after.decoded("dtstart")


def test_no_dogs_make_a_calendar_without_entries():
    calendar = Calendar.from_ical(written())
    assert calendar["version"] == "2.0"
    assert not calendar.walk("VEVENT")


@pytest.mark.parametrize(
    "name",
    ["Wuschel; Bär, der Große", "كلب", "🐕" * 60, "a\\b", "x" * 80, "BEGIN:VEVENT", "Juni\r\nEND:VCALENDAR"],
)
def test_any_name_stays_one_short_entry(name):
    content = written(recheck(dog=name), recheck(key="recheck-8"))
    assert_is_rfc_5545(content)
    first, second = Calendar.from_ical(content).walk("VEVENT")
    said = str(first["summary"]).replace("\r\n", "\n")
    assert said == f"Re-check: {name} (Tilda Marrow)".replace("\r\n", "\n")
    assert second["uid"] == "recheck-8@abc123"


# The library takes a typed `\N` or `\n` for the line break that it stands for in RFC 5545.
TYPED = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=80)


@given(TYPED.filter(lambda name: "\\n" not in name.casefold()))
def test_what_is_written_is_read_back(name):
    content = written(recheck(dog=name, owner=name))
    assert_is_rfc_5545(content)
    [event] = Calendar.from_ical(content).walk("VEVENT")
    assert str(event["summary"]) == f"Re-check: {name} ({name})"


def assert_is_rfc_5545(content: bytes) -> None:
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert b"\r" not in content.replace(b"\r\n", b"")
    for line in content.split(b"\r\n"):
        assert len(line) <= LONGEST_LINE
        line.decode()  # no letter is cut in two
    lines = unfolded(content)
    assert lines.count("BEGIN:VEVENT") == lines.count("END:VEVENT")
    assert (lines[0], lines[-2]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
