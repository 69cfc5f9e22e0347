"""What stood in the trail before becomes part of its chain, in the order it was numbered.

The digests are worked out as `matches.reckon.trail` does; written down here, so that what this
migration makes never changes with it.
"""

import datetime as dt
import hashlib
import json
import secrets

from django.db import migrations

BATCH = 500


def digest_of(body):
    text = json.dumps(
        body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )
    return hashlib.sha256(text.encode()).hexdigest()


def chain(apps, schema_editor):
    entries = apps.get_model("matches", "AuditEntry").objects
    heads = apps.get_model("matches", "TrailHead").objects
    for club in sorted(
        set(entries.order_by().values_list("club", flat=True)), key=lambda pk: pk or 0
    ):
        number, before, last = 0, "", 0
        while rows := list(entries.filter(club=club, pk__gt=last).order_by("pk")[:BATCH]):
            for row in rows:
                number += 1
                before = chain_row(row, number=number, before=before)
            entries.bulk_update(rows, ["number", "salt", "said", "digest"])
            last = rows[-1].pk
        heads.update_or_create(chain=club or 0, defaults={"length": number, "digest": before})


def chain_row(row, *, number, before):
    row.number = number
    row.salt = secrets.token_hex(16)
    row.said = digest_of({"detail": row.detail, "salt": row.salt, "subject": row.subject})
    row.digest = digest_of(
        {
            "at": row.at.astimezone(dt.UTC).isoformat(timespec="microseconds"),
            "before": before,
            "club": row.club_id,
            "number": number,
            "said": row.said,
            "verb": row.verb,
            "who": row.person_id,
        }
    )
    return row.digest


def unchain(apps, schema_editor):
    """Rows of no club have no place in the trail as it was."""
    apps.get_model("matches", "AuditEntry").objects.filter(club=None).delete()


class Migration(migrations.Migration):
    dependencies = [("matches", "0014_trail_is_chained")]
    operations = [migrations.RunPython(chain, unchain)]
