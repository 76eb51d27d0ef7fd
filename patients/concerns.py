"""Findings that a nutritionist takes to the dog's veterinarian before anything else. Pure.

The limits are common practice; the fastest loss is the upper limit of veterinary guidelines, from memory.
"""

THIN_BCS, OBESE_BCS = 3, 9
FASTEST_LOSS_PERCENT_PER_WEEK = 2.0
WATERY_FAECES = 6


def concerns(
    *,
    bcs: int,
    appetite: str,
    muscle: str,
    vomiting: bool | None = None,
    faecal_score: int | None = None,
    percent_per_week: float | None = None,
    growing: bool = False,
) -> list[str]:
    """Each finding that wants a veterinarian, as a clause. What is unknown raises nothing.

    percent_per_week: change of weight since the weigh-in before [percent of it per week], negative for loss.
    """
    found = []
    if appetite == "poor":
        found.append("the appetite is poor")
    if vomiting:
        found.append("the dog vomits")
    if bcs <= THIN_BCS:
        found.append(f"the dog is thin (BCS {bcs})")
    if bcs >= OBESE_BCS:
        found.append(f"the dog is severely obese (BCS {bcs})")
    if muscle == "severe":
        found.append("the loss of muscle is severe")
    if faecal_score is not None and faecal_score >= WATERY_FAECES:
        found.append(f"the faeces are very soft or watery (score {faecal_score})")
    if percent_per_week is not None and percent_per_week < 0:
        found += _loss(-percent_per_week, growing)
    return found


def _loss(percent_per_week: float, growing: bool) -> list[str]:
    if growing:
        return ["a growing dog has lost weight"]
    if round(percent_per_week, 6) > FASTEST_LOSS_PERCENT_PER_WEEK:
        limit = f"{FASTEST_LOSS_PERCENT_PER_WEEK:g} %"
        return [f"the weight fell by {percent_per_week:.3g} % a week, more than {limit}"]
    return []
