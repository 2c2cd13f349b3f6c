import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
        ('studio_sessions', '0017_words_of_help'),
    ]

    operations = [
        migrations.AddField(
            model_name='keptpaper',
            name='kind',
            field=models.CharField(default='recall sheet', help_text='The name of its PaperKind.', max_length=20),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name='keptpaper',
            name='title',
            field=models.TextField(default='Recall sheet'),
            preserve_default=False,
        ),
        migrations.RenameField(
            model_name='keptpaper',
            old_name='song',
            new_name='subject',
        ),
        migrations.AlterField(
            model_name='keptpaper',
            name='subject',
            field=models.PositiveBigIntegerField(help_text='The key of the song or the session.'),
        ),
        migrations.AlterField(
            model_name='keptpaper',
            name='address',
            field=models.TextField(help_text='Of the page that it belongs to.'),
        ),
        migrations.RemoveField(
            model_name='keptpaper',
            name='stamp',
        ),
        migrations.CreateModel(
            name='KnownPaper',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('stamp', models.CharField(max_length=64)),
                ('paper', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='known_to', to='studio_sessions.keptpaper')),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-pk'],
                'indexes': [models.Index(fields=['stamp'], name='known_paper_by_stamp')],
                'constraints': [models.UniqueConstraint(models.F('user'), models.F('paper'), name='paper_known_once_to_each')],
            },
        ),
    ]
