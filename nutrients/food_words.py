"""The words that foods are searched by, and what else a food may be called. Pure."""

from collections import defaultdict
from collections.abc import Iterable

# What is taken for a plain letter or a blank. The database does the same to what it searches in, one nested
# call a letter, and SQLite takes about 25 of them.
PLAIN = dict(zip("éèêàâäöüñçÉ(-/", "eeeaaaounce   ", strict=True))
LONGEST_PHRASE = 3  # words
SHORTEST_BEGINNING = 4  # letters, from which on a word being typed finds what it may become

Needles = tuple[str, ...]  # all of them stand in the text
Term = tuple[Needles, ...]  # one of them does


def plain(text: str) -> str:
    """Lower case, without the usual accents; opening brackets, hyphens and strokes part words."""
    return text.lower().translate(str.maketrans(PLAIN))


def words_of(text: str) -> list[str]:
    return plain(text).replace(",", " ").split()


def terms(text: str, synonyms: Iterable[tuple[str, str]]) -> list[Term]:
    """What must stand in a food's search text, term by term, for a search of some words in any order.

    synonyms: (word, what foods are called), either of them a phrase of a few words; they hold both ways.
    A typed word may stand anywhere, also inside another; its singular and its synonyms begin a word.
    """
    called = _others(synonyms)
    words, found = words_of(text), []
    while words:
        phrase = next(
            (part for n in range(LONGEST_PHRASE, 1, -1) if _singular(part := " ".join(words[:n])) in called),
            words[0],
        )
        words = words[len(phrase.split()) :]
        others = called.get(phrase, set()) | called.get(_singular(phrase), set())
        if not words:
            others |= _begun(phrase, called)
        if _singular(phrase) != phrase:
            others.add(_singular(phrase))
        beginnings = [tuple(f" {word}" for word in other.split()) for other in sorted(others)]
        found.append((tuple(phrase.split()), *beginnings))
    return found


def _others(synonyms: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    """Every word or phrase, in the singular, with the others that mean the same."""
    same: dict[str, set[str]] = defaultdict(set)
    for word, called in synonyms:
        same[called].update((word, called))
    others: dict[str, set[str]] = defaultdict(set)
    for meaning in same.values():
        for phrase in meaning:
            others[_singular(" ".join(words_of(phrase)))] |= {
                " ".join(words_of(other)) for other in meaning - {phrase}
            }
    return others


def _begun(word: str, called: dict[str, set[str]]) -> set[str]:
    """The others of every single word that this one may become while it is typed."""
    if len(word) < SHORTEST_BEGINNING:
        return set()
    begun = (others for phrase, others in called.items() if phrase.startswith(word) and " " not in phrase)
    return set().union(*begun)


def _singular(phrase: str) -> str:
    """The phrase with its last word in the singular: tomatoes, berries, eggs; swiss and asparagus stay."""
    for ending, singular in (("oes", "o"), ("ies", "y"), ("ss", "ss"), ("us", "us"), ("s", "")):
        if phrase.endswith(ending) and len(phrase) > len(ending) + 1:
            return phrase.removesuffix(ending) + singular
    return phrase
