"""The light a person chose for the screen: none yet, so the device's own."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("matches", "0023_people_choose_words")]

    operations = [
        migrations.AddField(
            model_name="person",
            name="light",
            field=models.CharField(
                blank=True,
                choices=[("day", "Day"), ("sun", "Sun"), ("night", "Night")],
                db_default="",
                default="",
                max_length=5,
            ),
        ),
    ]
