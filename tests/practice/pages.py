"""Every named page of the program, with a stand-in for each part of its address."""

from django.urls import URLPattern, get_resolver, reverse

STAND_INS = {"int": 1, "str": "x", "slug": "x", "uuid": "00000000-0000-0000-0000-000000000001"}
OPEN_TO_ALL = {"practice:sign-in", "practice:sign-out", "patients:calendar-file"}


def every_page() -> dict[str, str]:
    """Name -> address, walked from the root of the addresses."""
    return dict(_walk(get_resolver().url_patterns, ""))


def _walk(patterns, namespace):
    for pattern in patterns:
        if not isinstance(pattern, URLPattern):
            yield from _walk(pattern.url_patterns, f"{pattern.namespace}:")
        else:
            parts = pattern.pattern.converters
            kinds = {
                name: type(part).__name__.removesuffix("Converter").lower() for name, part in parts.items()
            }
            name = f"{namespace}{pattern.name}"
            yield name, reverse(name, kwargs={part: STAND_INS[kind] for part, kind in kinds.items()})
