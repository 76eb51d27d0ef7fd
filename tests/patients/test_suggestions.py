"""What a re-check suggests, answer by answer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.suggestions import CHECK, KEEP, LESS, MORE, REFER, Findings, suggest


def found(**changed) -> Findings:
    usual = {
        "goal": "lose", "weight_kg": 20, "target_kg": 16, "bcs": 7, "percent_per_week": -1.2, "weeks": 4,
        "fed_share": 1.0,
    }  # fmt: skip
    return Findings(**(usual | changed))


@pytest.mark.parametrize(
    ("changed", "action"),
    [
        ({}, KEEP),
        ({"percent_per_week": -0.4}, LESS),
        ({"percent_per_week": 0.3}, LESS),
        ({"percent_per_week": -0.4, "fed_share": None}, CHECK),
        ({"percent_per_week": -0.4, "fed_share": 1.25}, CHECK),
        ({"percent_per_week": -0.4, "fed_share": 1.1}, LESS),
        ({"percent_per_week": -0.4, "slow": 0.3}, KEEP),
        ({"percent_per_week": -0.96}, KEEP),  # told as 1.0 %
        ({"percent_per_week": -0.94}, LESS),
        ({"goal": "hold", "percent_per_week": 0.54, "bcs": 5}, KEEP),
        ({"percent_per_week": -2.1}, REFER),
        ({"percent_per_week": -2.0}, KEEP),
        ({"weight_kg": 16}, KEEP),
        ({"percent_per_week": None}, KEEP),
        ({"percent_per_week": -0.4, "weeks": 1}, KEEP),
        ({"appetite": "poor"}, REFER),
        ({"vomiting": True}, REFER),
        ({"loose": True}, REFER),
        ({"bcs": 4}, REFER),
        ({"bcs": 4, "goal": "hold", "percent_per_week": -0.6}, REFER),
        ({"bcs": 4, "goal": "hold", "percent_per_week": 0.1, "target_kg": 20}, KEEP),
        ({"goal": "hold", "percent_per_week": 0.4}, KEEP),
        ({"goal": "hold", "percent_per_week": 0.8}, LESS),
        ({"goal": "hold", "percent_per_week": -0.8, "target_kg": 20, "bcs": 5}, MORE),
        ({"goal": "hold", "percent_per_week": -0.8, "target_kg": 20, "bcs": 6}, KEEP),  # heavy: not more
        ({"goal": "hold", "percent_per_week": 0.8, "bcs": 5}, LESS),
        ({"goal": "hold", "percent_per_week": 0.8, "bcs": 4}, KEEP),  # lean: not less
        ({"percent_per_week": -0.4, "bcs": 6}, LESS),
        ({"percent_per_week": -0.4, "bcs": 5}, KEEP),  # ideal already: the target is in doubt
        ({"goal": "hold", "percent_per_week": -0.8}, KEEP),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.1, "bcs": 4}, MORE),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.1, "bcs": 7}, KEEP),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.5}, KEEP),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.5, "bcs": 3}, KEEP),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.0, "bcs": 3}, REFER),
        ({"goal": "hold", "percent_per_week": 0.0, "bcs": 3}, REFER),
        ({"goal": "hold", "percent_per_week": 0.0, "muscle": "severe"}, REFER),
        ({"goal": "hold", "percent_per_week": 0.0, "muscle": "moderate"}, KEEP),
        ({"goal": "gain", "target_kg": 19, "percent_per_week": 0.8}, LESS),
        ({"goal": "gain", "target_kg": 22, "percent_per_week": 0.1, "fed_share": 0.7}, CHECK),
        ({"growing": True, "goal": "grow", "percent_per_week": 4.0}, KEEP),
        ({"growing": True, "goal": "grow", "percent_per_week": -0.2}, REFER),
        # The weight goes as it should, but not on what was planned: nor do the nutrients.
        ({"fed_share": 0.6}, CHECK),
        ({"much_left": True, "fed_share": None}, CHECK),
        ({"goal": "hold", "percent_per_week": 0.0, "fed_share": 1.4}, CHECK),
        ({"growing": True, "goal": "grow", "percent_per_week": 4.0, "much_left": True}, CHECK),
        ({"on_insulin": True, "fed_share": 0.8}, REFER),
        ({"on_insulin": True, "much_left": True, "fed_share": None}, REFER),
        ({"on_insulin": True, "fed_share": 0.9}, KEEP),
        ({"on_insulin": True, "percent_per_week": -0.4}, KEEP),
        ({"on_insulin": True, "percent_per_week": -3}, REFER),
        ({"breeding": True}, REFER),  # the plan is to lose weight
        ({"growing": True}, REFER),
        ({"breeding": True, "pregnant": True, "goal": "hold", "percent_per_week": -0.6}, REFER),
        ({"breeding": True, "pregnant": True, "goal": "hold", "percent_per_week": -0.4}, KEEP),
        ({"breeding": True, "goal": "hold", "percent_per_week": -0.6}, KEEP),  # after whelping
        ({"goal": "grow", "percent_per_week": 2.0, "target_kg": 12, "bcs": 5}, KEEP),  # grown by now
        ({"breeding": True, "goal": "hold", "percent_per_week": 0.8}, KEEP),
        ({"since_last": -2.6}, REFER),
        ({"since_last": -2.0}, KEEP),
    ],
)
def test_every_answer(changed, action):
    answer = suggest(found(**changed))
    assert answer.action == action
    assert answer.reasons
    assert answer.factor == {LESS: 0.9, MORE: 1.1}.get(action, 1)


def test_too_fast_is_told_so_exactly_that_it_is_understood():
    assert suggest(found(percent_per_week=-2.04)).reasons == (
        "The weight falls by 2.04 % a week, more than 2 %.",
    )


def test_refer_names_every_reason():
    reasons = suggest(found(appetite="poor", vomiting=True, percent_per_week=-3)).reasons
    assert len(reasons) == 3


ANY = st.builds(
    Findings,
    goal=st.sampled_from(["lose", "hold", "gain", "grow"]),
    weight_kg=st.floats(2, 60),
    target_kg=st.floats(2, 60),
    bcs=st.integers(1, 9),
    percent_per_week=st.none() | st.floats(-5, 10),
    weeks=st.floats(0, 20),
    fed_share=st.none() | st.floats(0.2, 2),
    appetite=st.sampled_from(["good", "fair", "poor"]),
    vomiting=st.booleans(),
    loose=st.booleans(),
    much_left=st.booleans(),
    muscle=st.sampled_from(["normal", "mild", "moderate", "severe"]),
    growing=st.booleans(),
    on_insulin=st.booleans(),
    breeding=st.booleans(),
)


@given(ANY)
def test_energy_is_never_raised_for_an_ill_dog_or_one_that_gains_above_its_target(found):
    answer = suggest(found)
    ill = found.appetite == "poor" or found.vomiting or found.loose
    gains_above = found.weight_kg >= found.target_kg and (found.percent_per_week or 0) > 0
    if ill or gains_above or found.growing or found.on_insulin or found.breeding:
        assert answer.factor <= 1
    if ill:
        assert answer.action == REFER


@given(ANY)
def test_a_plan_to_lose_is_never_kept_while_growing_pregnant_or_nursing(found):
    if found.goal == "lose" and (found.growing or found.breeding):
        assert suggest(found).action == REFER


@given(ANY)
def test_a_thin_dog_is_never_fed_less_nor_a_heavy_one_more(found):
    factor = suggest(found).factor
    assert factor >= 1 or found.bcs >= 5
    assert factor <= 1 or found.bcs <= 5


def test_a_body_that_speaks_against_the_target_is_told():
    answer = suggest(found(percent_per_week=-0.4, bcs=5))
    assert answer.reasons[-1] == "But BCS 5 speaks against less: look at the target weight again."
    heavy = suggest(found(goal="hold", percent_per_week=0.1, bcs=8))
    assert heavy.reasons == ("The weight is steady, at BCS 8: is it the weight to hold?",)


def test_what_stays_in_the_bowl_is_the_reason_and_not_what_nobody_knows():
    answer = suggest(found(percent_per_week=0.8, fed_share=None, much_left=True))
    assert answer.reasons[-1] == "Much of the food is left: what was eaten is not known."


@given(ANY)
def test_a_growing_dog_and_one_on_insulin_are_never_changed_by_itself(found):
    if found.growing or found.on_insulin or found.breeding:
        assert suggest(found).factor == 1
