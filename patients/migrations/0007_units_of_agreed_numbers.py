from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0006_sign_offs'),
    ]

    operations = [
        migrations.AddField(
            model_name='agreednumber',
            name='unit',
            field=models.CharField(default='', max_length=12),
            preserve_default=False,
        ),
    ]
