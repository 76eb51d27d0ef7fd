"""Mating, whelping and nursing, and a life stage set by hand."""

from django.db import migrations, models

STAGES = [
    ("early", "puppy under 14 weeks"),
    ("late", "growing, from 14 weeks to adult"),
    ("large", "growing, from 14 weeks to adult, large breed"),
    ("adult", "adult"),
    ("senior", "senior"),
    ("pregnant", "pregnant"),
    ("nursing", "nursing"),
    ("working", "working adult"),
]
FIELDS = {
    "mated_on": lambda: models.DateField(blank=True, null=True),
    "whelped_on": lambda: models.DateField(blank=True, null=True),
    "litter": lambda: models.PositiveSmallIntegerField("puppies nursing", blank=True, null=True),
    "stage_by_hand": lambda: models.CharField("life stage", blank=True, choices=STAGES, max_length=10),
    "stage_reason": lambda: models.CharField("why it is set by hand", blank=True, max_length=200),
}


class Migration(migrations.Migration):
    dependencies = [("patients", "0009_status_of_patients")]

    operations = [
        migrations.AddField(model_name=model, name=name, field=field())
        for model in ("patient", "historicalpatient")
        for name, field in FIELDS.items()
    ]
