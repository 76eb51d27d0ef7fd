"""Keys out of addresses."""

import pytest

from nutrients.asked_keys import asked_key


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("12", 12),
        ("0", 0),
        ("", None),
        ("-1", None),
        ("1.5", None),
        ("9" * 5000, None),
        ("٣", None),
        ("x", None),
    ],
)
def test_only_what_can_be_a_key_is_one(text, key):
    assert asked_key(text) == key
