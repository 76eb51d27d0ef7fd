"""Small downloads in USDA's published layouts, made up by hand, and how tests read, spoil and pack them."""

import shutil
import zipfile
from pathlib import Path

from nutrients import usda
from practice.settings import BASE_DIR

DATA = Path(__file__).parent / "data"
CSV, SR, ABBREVIATED = DATA / "usda_csv", DATA / "usda_sr", DATA / "usda_abbreviated"
FIXTURES = BASE_DIR / "fixtures"
TABLES = usda.Tables(
    usda.Columns.from_file(FIXTURES / "usda_nutrients.csv"),
    usda.GroupRules.from_file(FIXTURES / "usda_groups.csv"),
)


def read(path: Path, only=()) -> usda.Reading:
    with usda.Archive(path) as archive:
        return usda.read(archive, TABLES, only)


def amounts(reading: usda.Reading, key: str) -> dict[str, float]:
    """Our nutrients and what is known of them in one food."""
    return {column.nutrient: amount for column, amount in reading.amounts.of(key)}


def spoiled(tmp_path: Path, download: Path, file: str, old: str, new: str) -> Path:
    """A copy of a download in which one place of a file says something else."""
    copy = tmp_path / download.name
    shutil.copytree(download, copy)
    text = (copy / file).read_bytes().decode("latin-1")
    assert text.count(old) >= 1, f"{old} is not in {file}"
    (copy / file).write_bytes(text.replace(old, new, 1).encode("latin-1"))
    return copy


def packed(tmp_path: Path, download: Path, inside: str = "FoodData_2026/") -> Path:
    """The download as a zip, its files in a folder as USDA packs them."""
    path = tmp_path / "download.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packing:
        for file in download.iterdir():
            packing.write(file, inside + file.name)
    return path
