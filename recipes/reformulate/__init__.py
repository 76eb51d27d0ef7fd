"""Other amounts for a recipe, so that it meets every limit: a mixed-integer linear programme. No Django.

`proposal` holds question and answer; `contents`, `limits` and `rows` turn amounts into linear rows,
`confirming` says what must not be raised, `problem` puts them together and `solving` solves them; `rounding`
makes the amounts weighable, `judging` judges them afresh, `conflict` and `reasons` explain, `answering` is
the whole way.
"""

from recipes.reformulate.answering import reformulate
from recipes.reformulate.proposal import Band, Choice, Line, Obstacle, Proposal, Wishes

__all__ = ["Band", "Choice", "Line", "Obstacle", "Proposal", "Wishes", "reformulate"]
