"""Sheets that are not to be used any more before their days are over."""

from django.conf import settings
from django.db import models

from patients.models.plans import Sheet


class SheetWithdrawal(models.Model):
    """The sheet itself never changes: that it was withdrawn stands beside it."""

    sheet = models.OneToOneField(Sheet, models.CASCADE, related_name="withdrawal")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    reason = models.CharField("why it must not be used", max_length=300)

    class Meta:
        verbose_name_plural = "withdrawn sheets"

    def __str__(self) -> str:
        return f"{self.sheet}, withdrawn"
