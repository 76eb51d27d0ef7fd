"""Puts the page together: calls, then dogs to look at, then the desk; nothing empty is shown."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import QuerySet

from patients.models import Sheet
from patients.watch_queries import losses
from practice.today import calls, desk
from practice.today.waiting import Group


@dataclass(frozen=True)
class Today:
    """Each a list of groups in which something waits."""

    to_call: list[Group]
    to_look_at: list[Group]
    at_the_desk: list[Group]
    issued: QuerySet[Sheet]

    @property
    def calls(self) -> int:
        return sum(group.count for group in self.to_call)

    @property
    def others(self) -> int:
        return sum(group.count for group in (*self.to_look_at, *self.at_the_desk))


def today(on: date, whole: str = "") -> Today:
    """whole: key of the group that is shown to its end."""
    found = losses(on)
    to_call = [
        calls.recall_calls(whole),
        calls.losing_too_fast(found, whole),
        calls.overdue(on, whole),
        calls.missing_weigh_ins(on, whole),
        calls.due_tasks(on, whole),
    ]
    to_look_at = [
        calls.due_soon(on, whole),
        calls.not_losing(found, whole),
        desk.life_stages(on, whole),
    ]
    at_the_desk = [
        desk.discontinued_products(whole),
        desk.sheets_expired(on, whole),
        desk.without_sheet(whole),
        desk.older_versions(whole),
        desk.recipes_in_review(whole),
        desk.corrections_unseen(whole),
    ]
    return Today(_filled(to_call), _filled(to_look_at), _filled(at_the_desk), _issued_this_week(on))


def _filled(groups: list[Group]) -> list[Group]:
    return [group for group in groups if group.count]


def _issued_this_week(on: date) -> QuerySet[Sheet]:
    monday = on - timedelta(days=on.weekday())
    issued = Sheet.objects.filter(issued_at__date__gte=monday)
    return issued.select_related("patient", "issued_by").defer("pdf", "record")
