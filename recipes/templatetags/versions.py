"""The versions of a recipe with what happened to them, on its page."""

from django import template

from recipes.history import events_of
from recipes.outdated import outdated
from recipes.services import fingerprint
from recipes.version_page import VersionPage

register = template.Library()


@register.inclusion_tag("recipes/_versions.html", takes_context=True)
def versions_beside(context, page: VersionPage):
    """All versions of the recipe of which one is shown."""
    recipe = page.version.recipe
    return {
        "recipe": recipe,
        "shown": page.version,
        "versions": page.versions,
        "seen": page.seen if page.is_latest else fingerprint(page.versions[0]),
        "events": events_of(recipe),
        "outdated": outdated(recipe),
        **{name: context[name] for name in ("perms", "csrf_token")},
    }
