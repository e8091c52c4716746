from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('projects', '0002_shares_and_draft_steps'),
    ]

    operations = [
        migrations.RenameField(model_name='draftstep', old_name='before', new_name='other'),
        migrations.AddField(model_name='draftstep', name='undone', field=models.BooleanField(default=False)),
    ]
