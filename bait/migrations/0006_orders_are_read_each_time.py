"""Whether an order still fits is read anew each time; what was kept of it goes."""

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("bait", "0005_orders_are_looked_at")]

    operations = [migrations.DeleteModel(name="OrderLook")]
