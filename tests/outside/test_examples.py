"""Every worked example says where it comes from and how sure that is."""

import pytest

from tests.outside.examples import FOLDER, rows

KINDS = {"published", "worked out from a published rule", "worked out from published figures"}
CERTAINTIES = {"verified", "cross-checked", "memory"}
TABLES = [path.stem for path in sorted(FOLDER.glob("*.csv")) if "expected" in rows(path.stem)[0]]


@pytest.mark.parametrize("table", TABLES)
def test_every_example_names_its_source(table):
    for row in rows(table):
        assert None not in row, f"{row['id']} has a cell too many"
        assert row["source"], row["id"]
        assert row["kind"] in KINDS, row["id"]
        assert row["certainty"] in CERTAINTIES, row["id"]


@pytest.mark.parametrize("table", TABLES)
def test_every_example_has_an_id_of_its_own(table):
    ids = [row["id"] for row in rows(table)]
    assert len(ids) == len(set(ids))
