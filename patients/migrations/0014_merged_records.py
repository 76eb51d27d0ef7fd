import django.db.models.deletion
from django.db import migrations, models


def former(model: str) -> models.ForeignKey:
    return models.ForeignKey(
        blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING,
        related_name="+", to=model,
    )


def merged_into(model: str) -> models.ForeignKey:
    return models.ForeignKey(
        blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name="merged", to=model
    )


class Migration(migrations.Migration):
    dependencies = [("patients", "0013_vessel_of_a_plan")]

    operations = [
        migrations.AlterModelOptions(
            name="patient",
            options={
                "ordering": ["name"],
                "permissions": [("merge_patient", "Can merge two records of one dog or owner")],
            },
        ),
        migrations.AddField("historicalowner", "merged_into", former("patients.owner")),
        migrations.AddField("historicalpatient", "merged_into", former("patients.patient")),
        migrations.AddField("owner", "merged_into", merged_into("patients.owner")),
        migrations.AddField("patient", "merged_into", merged_into("patients.patient")),
    ]
