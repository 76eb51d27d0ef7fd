"""The draft of an e-mail, read back with the standard library's own reader (RFC 5322, RFC 2045)."""

from email import message_from_bytes, policy

import pytest

from patients.sheet_letter import draft

RECORD = {
    "number": 2,
    "dog": {"name": "Bärli\n🐾", "owner": "Tilda Marrow"},
    "practice": {"name": "Quillmarsh, Canine Nutrition", "email": "desk@example.org", "phone": "01 555"},
    "issued_by": "Robin Ashgrove",
    "expires_on": "2026-12-23",
}


def read(record=RECORD, to="tilda@example.org"):
    return message_from_bytes(draft(record, b"%PDF-1.7 x", "barli-sheet-2.pdf", to), policy=policy.default)


def test_it_is_a_draft_to_the_owner_with_the_pdf():
    message = read()
    assert message["To"] == "tilda@example.org"
    assert message["From"].addresses[0].addr_spec == "desk@example.org"
    assert message["From"].addresses[0].display_name == "Quillmarsh, Canine Nutrition"
    assert message["Subject"] == "Bärli 🐾: take-home sheet 2"
    assert message["X-Unsent"] == "1"
    [attached] = message.iter_attachments()
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_filename() == "barli-sheet-2.pdf"
    assert attached.get_content() == b"%PDF-1.7 x"


def test_its_words():
    text = read().get_body().get_content()
    assert text.startswith("Dear Tilda Marrow,")
    assert "It is good until 23 December 2026." in text
    assert "takes the place" not in text
    again = read(RECORD | {"reissue": {"replaces": 1}}).get_body().get_content()
    assert "It takes the place of sheet 1" in again


@pytest.mark.parametrize("email", ["", None])
def test_nobody_is_named_whose_address_is_not_known(email):
    message = read(RECORD | {"practice": RECORD["practice"] | {"email": email}}, to="")
    assert message["To"] is None
    assert message["From"] is None
