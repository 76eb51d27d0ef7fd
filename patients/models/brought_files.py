"""Files of dogs and weigh-ins on their way in, kept until the person throws them away."""

from django.conf import settings
from django.db import models
from django.urls import reverse


class BroughtFile(models.Model):
    """columns: name -> what it holds; units: of the weights without one; order: of dates in numbers.

    counts: what it brought, once that is done; left_out: the lines that it did not, as CSV. Of a file
    that was thrown away afterwards only the counts and the names of its columns are left.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    content = models.BinaryField()
    columns = models.JSONField(default=dict)
    units = models.JSONField(default=dict)
    order = models.CharField(max_length=5, blank=True)
    counts = models.JSONField(default=dict)
    left_out = models.TextField(blank=True)
    begun_at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-begun_at", "-pk"]

    def __str__(self) -> str:
        return f"file of {self.begun_at:%Y-%m-%d %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("patients:bring-in-detail", args=[self.pk])
