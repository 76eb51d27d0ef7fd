"""How closely a text is set: as roomy as its pages allow, laid out as seldom as can be."""

from types import SimpleNamespace

import pytest

from recipes.printing import SETTINGS, roomiest


def asked(pages: dict[str, int], most: int | None):
    """The chosen document, and the settings that were laid out."""
    tried = []

    def laid_out(setting: str):
        tried.append(setting)
        return SimpleNamespace(setting=setting, pages=[None] * pages[setting])

    return roomiest(laid_out, most).setting, tried


@pytest.mark.parametrize(
    ("roomy", "snug", "close", "most", "chosen", "times"),
    [
        (9, 8, 5, 5, "close", 1),
        (9, 8, 6, 5, "close", 1),  # too long whatever is done
        (4, 4, 3, 5, "roomy", 2),  # 3 x 1.5 = 4.5
        (6, 5, 3, 5, "close", 2),  # it was thought to fit, and does not
        (7, 6, 4, 5, "close", 1),
        (1, 1, 1, 1, "roomy", 1),
        (2, 1, 1, 1, "snug", 2),
        (3, 2, 2, 1, "close", 3),
        (9, 8, 6, None, "roomy", 1),
    ],
)
def test_the_roomiest_that_fits(roomy, snug, close, most, chosen, times):
    setting, tried = asked(dict(zip(SETTINGS, (roomy, snug, close), strict=True)), most)
    assert (setting, len(tried)) == (chosen, times)
