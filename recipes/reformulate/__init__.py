"""Other amounts that fulfil every limit, found as a mixed-integer linear programme. Pure calculation."""

from recipes.reformulate.proposal import Band, Choice, Line, Obstacle, Proposal, Wishes

__all__ = ["Band", "Choice", "Line", "Obstacle", "Proposal", "Wishes"]
