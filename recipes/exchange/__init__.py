"""Recipes brought in from a file and taken out into one: JSON, whole, and CSV, its ingredients."""
