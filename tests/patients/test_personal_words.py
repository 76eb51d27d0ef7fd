"""Names taken out of what was written."""

import pytest

from patients.personal_words import parts_of, without


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Tilda Marrow rang", "[taken out] rang"),
        ("told MARROW, not Marrowfat", "told [taken out], not Marrowfat"),
        ("Ms Marrow's dog", "Ms [taken out]'s dog"),
        ("nothing", "nothing"),
        ("Ann-Kathrin (or kathrin)", "[taken out] (or kathrin)"),
    ],
)
def test_whole_words_are_taken_out_however_they_are_written(text, left):
    assert without(text, parts_of(["Tilda Marrow", "Ann-Kathrin Bo"])) == left


def test_short_parts_of_a_name_stay_words():
    assert parts_of(["Al de Groot"]) == {"Al de Groot", "Groot"}


def test_a_phone_number_is_taken_out_to_the_sign():
    assert without("call +44 (0) 555", {"+44 (0) 555", ""}) == "call [taken out]"
