"""A draft of the e-mail that brings a sheet to its owner: a file (RFC 5322) that nobody sends by itself."""

from collections.abc import Mapping
from datetime import date
from email.headerregistry import Address
from email.message import EmailMessage

from nutrients.language import day, say


def draft(record: Mapping, pdf: bytes, file_name: str, to: str) -> bytes:
    """The message with the PDF attached. to: the owner's address, or empty while none is known.

    X-Unsent makes programs open it as a message to be finished, not as one that came in.
    """
    message = EmailMessage()
    message["Subject"] = say("{dog}: take-home sheet {number}").format(
        dog=_line(record["dog"]["name"]), number=record["number"]
    )
    if to:
        message["To"] = to
    practice = record["practice"]
    if practice.get("email"):
        user, _, domain = practice["email"].rpartition("@")
        message["From"] = Address(_line(practice["name"]), user, domain)
    message["X-Unsent"] = "1"
    message.set_content(_words(record))
    message.add_attachment(pdf, maintype="application", subtype="pdf", filename=file_name)
    return message.as_bytes()


def _words(record: Mapping) -> str:
    practice = record["practice"]
    parts = [
        say("Dear {owner},").format(owner=record["dog"]["owner"]),
        say("Here is the take-home sheet for {dog}. Please read it before you cook.").format(
            dog=record["dog"]["name"]
        ),
        say("It is good until {day}.").format(day=day(date.fromisoformat(record["expires_on"]))),
    ]
    if reissue := record.get("reissue"):
        parts.append(
            say("It takes the place of sheet {number}: please throw that one away.").format(
                number=reissue["replaces"]
            )
        )
    parts += [
        say("If {dog} vomits, refuses food or seems ill, call your veterinarian first.").format(
            dog=record["dog"]["name"]
        ),
        "\n".join(filter(None, (record["issued_by"], practice["name"], practice["phone"]))),
    ]
    return "\n\n".join(parts) + "\n"


def _line(text: str) -> str:
    """A header holds one line."""
    return " ".join(text.split())
