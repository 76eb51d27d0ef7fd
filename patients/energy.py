"""Energy."""

HEAVIEST_KG = 120.0
