"""What a medicine and a nutrient do to each other, as data."""

from django.db import models

from nutrients.models import Caution, Certainty


class MedicineCaution(models.Model):
    """A caution for a dog that gets one of the medicines named by `words`, one per line, generic words only.

    food_words: when given, it holds only for a recipe with a food whose name holds one of them. nutrients:
    keys of the nutrients concerned, one per line.
    """

    subject = models.CharField(max_length=200, unique=True)
    words = models.TextField()
    food_words = models.TextField(blank=True)
    nutrients = models.TextField(blank=True)
    action = models.CharField(max_length=10, choices=Caution.Action)
    text = models.TextField(help_text="Why.")
    detail = models.TextField(blank=True, help_text="What to do.")
    for_owner = models.TextField(blank=True)
    source = models.TextField()
    certainty = models.CharField(max_length=14, choices=Certainty)

    class Meta:
        ordering = ["subject"]

    def __str__(self) -> str:
        return self.subject
