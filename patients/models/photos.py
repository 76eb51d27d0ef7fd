"""A dog's photo, kept in the database and so in every backup."""

from django.db import models
from django.utils import timezone

from patients.models.dogs import Patient


class Photo(models.Model):
    """`jpeg`: made small by `patients.photos.small_jpeg`; nothing of the uploaded file is kept beside it."""

    patient = models.OneToOneField(Patient, models.CASCADE, related_name="photo")
    jpeg = models.BinaryField()
    saved_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"photo of {self.patient}"
