"""One more kind of facts: which line is fished from now on."""

from importlib import import_module

from django.db import migrations, models

fixed = import_module("matches.migrations.0002_published_is_fixed")
keys = import_module("matches.migrations.0008_keys_of_phones")


def guard(apps, schema_editor):
    """SQLite makes the table anew for a constraint, and its triggers are gone with the old one."""
    fixed.guard_tables(schema_editor, keys.AFTER)


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0010_feed_is_timed_and_thrown"),
    ]

    operations = [
        migrations.RunPython(migrations.RunPython.noop, guard),
        migrations.AlterField(
            model_name="fact",
            name="kind",
            field=models.CharField(
                choices=[
                    ("weigh_in", "weigh-in"),
                    ("feed_note", "feed note"),
                    ("fish_note", "fish note"),
                    ("peg_note", "peg note"),
                    ("line_note", "line switch"),
                    ("feed_test", "jar test"),
                    ("feed_throw", "throw"),
                    ("signal", "signal"),
                    ("scratch", "scratch"),
                    ("ruling", "ruling"),
                ],
                max_length=12,
            ),
        ),
        migrations.RemoveConstraint(model_name="fact", name="fact_kind_known"),
        migrations.AddConstraint(
            model_name="fact",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "kind__in",
                        [
                            "weigh_in",
                            "feed_note",
                            "fish_note",
                            "peg_note",
                            "line_note",
                            "feed_test",
                            "feed_throw",
                            "signal",
                            "scratch",
                            "ruling",
                        ],
                    )
                ),
                name="fact_kind_known",
            ),
        ),
        migrations.RunPython(guard, migrations.RunPython.noop),
    ]
