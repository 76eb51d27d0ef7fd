"""A history that also knows what stood before the first change."""

from django.db.models.signals import pre_save
from django.utils import timezone
from simple_history.models import HistoricalRecords

AS_LOADED = "as it was loaded"


class WholeHistory(HistoricalRecords):
    """Tables are loaded in bulk, past the history: what they brought is written down before it changes.

    So every change has the row before it to be compared with, whoever makes it.
    """

    def finalize(self, sender, **kwargs):
        super().finalize(sender, **kwargs)
        if sender is self.cls:
            pre_save.connect(self.keep_what_stands, sender=sender, weak=False)

    def keep_what_stands(self, sender, instance, raw=False, **kwargs):
        """Add the stored row to the history unless the newest entry says the same."""
        if raw or instance.pk is None:
            return
        stands = sender._base_manager.filter(pk=instance.pk).first()
        newest = sender.history.filter(**{sender._meta.pk.name: instance.pk}).order_by("history_id").last()
        if stands is None or (newest and self._says(newest, stands)):
            return
        stands._history_user, stands._change_reason = None, AS_LOADED
        stands._history_date = timezone.now()
        self.create_historical_record(stands, "~" if newest else "+")

    def _says(self, entry, stands) -> bool:
        names = [field.attname for field in self.fields_included(stands)]
        return entry.history_type != "-" and all(getattr(entry, x) == getattr(stands, x) for x in names)
