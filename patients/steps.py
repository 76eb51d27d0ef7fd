"""Kitchen steps are printed as written, for every size of batch. Pure."""

import re

AN_AMOUNT = re.compile(
    r"\d\s*(?:g|kg|mg|ml|cl|dl|l|litres?|liters?|cups?|tbsp|tsp|tablespoons?|teaspoons?|oz|ounces?|lbs?|pounds?|"
    r"tablets?|capsules?|drops?)\b",
    re.IGNORECASE,
)


def names_an_amount(step: str) -> bool:
    """Does a step name an amount of food? It is not scaled with the batch."""
    return bool(AN_AMOUNT.search(step))
