from django.db import migrations, models


def read_history(apps, schema_editor):
    """Since when each unit out of service has been so: the oldest of its newest entries alike."""
    Unit = apps.get_model("gear", "Unit")
    entries = apps.get_model("gear", "HistoricalUnit").objects
    for unit in Unit.objects.exclude(state="in_service"):
        newest_first = entries.filter(id=unit.pk).order_by("-history_date", "-history_id")
        for entry in newest_first:
            if entry.state != unit.state:
                break
            unit.state_since = entry.history_date
        unit.save(update_fields=["state_since"])


class Migration(migrations.Migration):
    dependencies = [
        ("gear", "0004_levels_and_tone"),
    ]

    operations = [
        migrations.AddField(
            model_name="historicalunit",
            name="state_since",
            field=models.DateTimeField(blank=True, editable=False, null=True),
        ),
        migrations.AddField(
            model_name="unit",
            name="state_since",
            field=models.DateTimeField(blank=True, editable=False, null=True),
        ),
        migrations.RunPython(read_history, migrations.RunPython.noop),
    ]
