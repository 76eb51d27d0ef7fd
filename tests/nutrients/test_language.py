"""Words, numbers and dates in the languages that owners are spoken to."""

from datetime import date

import pytest

from nutrients.language import (
    catalogue,
    compile_catalogues,
    day,
    inside,
    is_said,
    listed,
    number,
    plain,
    say,
    say_many,
    short_day,
    speaking,
)


@pytest.mark.parametrize(
    ("language", "written", "short", "dated"),
    [
        ("en", "1,234.5", "0.25", "1 March 2026"),
        ("de", "1.234,5", "0,25", "1. März 2026"),  # common practice, no source
        ("es", "1.234,5", "0,25", "1 de marzo de 2026"),
    ],
)
def test_numbers_and_days_are_written_as_the_language_writes_them(language, written, short, dated):
    with speaking(language):
        assert (number(1234.5, 1), plain(0.25), day(date(2026, 3, 1))) == (written, short, dated)


@pytest.mark.parametrize(
    ("language", "amount", "word"),
    [("en", 0.5, "tablet"), ("en", 1.5, "tablets"), ("en", 0, "tablets"), ("de", 1, "Tablette"),
     ("de", 1.25, "Tabletten"), ("es", 0.25, "comprimido"), ("es", 14, "comprimidos")],
)  # fmt: skip
def test_half_a_tablet_is_one_and_one_and_a_half_are_many(language, amount, word):
    with speaking(language):
        assert say_many("tablet", "tablets", amount) == word


def test_what_nobody_translated_stays_english_and_the_language_ends_with_its_block():
    with speaking("de"):
        assert say("a sentence that no catalogue holds") == "a sentence that no catalogue holds"
        assert say("{amount} a day") == "{amount} am Tag"
    assert say("{amount} a day") == "{amount} a day"


def test_a_language_without_words_is_refused():
    with pytest.raises(ValueError, match="choose one of en, de, es"), speaking("tlh"):
        pass


def test_a_changed_catalogue_is_compiled_again(tmp_path, monkeypatch):
    for language in ("de", "es"):
        folder = tmp_path / language / "LC_MESSAGES"
        folder.mkdir(parents=True)
        (folder / "django.po").write_bytes(catalogue(language).read_bytes())
    monkeypatch.setattr("nutrients.language.CATALOGUES", tmp_path)
    compile_catalogues()
    compiled = tmp_path / "de" / "LC_MESSAGES" / "django.mo"
    before = compiled.read_bytes()
    written = compiled.with_suffix(".po")
    written.write_text(written.read_text().replace("am Tag", "pro Tag"))
    compile_catalogues()
    assert before != compiled.read_bytes()


@pytest.mark.parametrize(
    ("language", "names", "said"),
    [
        ("en", ["zinc"], "zinc"),
        ("en", ["zinc", "iron", "iodine"], "zinc, iron and iodine"),
        ("de", ["Zink", "Eisen", "Jod"], "Zink, Eisen und Jod"),
        ("es", ["zinc", "yodo"], "zinc y yodo"),
        # "y" is "e" before the sound of an i, and stays before "hie" (Real Academia Española, from memory)
        ("es", ["leucina", "isoleucina"], "leucina e isoleucina"),
        ("es", ["yodo", "hierro"], "yodo y hierro"),
    ],
)
def test_names_are_joined_as_the_language_joins_them(language, names, said):
    with speaking(language):
        assert listed(names) == said


def test_a_noun_keeps_its_capital_in_german_alone():
    assert (inside("Zinc"), inside("EPA + DHA")) == ("zinc", "EPA + DHA")
    with speaking("de"):
        assert inside("Zink") == "Zink"


def test_a_word_that_is_the_same_in_both_languages_is_said_all_the_same():
    with speaking("de"):
        assert (say("Retinol"), is_said("Retinol")) == ("Retinol", True)
        assert (say("Quillmarsh stew"), is_said("Quillmarsh stew"), is_said("")) == (
            "Quillmarsh stew",
            False,
            True,
        )
        assert is_said("cup, chopped")  # a text with a plural
    assert is_said("Quillmarsh stew")


def test_a_short_day_names_its_month_in_short():
    on = date(2026, 3, 1)
    with speaking("es"):
        assert short_day(on) == "1 mar 2026"  # common practice, no source
    assert short_day(on) == "1 Mar 2026"
