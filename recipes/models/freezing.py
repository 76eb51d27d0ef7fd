"""An approved version never changes: what belongs to it refuses to be saved or deleted."""

from django.core.exceptions import ValidationError
from django.db import models

FROZEN = "An approved version never changes: edit the recipe to make the next version."


class Freezing(models.Model):
    """A record that stands still once the version it belongs to is approved."""

    class Meta:
        abstract = True

    def save(self, *args, **options):
        self.refuse_when_frozen()
        super().save(*args, **options)

    def delete(self, *args, **options):
        self.refuse_when_frozen()
        return super().delete(*args, **options)

    def refuse_when_frozen(self) -> None:
        if self.versions_touched().filter(approved_at__isnull=False).exists():
            raise ValidationError(FROZEN)

    def versions_touched(self) -> models.QuerySet:
        """The versions, as stored, that saving or deleting this record would change."""
        raise NotImplementedError
