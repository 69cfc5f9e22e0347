"""Every lot there was begins its ledger with what it holds."""

from __future__ import annotations

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def moves_begin(apps: Apps, _editor: BaseDatabaseSchemaEditor) -> None:
    lots = apps.get_model("bait", "LarderLot")
    moves = apps.get_model("bait", "LotMove")
    for lot in lots.objects.filter(amount__gt=0, moves__isnull=True).iterator():
        moves.objects.create(lot=lot, kind="corrected", amount=lot.amount)


class Migration(migrations.Migration):
    dependencies = (("bait", "0002_bait_desk"),)

    operations = (migrations.RunPython(moves_begin, migrations.RunPython.noop),)
