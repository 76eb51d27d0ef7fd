"""On what conditions a sheet may be issued."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pandas as pd
import pytest

from nutrients.adequacy import CRITICAL
from patients.cautions import AppliedCaution
from patients.dog import Dog
from patients.issuing import USUAL, Gate, GoodDays, expires_on, gate
from patients.life_stage import ADULT, LifeStage

TODAY = date(2026, 11, 25)
DOG = Dog("Juniper", "hound cross", ADULT, weight_kg=18.4, weighed_on=date(2026, 11, 1))
NAMES = {"calcium": "Calcium", "zinc": "Zinc", "ca_p_ratio": "Calcium : phosphorus"}


def judgement(**answers: str) -> pd.DataFrame:
    """Nutrient -> its answer; the amount is half the minimum or twice the maximum."""
    rows = {
        key: {
            "name": NAMES[key], "unit": "ratio" if key == "ca_p_ratio" else "mg", "decimals": 1,
            "amount": 5.0, "minimum": 10.0, "maximum": 2.5, "maximum_kind": "safe upper",
            "missing": ("Rice, dry",),
            "minimum_answer": answer if answer in ("below", "cannot_confirm") else "meets",
            "maximum_answer": answer if answer == "above" else "meets",
        }
        for key, answer in answers.items()
    }  # fmt: skip
    return pd.DataFrame.from_dict(rows, orient="index")


def gated(dog=DOG, cautions=(), problems=(), approved=True, ended=False, **answers) -> Gate:
    batch = batch_of(judgement(**answers)) if answers else None
    plan = SimpleNamespace(goal="hold", meal_split=[], meals_per_day=2, scale="")
    workings = SimpleNamespace(
        dog=dog, cautions=cautions, problems=problems, batch=batch, whole=None, plan=plan, filling=None,
        profile=SimpleNamespace(name="adult profile"),
    )  # fmt: skip
    return gate(workings, today=TODAY, approved=approved, ended=ended)


def batch_of(strictest: pd.DataFrame) -> SimpleNamespace:
    """Four days of two meals of 100 g, without a supplement."""
    scaled = SimpleNamespace(portions=lambda: [], days=4)
    return SimpleNamespace(
        strictest=strictest, analysis=SimpleNamespace(cooked_g=800), scaled=scaled, doses=(), meal_g=100,
        meals=lambda split: [],
    )  # fmt: skip


def asked_for(found: Gate) -> tuple:
    return found.refusals, found.to_acknowledge, found.sign_off_for


def test_a_clean_plan_passes_without_a_tick():
    assert asked_for(gated(calcium="meets")) == ((), (), ())
    assert not gated(calcium="meets").needs_tick


@pytest.mark.parametrize("answer", ["below", "above"])
def test_a_critical_nutrient_off_its_limits_is_refused(answer):
    found = gated(calcium=answer)
    assert found.refusals[0].startswith(f"Calcium is {answer} the")
    assert found.to_acknowledge == ()


def test_sentences_name_amount_limit_and_unit():
    assert gated(zinc="below").to_acknowledge == ("Zinc is below the minimum: 5.0 of 10.0 mg per 1000 kcal.",)
    assert gated(zinc="above").to_acknowledge == (
        "Zinc is above the maximum (safe upper): 5.0 of 2.5 mg per 1000 kcal.",
    )
    assert gated(ca_p_ratio="below").refusals == ("Calcium : phosphorus is below the minimum: 5.0 of 10.0.",)


def test_a_critical_nutrient_that_cannot_be_confirmed_needs_the_veterinarian():
    [sentence] = gated(calcium="cannot_confirm").sign_off_for
    assert sentence == "Calcium cannot be confirmed: no value in Rice, dry."
    assert asked_for(gated(zinc="cannot_confirm")) == ((), (), ())


def test_for_a_growing_dog_a_critical_nutrient_must_be_confirmed():
    puppy = replace(DOG, stage=LifeStage("growing", True, "aafco-growth", "puppy"))
    found = gated(dog=puppy, calcium="cannot_confirm")
    assert found.refusals == ("Calcium cannot be confirmed: no value in Rice, dry.",)
    assert found.sign_off_for == ()


def test_reasons_to_refuse():
    assert gated(problems=(("kcal_per_day", "Too little."),)).refusals == ("Too little.",)
    assert "not approved" in gated(approved=False).refusals[0]
    assert "ended" in gated(ended=True).refusals[0]
    assert "never weighed" in gated(dog=replace(DOG, weight_kg=None)).refusals[0]


def test_cautions_block_or_want_a_sign_off_or_only_warn():
    cautions = [AppliedCaution(action, action, "why", "", "rice") for action in ("block", "sign-off", "warn")]
    found = gated(cautions=cautions)
    assert len(found.refusals) == 1
    assert found.sign_off_for == ("sign-off: rice",)
    assert found.needs_tick


def test_the_critical_nutrients_are_those_of_the_rule():
    assert set(CRITICAL) == {
        "calcium", "phosphorus", "ca_p_ratio", "vitamin_a", "vitamin_d", "selenium", "iodine"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("goal", "stage", "conditions", "last_day"),
    [
        ("hold", ADULT, (), date(2026, 7, 2)),
        ("lose", ADULT, (), date(2026, 1, 29)),
        ("grow", LifeStage("growing", True, "aafco-growth", "puppy"), (), date(2026, 1, 15)),
        ("hold", ADULT, ("lactating",), date(2026, 1, 15)),
    ],
)
def test_a_sheet_is_good_for_as_long_as_the_dog_stays_the_same(goal, stage, conditions, last_day):
    # 1 January + 182, 28 and 14 days
    assert (
        expires_on(date(2026, 1, 1), replace(DOG, stage=stage, conditions=conditions), goal, USUAL)
        == last_day
    )


def test_the_practice_says_how_long_a_sheet_is_good():
    days = GoodDays(puppy=7, loss=21, adult=100)
    assert expires_on(date(2026, 1, 1), DOG, "hold", days) == date(2026, 4, 11)
    assert expires_on(date(2026, 1, 1), DOG, "lose", days) == date(2026, 1, 22)
