"""What the standards' pages show: the profiles, and who changed a limit last."""

from collections.abc import Iterable

from django.db.models import Count, Q, QuerySet

from nutrients.models import Limit, Profile
from nutrients.models.history import AS_LOADED


def listed_profiles() -> QuerySet[Profile]:
    """Every profile with `own_limits` and how many of them the practice `changed_limits`."""
    changed = Limit.objects.with_changed().filter(changed=True).values("pk")
    counts = {
        "own_limits": Count("limits", distinct=True),
        "changed_limits": Count("limits", filter=Q(limits__in=changed), distinct=True),
    }
    return Profile.objects.select_related("standard", "inherits__standard").annotate(**counts)


def last_changes(limits: Iterable[Limit]) -> dict[int, object]:
    """The newest state of every limit that the practice changed, by the limit's primary key."""
    changed = [limit.pk for limit in limits if limit.changed]
    states = Limit.history.filter(id__in=changed).exclude(history_change_reason=AS_LOADED)
    newest_last = states.select_related("history_user").order_by("history_date", "history_id")
    return {state.id: state for state in newest_last}
