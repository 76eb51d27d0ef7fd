"""Secret addresses at which a calendar program finds the re-checks."""

from django.conf import settings
from django.db import models


class CalendarAddress(models.Model):
    """An address that its owner can withdraw. The secret itself is not kept, only its checksum."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="calendar_addresses")
    sha256 = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    asked_at = models.DateTimeField("last asked for", null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"calendar address of {self.person}, {self.made_at:%Y-%m-%d}"
