"""The guides name what is there: every path and function that README and DEVELOPERS.md mention exists."""

import importlib
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
GUIDES = ("README.md", "DEVELOPERS.md", "fixtures/README.md")
APPS = ("nutrients", "recipes", "patients", "practice")
MADE_WHEN_RUN = ("data/", ".venv")


def named_paths(text: str) -> set[str]:
    """What stands in backticks or as a link's target and looks like a path of the project."""
    spans = re.findall(r"`([^`\n]+)`", text) + re.findall(r"\]\(([^)]+)\)", text)
    looks = re.compile(r"^[\w./-]*(/|\.(py|md|csv|toml|txt|html|png))[\w.-]*$")
    return {span for span in spans if looks.match(span) and not span.startswith(("/tmp", *MADE_WHEN_RUN))}


def named_objects(text: str) -> set[str]:
    """Dotted names such as `recipes.queries.portions_of`."""
    dotted = rf"`((?:{'|'.join(APPS)})(?:\.\w+)+)(?:\([^`]*\))?`"
    return set(re.findall(dotted, text))


def missing_paths(text: str, folder: Path) -> set[str]:
    return {path for path in named_paths(text) if not (ROOT / path).exists() and not (folder / path).exists()}


def missing_objects(text: str) -> set[str]:
    return {name for name in named_objects(text) if not _resolves(name)}


def _resolves(name: str) -> bool:
    module, _, last = name.rpartition(".")
    try:
        return hasattr(importlib.import_module(module), last) or bool(importlib.import_module(name))
    except ImportError:
        return False


@pytest.mark.parametrize("guide", GUIDES)
def test_what_a_guide_names_exists(guide):
    text = (ROOT / guide).read_text(encoding="utf-8")
    assert missing_paths(text, (ROOT / guide).parent) == set()
    assert missing_objects(text) == set()


def test_what_is_not_there_is_noticed():
    text = "`nutrients/moon.py`, `nutrients/units.py`, `recipes.analysis.fly()`, `recipes.analysis.analyse`"
    assert missing_paths(text, ROOT) == {"nutrients/moon.py"}
    assert missing_objects(text) == {"recipes.analysis.fly"}


def test_the_readme_opens_with_the_job():
    opening = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")[1]
    for word in ("dog", "energy", "recipe", "supplements", "sheet", "re-checks"):
        assert word in opening
