"""Where an amount comes from: the steps lead, number by number, to what the adequacy table shows."""

import math

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.adequacy import ProfileLimits
from nutrients.composition import with_derived_foods
from recipes.analysis import Portion, analyse
from recipes.provenance import Batch, Sources, ValueSource, parts_of, trace

NAMES = {
    "water": ("Water", "g"), "protein": ("Protein", "g"), "fat": ("Fat", "g"), "ash": ("Ash", "g"),
    "fiber": ("Fibre", "g"), "nfe": ("NFE", "g"), "calcium": ("Calcium", "mg"),
    "phosphorus": ("Phosphorus", "mg"), "methionine": ("Methionine", "g"), "cystine": ("Cystine", "g"),
    "retinol": ("Retinol", "ug"), "beta_carotene": ("Beta-carotene", "ug"), "epa": ("EPA", "g"),
    "methionine_cystine": ("Methionine and cystine", "g"), "vitamin_a": ("Vitamin A", "IU"),
    "ca_p_ratio": ("Calcium to phosphorus", "ratio"),
}  # fmt: skip
MEAT = {
    "water": 70, "protein": 20, "fat": 8, "ash": 1, "fiber": 0, "calcium": 10, "phosphorus": 180,
    "methionine": 0.5, "cystine": 0.2, "retinol": 30, "beta_carotene": 0, "epa": 0.1,
}  # fmt: skip
CARROT = {
    "water": 88, "protein": 1, "fat": 0.2, "ash": 1, "fiber": 2.8, "calcium": 33, "phosphorus": 35,
    "methionine": 0.02, "retinol": 0, "beta_carotene": 8000, "epa": 0,
}  # fmt: skip
TABLE = with_derived_foods(pd.DataFrame({"meat": MEAT, "carrot": CARROT}).T)
RETENTION = pd.DataFrame(
    {"calcium": [0.9], "fat": [0.8], "retinol": [0.75]},
    index=pd.MultiIndex.from_tuples([("beef", "boiled_drained")]),
)
PORTIONS = [
    Portion("meat", 200, "in_the_pot", "muscle meat", "beef", "raw"),
    Portion("carrot", 50, "off_the_heat", "vegetable", "roots", "raw"),
]
SOURCES = Sources(
    values={("meat", "calcium"): ValueSource("published", "release 1")},
    references={"meat": "13000"},
    factors={("beef", "boiled_drained", "calcium"): "table A", ("beef", "boiled_drained", "fat"): "table F"},
    negligible={("retinol", "vegetable"): "plants hold none"},
    nutrients=NAMES,
)


def limits(**units) -> ProfileLimits:
    """A profile with a minimum for each nutrient; `units`: key -> (unit, factor)."""
    rows = {
        key: {
            "name": key, "group": "", "unit": unit, "factor": factor, "minimum": 1.0, "maximum": math.nan,
            "maximum_kind": "", "source": "", "certainty": "", "maximum_certainty": "", "note": "",
            "order": 1, "decimals": 1, "raised": False,
        }
        for key, (unit, factor) in units.items()
    }  # fmt: skip
    return ProfileLimits("p", "P", "1", "adult", False, pd.DataFrame(rows).T)


PROFILE = limits(
    calcium=("g", 0.001), methionine_cystine=("g", 1.0), vitamin_a=("IU", 1.0), ca_p_ratio=("ratio", 1.0)
)


def batch(portions=PORTIONS, method="boiled_drained", table=TABLE) -> Batch:
    analysis = analyse(portions, table, RETENTION, method, PROFILE, frozenset({("retinol", "vegetable")}), {})
    return Batch(portions, method, table, RETENTION, analysis)


def traced(key, **given):
    return trace(key, batch(**given), PROFILE, SOURCES)


# 200 g meat: protein 40, fat 16 x 0.8 drained = 12.8, NFE 100-70-20-8-1 = 1 g in 100, so 2 g; 50 g carrot:
# protein 0.5, fat 0.1, NFE 100-88-1-0.2-1-2.8 = 7 g in 100, so 3.5 g.
KCAL = 4 * 40.5 + 9 * 12.9 + 4 * 5.5


def test_an_amount_by_hand():
    found = traced("calcium")
    meat, carrot = found.above[0].lines
    assert (meat.grams, meat.per_100g, meat.kept.fraction, meat.amount) == (200, 10, 0.9, pytest.approx(18))
    assert (carrot.grams, carrot.per_100g, carrot.kept.fraction) == (50, 33, 1)
    assert found.total == pytest.approx(18 + 16.5)
    assert found.kcal == pytest.approx(KCAL)
    assert found.unit == "g"
    assert found.amount == pytest.approx(34.5 * 1000 / KCAL * 0.001)


def test_the_energy_by_its_parts():
    parts = {part.key: part for part in traced("calcium").energy}
    assert {key: (pytest.approx(part.grams), part.factor) for key, part in parts.items()} == {
        "protein": (40.5, 4), "fat": (12.9, 9), "nfe": (5.5, 4)
    }  # fmt: skip
    assert sum(part.kcal for part in parts.values()) == pytest.approx(KCAL)


def test_it_says_who_says_so():
    meat, carrot = traced("calcium").above[0].lines
    assert (meat.source.kind, meat.source.text, meat.reference) == ("published", "release 1", "13000")
    assert (meat.kept.source, meat.kept.why) == ("table A", "")
    assert (carrot.kept.source, carrot.kept.why) == ("", "not heated")


def test_no_factor_is_said_and_counts_as_one():
    meat, _ = traced("phosphorus").above[0].lines
    assert (meat.kept.fraction, meat.kept.why, meat.kept.source) == (1, "no factor published", "")


def test_what_was_cooked_before_is_re_heated():
    cooked = [Portion("meat", 200, "in_the_pot", "muscle meat", "beef", "cooked")]
    (meat,) = traced("calcium", portions=cooked).above[0].lines
    assert (meat.kept.fraction, meat.kept.why) == (1, "re-heated, no factor published")


def test_fatty_acids_leave_with_the_fat():
    meat, _ = traced("epa").above[0].lines
    assert (meat.kept.fraction, meat.kept.why, meat.kept.source) == (0.8, "leaves with the fat", "table F")


def test_what_is_unknown_is_named_and_not_zero():
    found = traced("methionine_cystine")
    methionine, cystine = found.above
    assert cystine.lines[1].per_100g is None
    assert cystine.lines[1].amount is None
    assert cystine.missing == ["carrot"]
    assert methionine.missing == []
    # 200 g meat: 1.0 g methionine and 0.4 g cystine; 50 g carrot: 0.01 g methionine.
    assert found.total == pytest.approx(1.41)


def test_a_group_that_cannot_carry_it_says_why():
    table = TABLE.copy()
    table.loc["carrot", "retinol"] = math.nan
    retinol, _ = traced("vitamin_a", table=table).above
    assert retinol.lines[1].cannot_carry == "plants hold none"
    assert retinol.lines[0].cannot_carry == ""


def test_vitamin_a_by_retinol_and_carotene():
    found = traced("vitamin_a")
    retinol, carotene = found.above
    # 200 g meat: 60 ug retinol, of which no factor is known to the sources' texts but 0.75 is left.
    assert retinol.known == pytest.approx(45)
    assert retinol.counted == pytest.approx(45 / 0.3)
    assert carotene.counted == pytest.approx(4000 * 0.833)
    assert found.total == pytest.approx(150 + 3332)
    assert retinol.per_1000_kcal == pytest.approx(150 * 1000 / KCAL)


def test_a_ratio_by_both_sums():
    found = traced("ca_p_ratio")
    assert found.is_ratio
    assert (found.total, found.divisor) == (pytest.approx(34.5), pytest.approx(360 + 17.5))
    assert found.amount == pytest.approx(34.5 / 377.5)


def test_no_ratio_while_a_part_is_unknown():
    table = TABLE.copy()
    table.loc["meat", "phosphorus"] = math.nan
    found = traced("ca_p_ratio", table=table)
    assert found.amount is None
    assert found.below[0].missing == ["meat"]


def test_nothing_known_at_all():
    table = TABLE.assign(calcium=math.nan)
    found = traced("calcium", table=table)
    assert (found.total, found.amount) == (None, None)


def test_a_nutrient_without_a_limit_is_told_in_its_own_unit():
    found = traced("phosphorus")
    assert (found.unit, found.factor) == ("mg", 1)
    assert found.amount == pytest.approx(377.5 * 1000 / KCAL)


def test_an_unknown_nutrient_is_refused():
    with pytest.raises(ValueError, match="no nutrient called 'unobtainium'"):
        traced("unobtainium")


def added_up(found) -> float:
    """The shown amount worked out anew from the single lines."""

    def side(parts):
        return math.fsum(
            line.grams / 100 * line.per_100g * line.kept.fraction * part.weight
            for part in parts for line in part.lines if line.per_100g is not None
        )  # fmt: skip

    if found.is_ratio:
        return side(found.above) / side(found.below)
    kcal = math.fsum(part.grams * part.factor for part in found.energy)
    return side(found.above) * 1000 / kcal * found.factor


known_or_not = st.one_of(st.none(), st.floats(0, 5000, allow_subnormal=False))


@given(
    st.lists(
        st.tuples(st.floats(1, 2000), st.lists(known_or_not, min_size=12, max_size=12)),
        min_size=1,
        max_size=5,
    ),
    st.sampled_from(["calcium", "methionine_cystine", "vitamin_a", "ca_p_ratio", "phosphorus", "epa"]),
)
def test_the_lines_add_up_to_the_shown_amount(foods, key):
    rows = {
        f"food {n}": [math.nan if x is None else x for x in values] for n, (_, values) in enumerate(foods)
    }
    table = with_derived_foods(pd.DataFrame.from_dict(rows, orient="index", columns=list(MEAT), dtype=float))
    table.loc["lard"] = dict.fromkeys(table.columns, math.nan) | {"fat": 100.0, "protein": 0.0, "nfe": 0.0}
    portions = [
        Portion(f"food {n}", grams, "in_the_pot", "muscle meat", "beef", "raw")
        for n, (grams, _) in enumerate(foods)
    ]
    portions.append(Portion("lard", 10, "in_the_pot", "fat", "beef", "raw"))
    made = batch(portions, "boiled_drained", table)
    found = trace(key, made, PROFILE, SOURCES)
    shown = made.analysis.judgement["amount"].get(key)
    if found.amount is None:
        assert shown is None or math.isnan(shown)
    else:
        assert added_up(found) == pytest.approx(found.amount, rel=1e-9)
        assert shown is None or shown == found.amount


def test_parts_of_a_stored_nutrient_are_itself():
    assert parts_of("iron") == ({"iron": 1.0}, {})


def test_a_source_says_its_kind_once():
    assert ValueSource("label", "label: 5 mg in a scoop").said == "label: 5 mg in a scoop"
    assert ValueSource("published", "release 1").said == "published: release 1"
