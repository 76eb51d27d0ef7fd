"""What rounding moves, and batches in which whole tablets come out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.rounding import WholeBatch, whole_batches


def test_the_nearest_batches_with_whole_tablets_by_hand():
    # ¾ tablet a day: 4 days make 3, 8 make 6; 3 days make 2¼ (12 % off), 7 make 5¼ (5.0 % off 5)
    assert whole_batches({"Iron": 0.75}, days=4, most_days=8) == [
        WholeBatch(4, {"Iron": 3}), WholeBatch(7, {"Iron": 5}), WholeBatch(8, {"Iron": 6}),
    ]  # fmt: skip


def test_every_piece_must_come_out():
    # half a tablet and a third of a can a day: 6 days make 3 and 2
    assert whole_batches({"Tablet": 0.5, "Can": 1 / 3}, days=4, most_days=7) == [
        WholeBatch(6, {"Tablet": 3, "Can": 2})
    ]


def test_what_never_comes_out_is_not_offered():
    assert whole_batches({"Tablet": 0.02}, days=4, most_days=31) == []
    assert whole_batches({}, days=4, most_days=31) == []


@given(per_day=st.floats(0.01, 20), days=st.integers(1, 31))
def test_what_is_offered_is_whole_within_five_percent(per_day, days):
    for offer in whole_batches({"Tablet": per_day}, days, 31):
        assert offer.pieces["Tablet"] == pytest.approx(per_day * offer.days, rel=0.0527)
