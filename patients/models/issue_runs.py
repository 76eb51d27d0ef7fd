"""Sheets of several dogs that are issued one after the other, in the background."""

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone


class IssueRun(models.Model):
    """plans: the keys of those to be issued, in their order. outcomes: a row for each that was tried: the
    dog, the plan, and the sheet or why there is none.
    """

    class State(models.TextChoices):
        RUNNING = "running"
        DONE = "done"
        INTERRUPTED = "interrupted"

    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    started_at = models.DateTimeField(default=timezone.now)
    seen_at = models.DateTimeField(default=timezone.now)
    state = models.CharField(max_length=12, choices=State, default=State.RUNNING)
    reason = models.CharField("why new sheets", max_length=200, blank=True)
    plans = models.JSONField()
    outcomes = models.JSONField(default=list)

    class Meta:
        ordering = ["-started_at", "-pk"]
        default_permissions = ()
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="running"), name="one_issue_run_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"Sheets issued from {self.started_at:%Y-%m-%d %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("patients:issue-run", args=[self.pk])

    @property
    def done(self) -> int:
        return len(self.outcomes)

    @property
    def issued(self) -> int:
        return sum(row["sheet"] is not None for row in self.outcomes)
