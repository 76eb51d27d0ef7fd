"""Changes of owner on the pages of dogs and owners."""

from django import template

from patients.former_owners import changes_of_owner, given_away

register = template.Library()
register.simple_tag(changes_of_owner)
register.simple_tag(given_away)
