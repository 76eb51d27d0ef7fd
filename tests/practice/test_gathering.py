"""What owners read is gathered whole, and said whole in every language."""

import re
import shutil

import pytest

from nutrients.language import ENGLISH, LANGUAGES, catalogue, say_many, speaking
from patients.models import Patient
from practice import gathering
from practice.gathering import bring_up_to_date, gathered, said_in, untranslated
from practice.models import PracticeProfile
from tests.practice.demo_sheets import pieces, told

OTHERS = sorted(LANGUAGES.keys() - {ENGLISH})
PLACES = re.compile(r"%\(\w+\)s|\{\w+\}|%%|</?\w+>")
WORDS_OF_A_SENTENCE = 3


def forms(text: str | tuple[str, str]) -> tuple[str, ...]:
    return text if isinstance(text, tuple) else (text,)


def messages(language: str):
    return [message for message in gathering._read(catalogue(language), language) if message.id]


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_has_words_and_none_is_left_over(language):
    assert untranslated(language) == []
    assert {m.id for m in messages(language)} == {m.id for m in gathered() if m.id}


@pytest.mark.parametrize("language", OTHERS)
def test_every_translation_holds_the_places_of_its_english(language):
    for message in messages(language):
        for english, other in zip(forms(message.id), forms(message.string), strict=True):
            assert sorted(PLACES.findall(other)) == sorted(PLACES.findall(english)), english


@pytest.mark.parametrize("language", OTHERS)
def test_a_sentence_keeps_its_numbers(language):
    for message in messages(language):
        for english, other in zip(forms(message.id), forms(message.string), strict=True):
            if not english.endswith("."):
                continue  # a food's measure is told in centimetres
            number = re.compile(r"\d+")
            assert sorted(number.findall(PLACES.sub("", other))) == sorted(
                number.findall(PLACES.sub("", english))
            ), english


@pytest.mark.parametrize(
    ("language", "one", "many", "said"),
    [
        ("de", "tablet", "tablets", ("Tablette", "Tabletten")),
        ("es", "capsule", "capsules", ("cápsula", "cápsulas")),
        ("de", "cup, chopped", "cups, chopped", ("US-Tasse, gehackt", "US-Tassen, gehackt")),
        ("es", "slice", "slices", ("loncha", "lonchas")),
    ],
)
def test_half_is_one_and_two_are_many(language, one, many, said):
    with speaking(language):
        assert (say_many(one, many, 0.5), say_many(one, many, 2)) == said


@pytest.mark.parametrize("language", OTHERS)
def test_no_english_sentence_is_on_a_sheet_in_another_language(issued, language):
    text = " ".join(" ".join(map(told, issued(language))).split())
    fixed = {
        piece.strip(" .,;:")
        for message in messages(language)
        for form in forms(message.id)
        for piece in PLACES.split(form)
        if len(piece.split()) >= WORDS_OF_A_SENTENCE and message.id != message.string
    }
    assert len(fixed) > 200
    assert [piece for piece in fixed if re.search(rf"(?<!\w){re.escape(piece)}(?!\w)", text)] == []


def test_nothing_but_names_and_units_is_the_same_in_two_languages(issued):
    english, german = ({text for sheet in issued(each) for text in pieces(sheet)} for each in ("en", "de"))
    same = {text for text in english & german if re.search("[a-z]{3}", text)}
    practice = PracticeProfile.objects.get()
    named = {practice.name, practice.email, *practice.address.splitlines(), "kcal"}
    dogs = {f"{patient.name}:" for patient in Patient.objects.all()}
    assert {text for text in same - named - dogs if not re.fullmatch(r"[\d.,]+ kcal", text)} == set()


def test_what_a_veterinarian_agreed_to_is_told_without_the_english_record(issued):
    english, german = (issued(each)[2].record["sign_off"]["covers"] for each in ("en", "de"))
    assert english == [
        "puppies (especially large and giant breeds): growing, from 14 weeks to adult, large breed"
    ]
    assert german == ["Welpen (vor allem großer und sehr großer Rassen)"]


def test_the_english_sheet_does_hold_those_sentences(issued):
    assert "Weigh it again with the cooled food in it" in told(issued(ENGLISH)[0])


def test_a_text_is_gathered_wherever_it_is_said():
    program = 'f"{told} {say(\'Not known.\')}"\nUNITS = later_many("drop", "drops")\nsay(row["name"])'
    assert list(said_in(program)) == [("drop", "drops"), "Not known."]


@pytest.fixture
def copies(tmp_path, monkeypatch):
    """The catalogues, to be written to."""
    shutil.copytree(catalogue("de").parents[2], tmp_path / "locale")
    monkeypatch.setattr("nutrients.language.CATALOGUES", tmp_path / "locale")
    return tmp_path / "locale"


def test_gathering_keeps_what_is_translated_and_drops_what_nobody_says(copies):
    path = catalogue("de")
    before = path.read_bytes()
    path.write_bytes(before + b'\nmsgid "Nobody says this."\nmsgstr "Niemand sagt das."\n')
    bring_up_to_date("de")
    assert path.read_bytes() == before


def test_a_catalogue_that_cannot_be_read_is_left_as_it_is(copies, monkeypatch):
    path = catalogue("de")
    before = path.read_bytes()
    monkeypatch.setattr(gathering, "write_po", lambda *_, **__: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        bring_up_to_date("de")
    assert path.read_bytes() == before
