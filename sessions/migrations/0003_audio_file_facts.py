from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('studio_sessions', '0002_take_logged_at'),
    ]

    operations = [
        migrations.AlterField(
            model_name='audiofile',
            name='channel_layout',
            field=models.CharField(blank=True, max_length=400),
        ),
        migrations.AddField(
            model_name='audiofile',
            name='lossless',
            field=models.BooleanField(default=True),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name='audiofile',
            name='bext',
            field=models.JSONField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='audiofile',
            name='ixml',
            field=models.JSONField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='audiofile',
            name='notes',
            field=models.JSONField(blank=True, default=list),
        ),
    ]
