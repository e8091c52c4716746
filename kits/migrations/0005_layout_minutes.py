import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("kits", "0004_class_day"),
    ]

    operations = [
        migrations.AddField(
            model_name="workshop",
            name="layout_minutes",
            field=models.PositiveSmallIntegerField(
                default=20,
                validators=[django.core.validators.MaxValueValidator(300)],
                verbose_name="minutes to make the layout",
            ),
        ),
    ]
