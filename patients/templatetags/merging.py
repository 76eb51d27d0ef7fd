"""Belongings in words, on the pages that merge records."""

from django import template

from patients.merge_preview import in_words

register = template.Library()
register.filter("belonging_words", in_words)
