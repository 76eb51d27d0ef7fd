"""The shape that the code keeps: each check is a function, and is shown a bad sample that it must refuse."""

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).resolve().parent.parent
MOST_LINES = 350
CALCULATING_APPS = ("nutrients", "recipes", "patients")
SIZED = {".py", ".html", ".css", ".js"}


def project_files(root: Path = ROOT) -> Iterator[Path]:
    """Every file that belongs to the project, without what it makes for itself."""
    for top in root.iterdir():
        if top.is_file():
            yield top
        elif top.name == ".ci" or not (top.name.startswith(".") or top.name in {"data", "__pycache__"}):
            yield from (path for path in top.rglob("*") if path.is_file() and path.suffix != ".pyc")


def text_of(path: Path) -> str:
    """The file's text; pictures, fonts and archives have none."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


# Imports


def import_contracts_hold(folder: Path) -> bool:
    """Whether the contracts in the folder's pyproject.toml hold."""
    command = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return (
        subprocess.run(
            [sys.executable, "-c", command, "--no-cache"], cwd=folder, capture_output=True
        ).returncode
        == 0
    )


def test_import_contracts_hold():
    assert import_contracts_hold(ROOT)


@pytest.mark.parametrize(
    ("higher_imports", "lower_imports", "holds"), [("lower", "os", True), ("os", "higher", False)]
)
def test_import_contracts_can_be_broken(tmp_path, higher_imports, lower_imports, holds):
    for name, imported in (("higher", higher_imports), ("lower", lower_imports)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "__init__.py").write_text(f"import {imported}\n")
    (tmp_path / "pyproject.toml").write_text("""
        [tool.importlinter]
        root_packages = ["higher", "lower"]
        [[tool.importlinter.contracts]]
        name = "One way"
        type = "layers"
        layers = ["higher", "lower"]
    """)
    assert import_contracts_hold(tmp_path) == holds


def modules_without_django(*apps: str) -> set[str]:
    """The apps' modules from which no chain of imports leads to Django."""
    imports = grimp.build_graph(*apps, include_external_packages=True, cache_dir=None)
    return {
        module
        for module in imports.modules
        if module.split(".")[0] in apps
        and not imports.find_children(module)  # a package is its modules
        and not imports.chain_exists(importer=module, imported="django")
    }


def listed_as_calculations(pyproject: Path) -> set[str]:
    """The modules that the contract in pyproject.toml keeps away from Django."""
    contracts = tomllib.loads(pyproject.read_text())["tool"]["importlinter"]["contracts"]
    return {
        module
        for contract in contracts
        if contract["type"] == "forbidden" and "django" in contract["forbidden_modules"]
        for module in contract["source_modules"]
    }


def not_covered(modules: set[str], listed: set[str]) -> list[str]:
    """The modules that are neither listed themselves nor inside a listed package."""
    return sorted(
        module for module in modules if not any(f"{module}.".startswith(f"{name}.") for name in listed)
    )


def test_every_module_without_django_is_kept_so():
    """Gone or impure modules in the list are import-linter's to refuse; this finds the forgotten ones."""
    pure = modules_without_django(*CALCULATING_APPS)
    assert not_covered(pure, listed_as_calculations(ROOT / "pyproject.toml")) == []


def test_a_forgotten_module_is_found():
    pure = {"recipes.scaling", "recipes.scaling_rules", "nutrients.usda.columns"}
    assert not_covered(pure, {"recipes.scaling", "nutrients.usda"}) == ["recipes.scaling_rules"]


def test_a_module_that_reaches_django_through_another_is_found(tmp_path, monkeypatch):
    package = tmp_path / "kennel"
    package.mkdir()
    for name, line in {
        "__init__": "",
        "energy": "import math",
        "queries": "from django.db import models",
        "page": "from kennel.queries import models",
    }.items():
        (package / f"{name}.py").write_text(line)
    monkeypatch.syspath_prepend(tmp_path)
    assert modules_without_django("kennel") == {"kennel.energy"}


# Sizes


def too_long(root: Path) -> list[str]:
    """Files that grew past the most lines, with how many they have. Migrations are written by a command."""
    lengths = {
        path.relative_to(root): text_of(path).count("\n")
        for path in project_files(root)
        if path.suffix in SIZED and "migrations" not in path.parts
    }
    return sorted(f"{path}: {lines}" for path, lines in lengths.items() if lines > MOST_LINES)


def test_no_file_is_too_long():
    assert too_long(ROOT) == []


def test_long_files_are_found_except_migrations(tmp_path):
    for name, lines in {
        "recipes/views/edit.py": 351,
        "recipes/scaling.py": 350,
        "recipes/migrations/0001_initial.py": 900,
        "templates/recipes/edit.html": 351,
        "static/css/screen.css": 351,
        ".venv/lib/site.py": 900,
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("x\n" * lines)
    assert too_long(tmp_path) == [
        "recipes/views/edit.py: 351",
        "static/css/screen.css: 351",
        "templates/recipes/edit.html: 351",
    ]


# Pages

INLINE = re.compile(
    r"<script(?![^>]*\ssrc=)[^>]*>|<style[\s>]|[\s\"']style\s*=|[\s\"']on[a-z]+\s*=|javascript:|hx-on|[\"']js:",
    re.IGNORECASE,
)


def inline_code(markup: str) -> list[str]:
    """The scripts and styles that stand in the markup itself: the content security policy refuses them."""
    return [found.group().strip() for found in INLINE.finditer(markup)]


def templates() -> list[Path]:
    return [path for path in project_files() if "templates" in path.parts]


def test_templates_hold_no_inline_script_or_style():
    assert templates()
    assert {path.name: found for path in templates() if (found := inline_code(text_of(path)))} == {}


@pytest.mark.parametrize(
    "markup",
    [
        "<script>go()</script>",
        '<script type="module">go()</script>',
        "<style>p {}</style>",
        '<p style="color: red">',
        '<p class="a"style="color: red">',
        '<button\n onclick="go()">',
        '<a href="javascript:go()">',
        '<form hx-on:submit="go()">',
        "<form hx-vals='js:{}'>",
    ],
)
def test_inline_script_or_style_is_found(markup):
    assert inline_code(markup)


@pytest.mark.parametrize(
    "markup",
    [
        "<script src=\"{% static 'js/forms.js' %}\" defer></script>",
        '<link rel="stylesheet" href="screen.css">',
        '<p class="style one" data-style="x">',
    ],
)
def test_markup_without_code_passes(markup):
    assert inline_code(markup) == []


# Where packages come from is each machine's own affair

REGISTRY = re.compile(
    r"\b(?:pypi|pythonhosted|npmjs|jsdelivr|unpkg|cdnjs)\.(?:org|com|net|io)\b"
    r"|--(?:extra-)?index-url|--find-links|--trusted-host",
    re.IGNORECASE,
)


def registries_in(text: str) -> list[str]:
    return [found.group() for found in REGISTRY.finditer(text)]


def test_no_file_names_a_package_registry():
    others = (path for path in project_files() if path != Path(__file__))
    assert {str(path): found for path in others if (found := registries_in(text_of(path)))} == {}


def test_lock_files_hold_no_address():
    for name in ("requirements.txt", "requirements-test.txt"):
        assert "://" not in (ROOT / name).read_text()


@pytest.mark.parametrize(
    "line", ["https://" + "pypi" + ".org/simple", "--index-url http://here", "npmjs" + ".com"]
)
def test_a_package_registry_is_found(line):
    assert registries_in(line)


# Tests


def takes_the_browsers_page(text: str) -> bool:
    """Whether a test has an argument called `page`: it would start a browser where none is wanted."""
    return any("page" in (arg.arg for arg in node.args.args) for node in ast.walk(ast.parse(text))
               if isinstance(node, ast.FunctionDef) and node.name.startswith("test"))  # fmt: skip


def test_only_browser_tests_take_the_browsers_page():
    tests = (path for path in (ROOT / "tests").rglob("*.py") if "browser" not in path.parts)
    assert [str(path) for path in tests if takes_the_browsers_page(path.read_text())] == []


@pytest.mark.parametrize(
    ("text", "takes"), [("def test_a(page): pass", True), ("def wrong(page): pass", False)]
)
def test_the_browsers_page_is_noticed(text, takes):
    assert takes_the_browsers_page(text) == takes
