"""Dry kidney beans boil for 30 minutes before any slow cooker.

FDA, Bad Bug Book, phytohaemagglutinin, from memory: boil soaked beans in fresh water for at least 30 minutes;
beans from a slow cooker that stays under boiling are more toxic than raw ones.
"""

import pytest

from nutrients.models import Food
from recipes import obstacles
from recipes.analysis import Portion
from recipes.kidney_beans import SUBJECT, Step, unboiled
from recipes.models import KitchenStep
from tests.cast import make_recipe

DRY, BOILED = "Kidney beans, red, dry", "Kidney beans, red, boiled, no salt"
SLOW, SIMMERED = "slow_cooked_liquid_kept", "simmered_liquid_kept"
BOIL = Step("Boil the soaked beans in fresh water.", 30, 100)
SLOW_STEP = Step("Put everything in the slow cooker on low.", 420, 90)


def beans(food=DRY, state="dried", when="in_the_pot") -> Portion:
    return Portion(food, 200, when, "legume", "bean", state)


def refused(*steps, portion=None, method=SLOW) -> bool:
    return bool(unboiled([portion or beans()], method, steps))


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        ([], True),
        ([SLOW_STEP], True),
        ([BOIL, SLOW_STEP], False),
        ([Step("Boil the beans hard before they go into the slow cooker.", 45, 101), SLOW_STEP], False),
        ([SLOW_STEP, BOIL], True),
        ([Step(BOIL.text, 29, 100), SLOW_STEP], True),
        ([Step(BOIL.text, 30, 99), SLOW_STEP], True),
        ([Step(BOIL.text, None, 100), SLOW_STEP], True),
        ([Step(BOIL.text, 30, None), SLOW_STEP], True),
        ([Step("Boil the barley.", 40, 100), SLOW_STEP], True),
        ([Step("Slow-cook the beans on high.", 300, 100)], True),
    ],
)
def test_a_slow_cooker_asks_for_a_step_that_boils_the_beans_first(steps, expected):
    assert refused(*steps) is expected


@pytest.mark.parametrize("state", ["dried", "raw", "frozen", "as sold"])
def test_beans_that_have_not_boiled_yet_are_refused_whatever_their_state_is_called(state):
    assert refused(portion=beans(state=state))


@pytest.mark.parametrize("state", ["cooked", "canned"])
def test_boiled_and_canned_beans_are_free(state):
    assert not refused(portion=beans(BOILED, state=state))


def test_another_pot_is_a_matter_of_care_alone():
    assert not refused(method=SIMMERED)


def test_beans_that_never_meet_the_heat_are_refused_in_any_pot():
    assert refused(method="not_heated")
    assert refused(method=SIMMERED, portion=beans(when="in_the_bowl"))


def test_other_beans_are_not_kidney_beans():
    assert not refused(portion=beans("Black beans, dry"))
    assert not refused(portion=beans("Beef kidney, raw", state="raw"))


def test_the_sentence_says_why_and_what_to_do():
    [sentence] = unboiled([beans()], SLOW, [])
    for said in (DRY, "slow cooker", "30 minutes", "100 °C", "phytohaemagglutinin"):
        assert said in sentence


@pytest.mark.django_db
class TestAVersion:
    @pytest.fixture
    def version(self):
        return make_recipe(amounts={"Ground turkey, 93% lean, raw": 500, DRY: 100}, method=SLOW)

    def test_it_cannot_be_approved_without_the_boil(self, version):
        assert any("slow cooker" in sentence for sentence in obstacles.to_approval(version))

    def test_it_can_with_a_boil_before_the_slow_cooker(self, version):
        for place, step in enumerate((BOIL, SLOW_STEP)):
            KitchenStep.objects.create(
                version=version, position=place, text=step.text, minutes=step.minutes,
                temperature_c=step.celsius,
            )  # fmt: skip
        assert not any("slow cooker" in sentence for sentence in obstacles.to_approval(version))

    def test_another_method_carries_the_caution_with_what_to_do(self, version):
        [(food, caution)] = obstacles.cautions([beans()], SIMMERED)
        assert (food, caution.subject, caution.action) == (DRY, SUBJECT, "warn")
        assert "boil for 30 minutes" in caution.detail

    def test_boiled_beans_carry_no_caution(self):
        assert Food.objects.get(name=BOILED).state == "cooked"
        assert obstacles.cautions([beans(BOILED, state="cooked")], SLOW) == []
