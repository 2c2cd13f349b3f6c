import django.contrib.messages.storage.cookie
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import sessions.clients.models
import sessions.songs.identifiers
import simple_history.models
import uuid
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("contenttypes", "0002_remove_content_type_name"),
        ("gear", "0001_first_release"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="CancellationTerms",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=80, unique=True)),
                (
                    "counted_from",
                    models.CharField(
                        choices=[
                            ("start", "Start of the session"),
                            ("booked_day", "Start of the session’s day"),
                        ],
                        default="start",
                        max_length=12,
                        verbose_name="notice is counted to",
                    ),
                ),
                (
                    "grace_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="How late a client may come before time counts from the booked start. 0: it always does.",
                        verbose_name="grace, minutes",
                    ),
                ),
                (
                    "moving_is_free",
                    models.BooleanField(
                        default=False, verbose_name="moving to another time is free"
                    ),
                ),
                (
                    "files_after_payment",
                    models.BooleanField(
                        default=False, verbose_name="files only after full payment"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
            ],
            options={
                "verbose_name_plural": "cancellation terms",
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="ChainGroup",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(help_text="Overheads, drums, main pair …", max_length=60),
                ),
                (
                    "arrangement",
                    models.CharField(
                        choices=[
                            ("coincident", "Coincident pair"),
                            ("near_coincident", "Near-coincident pair"),
                            ("spaced", "Spaced pair"),
                            ("mid_side", "Mid/side pair"),
                            ("group", "Group: drums, piano, strings …"),
                        ],
                        default="group",
                        max_length=15,
                    ),
                ),
                (
                    "spacing_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="From capsule to capsule.",
                        max_digits=6,
                        null=True,
                        verbose_name="spacing, cm",
                    ),
                ),
                (
                    "included_angle_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Between the axes of the two.",
                        max_digits=4,
                        null=True,
                        verbose_name="included angle, degrees",
                    ),
                ),
                (
                    "is_matched",
                    models.BooleanField(
                        default=True,
                        help_text="Of a pair: what is set on one is set on the other too, where it has the same panel at the same place in its path.",
                        verbose_name="settings alike",
                    ),
                ),
                ("note", models.TextField(blank=True)),
            ],
            options={
                "verbose_name": "group",
                "ordering": ["setup", "name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="SearchText",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("song", "Song"), ("session", "Session")], max_length=7
                    ),
                ),
                (
                    "subject",
                    models.PositiveBigIntegerField(help_text="The key of the song or session."),
                ),
                ("own", models.TextField(blank=True)),
                ("work", models.TextField(blank=True)),
                ("around", models.TextField(blank=True)),
                ("days", models.TextField(blank=True, help_text="On which it was worked on.")),
                ("days_around", models.TextField(blank=True)),
                (
                    "read_at",
                    models.DateTimeField(
                        db_index=True, help_text="Before its rows were read: it is as of then."
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        models.F("kind"), models.F("subject"), name="search_text_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Client",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=120, unique=True)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                ("phone", models.CharField(blank=True, max_length=40)),
                ("address", models.TextField(blank=True)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="LyricLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("text", models.CharField(max_length=200)),
                (
                    "place",
                    models.CharField(
                        blank=True,
                        help_text="Where it is sung from: bar and beat (bar 17, beat 3) or minutes and seconds.",
                        max_length=20,
                    ),
                ),
            ],
            options={
                "ordering": ["section", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="MixSetup",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Rough mixes of the band day, for example.", max_length=60
                    ),
                ),
            ],
            options={
                "ordering": ["project", "name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="RateCard",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=80, unique=True)),
                (
                    "currency",
                    models.CharField(
                        default="GBP",
                        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}$",
                                "Enter the three letters of the currency, such as GBP.",
                            )
                        ],
                    ),
                ),
                (
                    "minimum_minutes",
                    models.PositiveIntegerField(
                        default=120,
                        help_text="A shorter day is billed as this much.",
                        validators=[django.core.validators.MaxValueValidator(1440)],
                        verbose_name="minimum charge per day, minutes",
                    ),
                ),
                (
                    "step_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        help_text="Time is billed in whole steps; a started step counts in full.",
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="billing step, minutes",
                    ),
                ),
                (
                    "day_minutes",
                    models.PositiveIntegerField(
                        default=600,
                        help_text="From so much on a day, the day rate applies.",
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="hours of a day rate, minutes",
                    ),
                ),
                (
                    "overtime_after_minutes",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="Of work on one day. Empty: no overtime.",
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(1440)],
                        verbose_name="overtime after, minutes",
                    ),
                ),
                (
                    "overtime_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("50"),
                        help_text="On top of the hourly rate.",
                        max_digits=5,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="overtime surcharge, per cent",
                    ),
                ),
                (
                    "deposit_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("50"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="deposit, per cent",
                    ),
                ),
                (
                    "tax_name",
                    models.CharField(default="VAT", max_length=20, verbose_name="tax name"),
                ),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("20"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="tax, per cent",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Room",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=60, unique=True)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Section",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("name", models.CharField(max_length=60)),
                ("first_bar", models.PositiveSmallIntegerField(blank=True, null=True)),
            ],
            options={
                "ordering": ["song", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Worker",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=64, unique=True)),
                ("queue", models.CharField(default="*", max_length=32)),
                ("host", models.CharField(max_length=255)),
                ("pid", models.PositiveIntegerField()),
                ("signed_at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Block",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("maintenance", "Maintenance"),
                            ("holiday", "Holiday"),
                            ("leave", "Leave"),
                            ("house", "House use"),
                        ],
                        max_length=12,
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("starts_at", models.DateTimeField(verbose_name="starts")),
                ("ends_at", models.DateTimeField(verbose_name="ends")),
                ("note", models.TextField(blank=True)),
                ("removed", models.BooleanField(default=False)),
            ],
            options={
                "ordering": ["starts_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("starts_at__lt", models.F("ends_at"))),
                        name="block_ends_after_it_starts",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Chain",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("track", models.CharField(help_text="The recorded track’s name.", max_length=60)),
                (
                    "destination_input",
                    models.CharField(
                        blank=True, help_text="The recorder’s or interface’s input.", max_length=40
                    ),
                ),
                (
                    "summed_at",
                    models.CharField(
                        blank=True,
                        help_text="Where it is added to others that feed the same track: console bus 1 …",
                        max_length=60,
                    ),
                ),
                (
                    "taken_by",
                    models.CharField(
                        blank=True,
                        help_text="Where one source feeds several chains: direct, split 2, re-amplified return …",
                        max_length=60,
                        verbose_name="feed",
                    ),
                ),
                (
                    "seat",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("left", "Left"),
                            ("right", "Right"),
                            ("mid", "Mid"),
                            ("side", "Side"),
                            ("centre", "Centre"),
                        ],
                        max_length=6,
                        verbose_name="in the group",
                    ),
                ),
                (
                    "pinned",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="Which controls are changed while tracking: stage key, control key.",
                    ),
                ),
                (
                    "struck_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="Empty while it is set up: one that another took the place of is not.",
                        null=True,
                        verbose_name="struck at",
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="chains",
                        to="studio_sessions.chaingroup",
                    ),
                ),
            ],
            options={
                "ordering": ["setup", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Deliverable",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("rough_mix", "Rough mix"),
                            ("mix", "Mix"),
                            ("without_lead", "Mix without lead"),
                            ("instrumental", "Instrumental"),
                            ("a_cappella", "A cappella"),
                            ("clean", "Clean mix"),
                            ("vocal_up", "Vocal up"),
                            ("vocal_down", "Vocal down"),
                            ("stems", "Stems"),
                            ("multitrack", "Consolidated multitrack"),
                            ("session_archive", "Workstation session archive"),
                            ("documentation", "Documentation"),
                        ],
                        max_length=20,
                    ),
                ),
                ("version", models.PositiveSmallIntegerField(default=1)),
                (
                    "limiting",
                    models.CharField(
                        blank=True,
                        choices=[("with", "With limiter"), ("without", "Without limiter")],
                        max_length=7,
                        verbose_name="limiter",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("bar_one_seconds", models.FloatField(default=0.0)),
                ("batch", models.UUIDField(blank=True, null=True, unique=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "created_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-created_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="DeliverableFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("file", models.FileField(blank=True, max_length=255, upload_to="audio/%Y/%m")),
                ("original_name", models.CharField(max_length=255)),
                ("size_bytes", models.PositiveBigIntegerField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "Waiting to be measured"),
                            ("measuring", "Being measured"),
                            ("measured", "Measured"),
                            ("refused", "Refused"),
                            ("as_is", "Not sound"),
                        ],
                        default="waiting",
                        max_length=9,
                    ),
                ),
                ("progress_percent", models.PositiveSmallIntegerField(default=0)),
                ("refusal", models.TextField(blank=True)),
                ("uploaded_at", models.DateTimeField(auto_now_add=True)),
                ("sha256", models.CharField(blank=True, max_length=64)),
                ("container", models.CharField(blank=True, max_length=40)),
                ("codec", models.CharField(blank=True, max_length=40)),
                ("lossless", models.BooleanField(null=True)),
                ("sample_rate", models.PositiveIntegerField(blank=True, null=True)),
                ("bit_depth", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("valid_bits", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("channels", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("channel_layout", models.CharField(blank=True, max_length=400)),
                ("frames", models.PositiveBigIntegerField(blank=True, null=True)),
                ("duration_seconds", models.FloatField(blank=True, null=True)),
                ("sample_peak_dbfs", models.FloatField(blank=True, null=True)),
                ("true_peak_dbtp", models.FloatField(blank=True, null=True)),
                ("integrated_lufs", models.FloatField(blank=True, null=True)),
                ("loudness_range_lu", models.FloatField(blank=True, null=True)),
                ("max_momentary_lufs", models.FloatField(blank=True, null=True)),
                ("max_short_term_lufs", models.FloatField(blank=True, null=True)),
                ("dc_offsets", models.JSONField(blank=True, default=list)),
                ("clipped_runs", models.JSONField(blank=True, default=list)),
                ("clipped_run_count", models.PositiveIntegerField(default=0)),
                ("silent_frames_at_start", models.PositiveBigIntegerField(default=0)),
                ("silent_frames_at_end", models.PositiveBigIntegerField(default=0)),
                ("dead_channels", models.JSONField(blank=True, default=list)),
                ("identical_channels", models.JSONField(blank=True, default=list)),
                ("antiphase_channels", models.JSONField(blank=True, default=list)),
                ("waveform", models.JSONField(blank=True, default=list)),
                ("bext", models.JSONField(blank=True, null=True)),
                ("ixml", models.JSONField(blank=True, null=True)),
                ("notes", models.JSONField(blank=True, default=list)),
                ("measured_at", models.DateTimeField(blank=True, null=True)),
                (
                    "deliverable",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="files",
                        to="studio_sessions.deliverable",
                    ),
                ),
            ],
            options={
                "ordering": ["original_name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="DeliveredItem",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "deliverable",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.deliverable",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Delivery",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("papers", models.JSONField(blank=True, default=list)),
                ("message", models.TextField(blank=True)),
                ("expires_at", models.DateTimeField()),
                ("password", models.CharField(blank=True, max_length=128)),
                ("sent_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "withdrawn_why",
                    models.TextField(blank=True, verbose_name="why it was withdrawn"),
                ),
                (
                    "deliverables",
                    models.ManyToManyField(
                        related_name="deliveries",
                        through="studio_sessions.DeliveredItem",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "sent_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "withdrawn_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "deliveries",
                "ordering": ["-sent_at", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="delivereditem",
            name="delivery",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="items",
                to="studio_sessions.delivery",
            ),
        ),
        migrations.CreateModel(
            name="DeliveryRecipient",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(max_length=254, verbose_name="e-mail")),
                (
                    "delivery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="recipients",
                        to="studio_sessions.delivery",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="DeliveryLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("last_used_at", models.DateTimeField(blank=True, null=True)),
                ("times_used", models.PositiveIntegerField(default=0)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "recipient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="links",
                        to="studio_sessions.deliveryrecipient",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="DeliveryEvent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("opened", "Opened"),
                            ("listened", "Listened"),
                            ("downloaded", "Downloaded"),
                            ("noted", "Note"),
                            ("approved", "Approved"),
                            ("changes", "Changes wanted"),
                            ("received", "Received"),
                        ],
                        max_length=10,
                    ),
                ),
                ("said_by", models.CharField(blank=True, max_length=120)),
                ("text", models.TextField(blank=True)),
                ("at", models.DateTimeField()),
                (
                    "file",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.deliverablefile",
                    ),
                ),
                (
                    "recipient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="studio_sessions.deliveryrecipient",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HeadphoneMix",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("name", models.CharField(help_text="Singer, all four, drummer …", max_length=60)),
                (
                    "output",
                    models.CharField(
                        blank=True,
                        help_text="As the box is labelled: 2, left pair …",
                        max_length=40,
                    ),
                ),
                (
                    "level_dba",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(30),
                            django.core.validators.MaxValueValidator(140),
                        ],
                        verbose_name="level at the ear, dB(A)",
                    ),
                ),
                (
                    "minutes_a_day",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="minutes a day",
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="balance notes")),
                (
                    "box",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="headphone_mixes",
                        to="gear.unit",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "headphone mixes",
                "ordering": ["setup", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HeadphoneLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("source", models.CharField(blank=True, max_length=60)),
                ("level", models.CharField(max_length=40)),
                ("pan", models.CharField(blank=True, max_length=40)),
                (
                    "chain",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="headphone_lines",
                        to="studio_sessions.chain",
                    ),
                ),
                (
                    "mix",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="lines",
                        to="studio_sessions.headphonemix",
                    ),
                ),
            ],
            options={
                "ordering": ["mix", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalBlock",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("maintenance", "Maintenance"),
                            ("holiday", "Holiday"),
                            ("leave", "Leave"),
                            ("house", "House use"),
                        ],
                        max_length=12,
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("starts_at", models.DateTimeField(verbose_name="starts")),
                ("ends_at", models.DateTimeField(verbose_name="ends")),
                ("note", models.TextField(blank=True)),
                ("removed", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical block",
                "verbose_name_plural": "historical blocks",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalCancellationStep",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "applies_to",
                    models.CharField(
                        choices=[
                            ("all", "All sessions"),
                            ("hourly", "Sessions within one day"),
                            ("day", "One-day sessions"),
                            ("days", "Sessions over several days"),
                            ("same_day", "Sessions booked on their own day"),
                        ],
                        default="all",
                        max_length=10,
                    ),
                ),
                (
                    "notice_unit",
                    models.CharField(
                        choices=[
                            ("hours", "Hours"),
                            ("days", "Days"),
                            ("business_days", "Business days"),
                            ("months", "Calendar months"),
                            ("booked_length", "Times the booked length"),
                        ],
                        default="hours",
                        max_length=14,
                        verbose_name="notice is counted in",
                    ),
                ),
                (
                    "notice_from",
                    models.DecimalField(
                        decimal_places=2,
                        default=0,
                        help_text="Notice of exactly this length counts. 0: up to the start.",
                        max_digits=7,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="notice of at least",
                    ),
                ),
                (
                    "notice_below",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        help_text="Empty: no upper limit.",
                        max_digits=7,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="and less than",
                    ),
                ),
                (
                    "percent",
                    models.DecimalField(
                        decimal_places=2,
                        help_text="0 where nothing is charged.",
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="charge, per cent",
                    ),
                ),
                (
                    "charge_of",
                    models.CharField(
                        choices=[("fee", "Of the fee"), ("deposit", "Of the deposit")],
                        default="fee",
                        max_length=8,
                        verbose_name="charge of what",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "terms",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.cancellationterms",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical cancellation step",
                "verbose_name_plural": "historical cancellation steps",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalCancellationTerms",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(db_index=True, max_length=80)),
                (
                    "counted_from",
                    models.CharField(
                        choices=[
                            ("start", "Start of the session"),
                            ("booked_day", "Start of the session’s day"),
                        ],
                        default="start",
                        max_length=12,
                        verbose_name="notice is counted to",
                    ),
                ),
                (
                    "grace_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="How late a client may come before time counts from the booked start. 0: it always does.",
                        verbose_name="grace, minutes",
                    ),
                ),
                (
                    "moving_is_free",
                    models.BooleanField(
                        default=False, verbose_name="moving to another time is free"
                    ),
                ),
                (
                    "files_after_payment",
                    models.BooleanField(
                        default=False, verbose_name="files only after full payment"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical cancellation terms",
                "verbose_name_plural": "historical cancellation terms",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalChain",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("track", models.CharField(help_text="The recorded track’s name.", max_length=60)),
                (
                    "destination_input",
                    models.CharField(
                        blank=True, help_text="The recorder’s or interface’s input.", max_length=40
                    ),
                ),
                (
                    "summed_at",
                    models.CharField(
                        blank=True,
                        help_text="Where it is added to others that feed the same track: console bus 1 …",
                        max_length=60,
                    ),
                ),
                (
                    "taken_by",
                    models.CharField(
                        blank=True,
                        help_text="Where one source feeds several chains: direct, split 2, re-amplified return …",
                        max_length=60,
                        verbose_name="feed",
                    ),
                ),
                (
                    "seat",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("left", "Left"),
                            ("right", "Right"),
                            ("mid", "Mid"),
                            ("side", "Side"),
                            ("centre", "Centre"),
                        ],
                        max_length=6,
                        verbose_name="in the group",
                    ),
                ),
                (
                    "struck_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="Empty while it is set up: one that another took the place of is not.",
                        null=True,
                        verbose_name="struck at",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.chaingroup",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical chain",
                "verbose_name_plural": "historical chains",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalClient",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(db_index=True, max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                ("phone", models.CharField(blank=True, max_length=40)),
                ("address", models.TextField(blank=True)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical client",
                "verbose_name_plural": "historical clients",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalHeadphoneLine",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("source", models.CharField(blank=True, max_length=60)),
                ("level", models.CharField(max_length=40)),
                ("pan", models.CharField(blank=True, max_length=40)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "chain",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.chain",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "mix",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.headphonemix",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical headphone line",
                "verbose_name_plural": "historical headphone lines",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalHeadphoneMix",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("name", models.CharField(help_text="Singer, all four, drummer …", max_length=60)),
                (
                    "output",
                    models.CharField(
                        blank=True,
                        help_text="As the box is labelled: 2, left pair …",
                        max_length=40,
                    ),
                ),
                (
                    "level_dba",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(30),
                            django.core.validators.MaxValueValidator(140),
                        ],
                        verbose_name="level at the ear, dB(A)",
                    ),
                ),
                (
                    "minutes_a_day",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="minutes a day",
                    ),
                ),
                ("note", models.TextField(blank=True, verbose_name="balance notes")),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "box",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical headphone mix",
                "verbose_name_plural": "historical headphone mixes",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalHouseRules",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "challenge_hours",
                    models.PositiveSmallIntegerField(
                        default=24,
                        help_text="24 to 48. A hold that is not confirmed by then lapses.",
                        validators=[
                            django.core.validators.MinValueValidator(24),
                            django.core.validators.MaxValueValidator(48),
                        ],
                        verbose_name="time to answer a challenge, hours",
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        default="GBP",
                        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}$",
                                "Enter the three letters of the currency, such as GBP.",
                            )
                        ],
                    ),
                ),
                ("tax_name", models.CharField(default="VAT", max_length=20, verbose_name="tax")),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("20"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="tax rate, per cent",
                    ),
                ),
                (
                    "sender",
                    models.EmailField(
                        blank=True,
                        help_text="Notices are sent from this address.",
                        max_length=254,
                        verbose_name="e-mail sender",
                    ),
                ),
                (
                    "phone",
                    models.CharField(
                        blank=True,
                        help_text="Told to whoever opens a link that has ended.",
                        max_length=40,
                        verbose_name="telephone",
                    ),
                ),
                ("calendar_namespace", models.UUIDField(default=uuid.uuid4, editable=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical house rules",
                "verbose_name_plural": "historical house ruless",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalPerson",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                ("phone", models.CharField(blank=True, max_length=40)),
                (
                    "does",
                    models.CharField(
                        blank=True,
                        help_text="Recording engineer, fiddle, tour manager …",
                        max_length=120,
                        verbose_name="role",
                    ),
                ),
                (
                    "bookable",
                    models.BooleanField(
                        default=False,
                        help_text="Can be reserved for a session, as staff and freelancers can.",
                    ),
                ),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "client",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="The client they are a contact or member of.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.client",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="The sign-in account of this person, if they have one.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="signs in as",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical person",
                "verbose_name_plural": "historical persons",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalProject",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("artist", models.CharField(max_length=120)),
                (
                    "sample_rate",
                    models.PositiveIntegerField(
                        choices=[
                            (44100, "44.1 kHz"),
                            (48000, "48 kHz"),
                            (88200, "88.2 kHz"),
                            (96000, "96 kHz"),
                            (176400, "176.4 kHz"),
                            (192000, "192 kHz"),
                        ],
                        default=48000,
                    ),
                ),
                (
                    "bit_depth",
                    models.PositiveSmallIntegerField(
                        choices=[(16, "16 bit"), (24, "24 bit"), (32, "32 bit float")], default=24
                    ),
                ),
                (
                    "full_scale_dbu",
                    models.DecimalField(
                        decimal_places=1,
                        default=Decimal("18"),
                        help_text="The converter’s alignment: +18.0 dBu by EBU R 68, +24.0 dBu where +4.0 dBu reads −20.0 dBFS.",
                        max_digits=4,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(30),
                        ],
                        verbose_name="analogue level of full scale, dBu",
                    ),
                ),
                (
                    "file_naming",
                    models.CharField(
                        blank=True,
                        help_text="How delivered files are named, as agreed with the client: fields in braces and what stands between, for example {artist}_{song}_{mixer}{revision}_{version}_{rate}k{depth}. Fields: artist, song, mixer, revision, version, part, take, date, rate, depth.",
                        max_length=120,
                        validators=[sessions.clients.models.clean_naming],
                    ),
                ),
                ("delivery_rules", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "client",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.client",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical project",
                "verbose_name_plural": "historical projects",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalRateCard",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(db_index=True, max_length=80)),
                (
                    "currency",
                    models.CharField(
                        default="GBP",
                        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}$",
                                "Enter the three letters of the currency, such as GBP.",
                            )
                        ],
                    ),
                ),
                (
                    "minimum_minutes",
                    models.PositiveIntegerField(
                        default=120,
                        help_text="A shorter day is billed as this much.",
                        validators=[django.core.validators.MaxValueValidator(1440)],
                        verbose_name="minimum charge per day, minutes",
                    ),
                ),
                (
                    "step_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        help_text="Time is billed in whole steps; a started step counts in full.",
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="billing step, minutes",
                    ),
                ),
                (
                    "day_minutes",
                    models.PositiveIntegerField(
                        default=600,
                        help_text="From so much on a day, the day rate applies.",
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1440),
                        ],
                        verbose_name="hours of a day rate, minutes",
                    ),
                ),
                (
                    "overtime_after_minutes",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="Of work on one day. Empty: no overtime.",
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(1440)],
                        verbose_name="overtime after, minutes",
                    ),
                ),
                (
                    "overtime_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("50"),
                        help_text="On top of the hourly rate.",
                        max_digits=5,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="overtime surcharge, per cent",
                    ),
                ),
                (
                    "deposit_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("50"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="deposit, per cent",
                    ),
                ),
                (
                    "tax_name",
                    models.CharField(default="VAT", max_length=20, verbose_name="tax name"),
                ),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("20"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="tax, per cent",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical rate card",
                "verbose_name_plural": "historical rate cards",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalRevision",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("fixed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("created_at", models.DateTimeField(blank=True, editable=False)),
                (
                    "source_spl_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(160),
                        ],
                        verbose_name="source level, dB SPL",
                    ),
                ),
                (
                    "source_distance_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Empty: at the microphone.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(Decimal("0.1"))],
                        verbose_name="level measured at, cm",
                    ),
                ),
                (
                    "source_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Of an instrument or a player that comes in by cable.",
                        max_digits=5,
                        null=True,
                        verbose_name="source level, dBu",
                    ),
                ),
                (
                    "tone_hz",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=7,
                        null=True,
                        verbose_name="test tone, Hz",
                    ),
                ),
                (
                    "tone_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        help_text="Fed into the first input after the source.",
                        max_digits=5,
                        null=True,
                        verbose_name="test tone, dBu",
                    ),
                ),
                (
                    "readings_from",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        editable=False,
                        help_text="The number of the revision on which the units’ levels were read.",
                        null=True,
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "wiring",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="How the bays were wired when it was fixed.",
                    ),
                ),
                (
                    "format",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What the project was recorded as when it was fixed.",
                    ),
                ),
                (
                    "grouped",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What its group was when it was fixed.",
                    ),
                ),
                (
                    "sourced",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What its source was when it was fixed.",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "chain",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.chain",
                    ),
                ),
                (
                    "created_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical revision",
                "verbose_name_plural": "historical revisions",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalRoom",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(db_index=True, max_length=60)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "historical room",
                "verbose_name_plural": "historical rooms",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HouseRules",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "challenge_hours",
                    models.PositiveSmallIntegerField(
                        default=24,
                        help_text="24 to 48. A hold that is not confirmed by then lapses.",
                        validators=[
                            django.core.validators.MinValueValidator(24),
                            django.core.validators.MaxValueValidator(48),
                        ],
                        verbose_name="time to answer a challenge, hours",
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        default="GBP",
                        help_text="Three letters by ISO 4217: GBP, EUR, USD …",
                        max_length=3,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z]{3}$",
                                "Enter the three letters of the currency, such as GBP.",
                            )
                        ],
                    ),
                ),
                ("tax_name", models.CharField(default="VAT", max_length=20, verbose_name="tax")),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("20"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="tax rate, per cent",
                    ),
                ),
                (
                    "sender",
                    models.EmailField(
                        blank=True,
                        help_text="Notices are sent from this address.",
                        max_length=254,
                        verbose_name="e-mail sender",
                    ),
                ),
                (
                    "phone",
                    models.CharField(
                        blank=True,
                        help_text="Told to whoever opens a link that has ended.",
                        max_length=40,
                        verbose_name="telephone",
                    ),
                ),
                ("calendar_namespace", models.UUIDField(default=uuid.uuid4, editable=False)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("pk", 1)), name="house_rules_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("challenge_hours__gte", 24), ("challenge_hours__lte", 48)
                        ),
                        name="challenge_hours_24_to_48",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportedSheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("data", models.JSONField(help_text="As the schema of the recall data says.")),
                ("file_name", models.CharField(max_length=200)),
                (
                    "studio",
                    models.CharField(blank=True, max_length=200, verbose_name="from the studio"),
                ),
                (
                    "title",
                    models.CharField(blank=True, max_length=200, verbose_name="its title there"),
                ),
                ("imported_at", models.DateTimeField(auto_now_add=True)),
                (
                    "imported_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-imported_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Letter",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("to", models.EmailField(max_length=254)),
                (
                    "kind",
                    models.CharField(
                        help_text="What it tells: confirmed, moved_up, summary…", max_length=30
                    ),
                ),
                ("about_id", models.PositiveBigIntegerField()),
                ("subject", models.CharField(max_length=250)),
                ("body", models.TextField()),
                (
                    "secret",
                    models.CharField(
                        blank=True,
                        help_text="Stands in the body, until that has been sent.",
                        max_length=500,
                    ),
                ),
                (
                    "sender",
                    models.EmailField(
                        blank=True,
                        help_text="Empty: the setting DEFAULT_FROM_EMAIL.",
                        max_length=254,
                    ),
                ),
                ("message_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("written_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "state",
                    models.CharField(
                        choices=[("waiting", "Waiting"), ("sent", "Sent"), ("failed", "Failed")],
                        default="waiting",
                        max_length=7,
                    ),
                ),
                ("taken_up_at", models.DateTimeField(blank=True, null=True)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("error", models.TextField(blank=True)),
                (
                    "about_type",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="contenttypes.contenttype",
                    ),
                ),
                (
                    "written_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-written_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="LetterFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=100)),
                ("content_type", models.CharField(max_length=100)),
                ("content", models.BinaryField()),
                (
                    "letter",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="files",
                        to="studio_sessions.letter",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="LightCopy",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("wanted_at", models.DateTimeField(auto_now_add=True)),
                ("made_at", models.DateTimeField(blank=True, null=True)),
                ("failure", models.TextField(blank=True)),
                ("file", models.FileField(blank=True, max_length=255, upload_to="light_copies")),
                ("sha256", models.CharField(blank=True, max_length=64)),
                ("size_bytes", models.PositiveBigIntegerField(blank=True, null=True)),
                ("codec", models.CharField(blank=True, max_length=40)),
                ("bit_rate", models.PositiveIntegerField(blank=True, null=True)),
                ("channels", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("duration_seconds", models.FloatField(blank=True, null=True)),
                ("integrated_lufs", models.FloatField(blank=True, null=True)),
                ("true_peak_dbtp", models.FloatField(blank=True, null=True)),
                (
                    "source",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="light_copy",
                        to="studio_sessions.deliverablefile",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "light copies",
            },
        ),
        migrations.CreateModel(
            name="MixRevision",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("fixed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "workstation",
                    models.CharField(
                        blank=True,
                        help_text="Program and version, session file, and what runs in it, in words.",
                        max_length=200,
                        verbose_name="workstation",
                    ),
                ),
                (
                    "monitor_level",
                    models.CharField(
                        blank=True,
                        help_text="Where the monitor control stood, and what that came to at the chair.",
                        max_length=200,
                        verbose_name="monitor level",
                    ),
                ),
                (
                    "print_input",
                    models.CharField(
                        blank=True,
                        help_text="The converter’s inputs that the stereo bus goes to.",
                        max_length=60,
                        verbose_name="printed through",
                    ),
                ),
                (
                    "printed_as",
                    models.CharField(
                        blank=True,
                        help_text="File or track, rate and depth.",
                        max_length=120,
                        verbose_name="printed as",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "created_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="revisions",
                        to="studio_sessions.mixsetup",
                    ),
                ),
            ],
            options={
                "ordering": ["setup", "number"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalMixStrip",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("channel", "Channel"),
                            ("return", "Return"),
                            ("bus", "Bus"),
                            ("stereo_bus", "Stereo bus"),
                        ],
                        default="channel",
                        max_length=10,
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                (
                    "plays",
                    models.CharField(blank=True, help_text="Tracks or stem.", max_length=120),
                ),
                (
                    "played_from",
                    models.CharField(
                        blank=True, help_text="The converter’s output.", max_length=60
                    ),
                ),
                ("fader_db", models.FloatField(blank=True, null=True)),
                ("pan", models.FloatField(blank=True, null=True)),
                ("is_muted", models.BooleanField(default=False, verbose_name="muted")),
                (
                    "feeds",
                    models.CharField(
                        blank=True,
                        help_text="The bus, by its name; empty: the stereo bus.",
                        max_length=40,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixrevision",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix strip",
                "verbose_name_plural": "historical mix strips",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="deliverable",
            name="mix_revision",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="deliverables",
                to="studio_sessions.mixrevision",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalMixRevision",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("fixed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("created_at", models.DateTimeField(blank=True, editable=False)),
                (
                    "workstation",
                    models.CharField(
                        blank=True,
                        help_text="Program and version, session file, and what runs in it, in words.",
                        max_length=200,
                        verbose_name="workstation",
                    ),
                ),
                (
                    "monitor_level",
                    models.CharField(
                        blank=True,
                        help_text="Where the monitor control stood, and what that came to at the chair.",
                        max_length=200,
                        verbose_name="monitor level",
                    ),
                ),
                (
                    "print_input",
                    models.CharField(
                        blank=True,
                        help_text="The converter’s inputs that the stereo bus goes to.",
                        max_length=60,
                        verbose_name="printed through",
                    ),
                ),
                (
                    "printed_as",
                    models.CharField(
                        blank=True,
                        help_text="File or track, rate and depth.",
                        max_length=120,
                        verbose_name="printed as",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "created_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixsetup",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix revision",
                "verbose_name_plural": "historical mix revisions",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="MixStrip",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("channel", "Channel"),
                            ("return", "Return"),
                            ("bus", "Bus"),
                            ("stereo_bus", "Stereo bus"),
                        ],
                        default="channel",
                        max_length=10,
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                (
                    "plays",
                    models.CharField(blank=True, help_text="Tracks or stem.", max_length=120),
                ),
                (
                    "played_from",
                    models.CharField(
                        blank=True, help_text="The converter’s output.", max_length=60
                    ),
                ),
                ("fader_db", models.FloatField(blank=True, null=True)),
                ("pan", models.FloatField(blank=True, null=True)),
                ("is_muted", models.BooleanField(default=False, verbose_name="muted")),
                (
                    "feeds",
                    models.CharField(
                        blank=True,
                        help_text="The bus, by its name; empty: the stereo bus.",
                        max_length=40,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "revision",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="strips",
                        to="studio_sessions.mixrevision",
                    ),
                ),
            ],
            options={
                "ordering": ["revision", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="MixSend",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("to", models.CharField(max_length=40)),
                ("level", models.CharField(blank=True, max_length=20)),
                (
                    "tap",
                    models.CharField(
                        choices=[("post", "after the fader"), ("pre", "before the fader")],
                        default="post",
                        max_length=4,
                    ),
                ),
                (
                    "strip",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sends",
                        to="studio_sessions.mixstrip",
                    ),
                ),
            ],
            options={
                "ordering": ["strip", "pk"],
            },
        ),
        migrations.CreateModel(
            name="MixInsert",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "channel",
                    models.PositiveSmallIntegerField(
                        blank=True, help_text="Of a unit with several: which of them.", null=True
                    ),
                ),
                ("snapshot", models.JSONField(blank=True, default=dict, editable=False)),
                ("note", models.TextField(blank=True)),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="gear.panel",
                    ),
                ),
                (
                    "patch_in",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss_in",
                        to="gear.patchpoint",
                        verbose_name="patched in at",
                    ),
                ),
                (
                    "patch_out",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss_out",
                        to="gear.patchpoint",
                        verbose_name="patched out at",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="gear.unit",
                    ),
                ),
                (
                    "strip",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="inserts",
                        to="studio_sessions.mixstrip",
                    ),
                ),
            ],
            options={
                "ordering": ["strip", "position", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalMixSend",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("to", models.CharField(max_length=40)),
                ("level", models.CharField(blank=True, max_length=20)),
                (
                    "tap",
                    models.CharField(
                        choices=[("post", "after the fader"), ("pre", "before the fader")],
                        default="post",
                        max_length=4,
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "strip",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixstrip",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix send",
                "verbose_name_plural": "historical mix sends",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalMixInsert",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "channel",
                    models.PositiveSmallIntegerField(
                        blank=True, help_text="Of a unit with several: which of them.", null=True
                    ),
                ),
                ("snapshot", models.JSONField(blank=True, default=dict, editable=False)),
                ("note", models.TextField(blank=True)),
                ("position", models.PositiveSmallIntegerField()),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.panel",
                    ),
                ),
                (
                    "patch_in",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.patchpoint",
                        verbose_name="patched in at",
                    ),
                ),
                (
                    "patch_out",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.patchpoint",
                        verbose_name="patched out at",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "strip",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixstrip",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix insert",
                "verbose_name_plural": "historical mix inserts",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="NullTest",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "Waiting"),
                            ("running", "Under way"),
                            ("done", "Done"),
                            ("failed", "Failed"),
                        ],
                        default="waiting",
                        max_length=7,
                    ),
                ),
                ("names", models.JSONField(blank=True, default=list)),
                ("rate", models.PositiveIntegerField(blank=True, null=True)),
                ("bits", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("figures", models.JSONField(blank=True, null=True)),
                ("refusal", models.TextField(blank=True)),
                ("started_at", models.DateTimeField(auto_now_add=True)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "mix",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.deliverablefile",
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "stems",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="null_tests",
                        to="studio_sessions.deliverable",
                    ),
                ),
            ],
            options={
                "ordering": ["-pk"],
            },
        ),
        migrations.CreateModel(
            name="Part",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("name", models.CharField(max_length=60)),
                (
                    "is_guide",
                    models.BooleanField(
                        default=False,
                        help_text="To play to; other parts are recorded to replace it.",
                        verbose_name="guide or demo",
                    ),
                ),
                (
                    "relation",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("doubles", "doubles"),
                            ("harmony", "harmony to"),
                            ("replaces", "replaces"),
                        ],
                        max_length=8,
                        verbose_name="beside another part",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "related_to",
                    models.ForeignKey(
                        blank=True,
                        help_text="The part that it doubles, sings a harmony to, or replaces.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="related",
                        to="studio_sessions.part",
                        verbose_name="which part",
                    ),
                ),
            ],
            options={
                "ordering": ["song", "position", "name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalChain_parts",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                (
                    "chain",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.chain",
                    ),
                ),
                (
                    "history",
                    models.ForeignKey(
                        db_constraint=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="studio_sessions.historicalchain",
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.part",
                    ),
                ),
            ],
            options={
                "verbose_name": "HistoricalChain_parts",
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="chain",
            name="parts",
            field=models.ManyToManyField(
                blank=True,
                help_text="What it carries, of all songs. None: whatever is recorded, as room microphones do.",
                related_name="chains",
                to="studio_sessions.part",
            ),
        ),
        migrations.CreateModel(
            name="Person",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                ("phone", models.CharField(blank=True, max_length=40)),
                (
                    "does",
                    models.CharField(
                        blank=True,
                        help_text="Recording engineer, fiddle, tour manager …",
                        max_length=120,
                        verbose_name="role",
                    ),
                ),
                (
                    "bookable",
                    models.BooleanField(
                        default=False,
                        help_text="Can be reserved for a session, as staff and freelancers can.",
                    ),
                ),
                ("retired", models.BooleanField(default=False)),
                (
                    "client",
                    models.ForeignKey(
                        blank=True,
                        help_text="The client they are a contact or member of.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="people",
                        to="studio_sessions.client",
                    ),
                ),
                (
                    "user",
                    models.OneToOneField(
                        blank=True,
                        help_text="The sign-in account of this person, if they have one.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="person",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="signs in as",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.AddField(
            model_name="part",
            name="performer",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="parts",
                to="studio_sessions.person",
            ),
        ),
        migrations.CreateModel(
            name="Medium",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="As it is written on it.",
                        max_length=60,
                        unique=True,
                        verbose_name="label",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("disc", "Hard disc"),
                            ("solid_state", "Solid-state drive"),
                            ("server", "Server or network storage"),
                            ("remote", "Storage elsewhere, over the network"),
                            ("tape", "Data tape"),
                            ("optical", "Optical disc"),
                            ("other", "Other"),
                        ],
                        default="disc",
                        max_length=11,
                    ),
                ),
                ("serial_number", models.CharField(blank=True, max_length=60)),
                (
                    "folder",
                    models.CharField(
                        blank=True, help_text="Where on it, if it is not all of it.", max_length=200
                    ),
                ),
                (
                    "place",
                    models.CharField(
                        help_text="Machine room, shelf 2; the client’s safe …", max_length=120
                    ),
                ),
                (
                    "is_off_site",
                    models.BooleanField(default=False, verbose_name="kept outside the house"),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                (
                    "client",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="media",
                        to="studio_sessions.client",
                        verbose_name="owning client",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="media",
                        to="studio_sessions.person",
                        verbose_name="owning person",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "media",
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalMedium",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        db_index=True,
                        help_text="As it is written on it.",
                        max_length=60,
                        verbose_name="label",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("disc", "Hard disc"),
                            ("solid_state", "Solid-state drive"),
                            ("server", "Server or network storage"),
                            ("remote", "Storage elsewhere, over the network"),
                            ("tape", "Data tape"),
                            ("optical", "Optical disc"),
                            ("other", "Other"),
                        ],
                        default="disc",
                        max_length=11,
                    ),
                ),
                ("serial_number", models.CharField(blank=True, max_length=60)),
                (
                    "folder",
                    models.CharField(
                        blank=True, help_text="Where on it, if it is not all of it.", max_length=200
                    ),
                ),
                (
                    "place",
                    models.CharField(
                        help_text="Machine room, shelf 2; the client’s safe …", max_length=120
                    ),
                ),
                (
                    "is_off_site",
                    models.BooleanField(default=False, verbose_name="kept outside the house"),
                ),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "client",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.client",
                        verbose_name="owning client",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                        verbose_name="owning person",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical medium",
                "verbose_name_plural": "historical media",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalHeadphoneMix_listeners",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                (
                    "headphonemix",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.headphonemix",
                    ),
                ),
                (
                    "history",
                    models.ForeignKey(
                        db_constraint=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="studio_sessions.historicalheadphonemix",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
            ],
            options={
                "verbose_name": "HistoricalHeadphoneMix_listeners",
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="headphonemix",
            name="listeners",
            field=models.ManyToManyField(
                blank=True,
                related_name="headphone_mixes",
                to="studio_sessions.person",
                verbose_name="who hears it",
            ),
        ),
        migrations.AddField(
            model_name="deliveryrecipient",
            name="person",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="studio_sessions.person",
            ),
        ),
        migrations.CreateModel(
            name="Press",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64)),
                ("location", models.TextField()),
                (
                    "messages",
                    models.JSONField(
                        decoder=django.contrib.messages.storage.cookie.MessageDecoder,
                        default=list,
                        encoder=django.contrib.messages.storage.cookie.MessageEncoder,
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True, db_index=True)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "presses",
            },
        ),
        migrations.CreateModel(
            name="Project",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("artist", models.CharField(max_length=120)),
                (
                    "sample_rate",
                    models.PositiveIntegerField(
                        choices=[
                            (44100, "44.1 kHz"),
                            (48000, "48 kHz"),
                            (88200, "88.2 kHz"),
                            (96000, "96 kHz"),
                            (176400, "176.4 kHz"),
                            (192000, "192 kHz"),
                        ],
                        default=48000,
                    ),
                ),
                (
                    "bit_depth",
                    models.PositiveSmallIntegerField(
                        choices=[(16, "16 bit"), (24, "24 bit"), (32, "32 bit float")], default=24
                    ),
                ),
                (
                    "full_scale_dbu",
                    models.DecimalField(
                        decimal_places=1,
                        default=Decimal("18"),
                        help_text="The converter’s alignment: +18.0 dBu by EBU R 68, +24.0 dBu where +4.0 dBu reads −20.0 dBFS.",
                        max_digits=4,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(30),
                        ],
                        verbose_name="analogue level of full scale, dBu",
                    ),
                ),
                (
                    "file_naming",
                    models.CharField(
                        blank=True,
                        help_text="How delivered files are named, as agreed with the client: fields in braces and what stands between, for example {artist}_{song}_{mixer}{revision}_{version}_{rate}k{depth}. Fields: artist, song, mixer, revision, version, part, take, date, rate, depth.",
                        max_length=120,
                        validators=[sessions.clients.models.clean_naming],
                    ),
                ),
                ("delivery_rules", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True)),
                ("retired", models.BooleanField(default=False)),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="projects",
                        to="studio_sessions.client",
                    ),
                ),
                (
                    "mix_engineers",
                    models.ManyToManyField(
                        blank=True,
                        help_text="They can see this project and its songs. Only people who sign in are listed.",
                        related_name="mixes",
                        to="studio_sessions.person",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.AddField(
            model_name="mixsetup",
            name="project",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="mix_setups",
                to="studio_sessions.project",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalSong",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                (
                    "key",
                    models.CharField(blank=True, help_text="D minor, for example.", max_length=20),
                ),
                (
                    "meter",
                    models.CharField(
                        blank=True,
                        help_text="4/4, for example; where it changes, with the bars: 1: 4/4, 17: 3/4.",
                        max_length=120,
                        verbose_name="time signature",
                    ),
                ),
                (
                    "tempo_map",
                    models.JSONField(
                        blank=True, default=list, help_text='[{"bar": 1, "bpm": 96}] and so on.'
                    ),
                ),
                ("last_bar", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "iswc",
                    models.CharField(
                        blank=True,
                        max_length=20,
                        validators=[sessions.songs.identifiers.clean_iswc],
                        verbose_name="ISWC",
                    ),
                ),
                (
                    "isrc",
                    models.CharField(
                        blank=True,
                        max_length=20,
                        validators=[sessions.songs.identifiers.clean_isrc],
                        verbose_name="ISRC of the recording",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical song",
                "verbose_name_plural": "historical songs",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalProject_mix_engineers",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                (
                    "history",
                    models.ForeignKey(
                        db_constraint=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="studio_sessions.historicalproject",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "verbose_name": "HistoricalProject_mix_engineers",
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalMixSetup",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Rough mixes of the band day, for example.", max_length=60
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix setup",
                "verbose_name_plural": "historical mix setups",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalApprovedRecipient",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(blank=True, max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical approved recipient",
                "verbose_name_plural": "historical approved recipients",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="Handover",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        help_text="Drive with all sessions; two optical discs …", max_length=200
                    ),
                ),
                (
                    "signed_by",
                    models.CharField(
                        help_text="Typed by whoever receives it: it counts as signed.",
                        max_length=120,
                        verbose_name="received by",
                    ),
                ),
                ("on_behalf_of", models.CharField(blank=True, max_length=120)),
                ("signed_at", models.DateTimeField(auto_now_add=True)),
                ("note", models.TextField(blank=True)),
                (
                    "handed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "medium",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handovers",
                        to="studio_sessions.medium",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handovers",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "ordering": ["project", "-signed_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="ApprovedRecipient",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(blank=True, max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="approved_recipients",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="Rebuild",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("started_at", models.DateTimeField(auto_now_add=True)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("note", models.TextField(blank=True)),
                (
                    "finished_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "imported",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rebuilds",
                        to="studio_sessions.importedsheet",
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-started_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="RebuildStep",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("chain_number", models.PositiveSmallIntegerField()),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "outside_unit",
                    models.CharField(
                        blank=True,
                        help_text="One that isn’t in the gear: hired.",
                        max_length=80,
                        verbose_name="unit from outside",
                    ),
                ),
                ("is_left_out", models.BooleanField(default=False)),
                ("channel", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("in_place_at", models.DateTimeField(blank=True, null=True)),
                (
                    "chosen_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="When its unit was last chosen by hand.",
                        null=True,
                    ),
                ),
                (
                    "tone_reading_dbu",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=5, null=True),
                ),
                ("tone_read_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("note", models.TextField(blank=True)),
                (
                    "in_place_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="gear.panel",
                    ),
                ),
                (
                    "rebuild",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="steps",
                        to="studio_sessions.rebuild",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rebuild_steps",
                        to="gear.unit",
                    ),
                ),
            ],
            options={
                "ordering": ["rebuild", "chain_number", "position"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalTick",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "key",
                    models.SlugField(
                        help_text="Of the control on the step’s panel.", max_length=40
                    ),
                ),
                ("value", models.FloatField(blank=True, null=True)),
                ("ticked_at", models.DateTimeField(blank=True, editable=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "ticked_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "step",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.rebuildstep",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical tick",
                "verbose_name_plural": "historical ticks",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="RecordingSession",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("starts_at", models.DateTimeField(verbose_name="starts")),
                ("ends_at", models.DateTimeField(verbose_name="ends")),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("enquiry", "Enquiry"),
                            ("held", "Held"),
                            ("confirmed", "Confirmed"),
                            ("under_way", "Under way"),
                            ("wrapped", "Wrapped"),
                            ("cancelled", "Cancelled"),
                        ],
                        default="held",
                        max_length=10,
                    ),
                ),
                (
                    "status_since",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "lockout",
                    models.BooleanField(
                        default=False,
                        help_text="The rooms are kept overnight and the gear stays set up; hours are planned within it.",
                    ),
                ),
                ("lapsed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                (
                    "discount_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=0,
                        help_text="Taken off every line, before tax.",
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="discount, per cent",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "left_to_do",
                    models.TextField(
                        blank=True,
                        help_text="What the next session has to finish; shown on the session report.",
                    ),
                ),
                (
                    "cancellation_terms",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sessions",
                        to="studio_sessions.cancellationterms",
                    ),
                ),
                (
                    "faults",
                    models.ManyToManyField(
                        blank=True, related_name="recording_sessions", to="gear.fault"
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="recording_sessions",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "rate_card",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sessions",
                        to="studio_sessions.ratecard",
                    ),
                ),
            ],
            options={
                "ordering": ["starts_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="MoneyPaper",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("quote", "Quote"), ("work_order", "Work order")], max_length=10
                    ),
                ),
                ("number", models.PositiveIntegerField()),
                ("issued_at", models.DateTimeField(auto_now_add=True)),
                ("currency", models.CharField(max_length=3)),
                ("lines", models.JSONField(default=list)),
                (
                    "as_issued",
                    models.JSONField(
                        default=dict,
                        help_text="Everything else on it: heading, hours, rules and terms, in words.",
                    ),
                ),
                ("net", models.DecimalField(decimal_places=2, max_digits=12)),
                ("tax", models.DecimalField(decimal_places=2, max_digits=12)),
                ("total", models.DecimalField(decimal_places=2, max_digits=12)),
                ("deposit", models.DecimalField(decimal_places=2, default=0, max_digits=12)),
                ("valid_until", models.DateField(blank=True, null=True)),
                ("note", models.TextField(blank=True)),
                (
                    "issued_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="money_papers",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "ordering": ["-issued_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="MediaCopy",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "holds",
                    models.CharField(
                        choices=[
                            ("session_data", "Session data: workstation file and audio"),
                            ("deliverables", "Deliverables"),
                            ("all", "All of the project"),
                        ],
                        default="session_data",
                        max_length=12,
                    ),
                ),
                (
                    "folder",
                    models.CharField(blank=True, help_text="Where on the medium.", max_length=200),
                ),
                (
                    "verified_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="verified"
                    ),
                ),
                ("verified_how", models.CharField(blank=True, editable=False, max_length=120)),
                ("kept_until", models.DateField(blank=True, null=True, verbose_name="kept until")),
                (
                    "told_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="client told"
                    ),
                ),
                ("told_how", models.CharField(blank=True, editable=False, max_length=120)),
                (
                    "removed_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="removed"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "deliverable",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="copies",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "removed_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "told_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "verified_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "medium",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="copies",
                        to="studio_sessions.medium",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="copies",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        help_text="None: all that there was on the day that it was verified.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="copies",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "copy",
                "verbose_name_plural": "copies",
                "ordering": ["project", "removed_at", "medium", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalWorkedHours",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("planned", "Planned"), ("actual", "Actual")], max_length=7
                    ),
                ),
                ("starts_at", models.DateTimeField(verbose_name="from")),
                ("ends_at", models.DateTimeField(verbose_name="to")),
                ("note", models.CharField(blank=True, max_length=120)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical worked hours",
                "verbose_name_plural": "historical worked hours",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalSetup",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                (
                    "name",
                    models.CharField(
                        help_text="Group vocals, morning; fiddle overdubs …", max_length=80
                    ),
                ),
                (
                    "buffer_samples",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="The buffer that the performers monitor through.",
                        null=True,
                        validators=[django.core.validators.MinValueValidator(1)],
                        verbose_name="buffer, samples",
                    ),
                ),
                (
                    "converter_samples",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="In and out together, as their makers state it. Empty: as on the models’ pages.",
                        null=True,
                        verbose_name="converters, samples",
                    ),
                ),
                (
                    "clock_master",
                    models.CharField(
                        blank=True,
                        help_text="What the others follow: the converter, the house clock …",
                        max_length=60,
                    ),
                ),
                (
                    "rate_seen_hz",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="rate shown at the converter, Hz"
                    ),
                ),
                (
                    "click",
                    models.CharField(
                        blank=True,
                        help_text="Its sound and level: side stick, just under the voice …",
                        max_length=80,
                    ),
                ),
                (
                    "count_in_bars",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="count-in, bars"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "struck_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="Empty while it is set up: setups that stand share the patch bays.",
                        null=True,
                        verbose_name="struck at",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical setup",
                "verbose_name_plural": "historical setups",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalMediaCopy",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "holds",
                    models.CharField(
                        choices=[
                            ("session_data", "Session data: workstation file and audio"),
                            ("deliverables", "Deliverables"),
                            ("all", "All of the project"),
                        ],
                        default="session_data",
                        max_length=12,
                    ),
                ),
                (
                    "folder",
                    models.CharField(blank=True, help_text="Where on the medium.", max_length=200),
                ),
                (
                    "verified_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="verified"
                    ),
                ),
                ("verified_how", models.CharField(blank=True, editable=False, max_length=120)),
                ("kept_until", models.DateField(blank=True, null=True, verbose_name="kept until")),
                (
                    "told_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="client told"
                    ),
                ),
                ("told_how", models.CharField(blank=True, editable=False, max_length=120)),
                (
                    "removed_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="removed"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "deliverable",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "removed_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "told_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "verified_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "medium",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.medium",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="None: all that there was on the day that it was verified.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical copy",
                "verbose_name_plural": "historical copies",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalCredit",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("vocalist", "Vocalist"),
                            ("musician", "Musician"),
                            ("producer", "Producer"),
                            ("recording_engineer", "Recording engineer"),
                            ("assistant_engineer", "Assistant engineer"),
                            ("mixing_engineer", "Mixing engineer"),
                            ("mastering_engineer", "Mastering engineer"),
                            ("arranger", "Arranger"),
                            ("conductor", "Conductor"),
                        ],
                        max_length=20,
                    ),
                ),
                ("instrument", models.CharField(blank=True, max_length=60)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical credit",
                "verbose_name_plural": "historical credits",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalChallenge",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("deadline", models.DateTimeField()),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("open", "Waiting for an answer"),
                            ("confirmed", "The hold was confirmed"),
                            ("released", "The hold was released"),
                            ("lapsed", "The hold lapsed"),
                            ("withdrawn", "The challenge was withdrawn"),
                        ],
                        default="open",
                        max_length=10,
                    ),
                ),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "challenger",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "hold",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical challenge",
                "verbose_name_plural": "historical challenges",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="Credit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("vocalist", "Vocalist"),
                            ("musician", "Musician"),
                            ("producer", "Producer"),
                            ("recording_engineer", "Recording engineer"),
                            ("assistant_engineer", "Assistant engineer"),
                            ("mixing_engineer", "Mixing engineer"),
                            ("mastering_engineer", "Mastering engineer"),
                            ("arranger", "Arranger"),
                            ("conductor", "Conductor"),
                        ],
                        max_length=20,
                    ),
                ),
                ("instrument", models.CharField(blank=True, max_length=60)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="credits",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="credits",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "ordering": ["role", "person__name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Challenge",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("deadline", models.DateTimeField()),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("open", "Waiting for an answer"),
                            ("confirmed", "The hold was confirmed"),
                            ("released", "The hold was released"),
                            ("lapsed", "The hold lapsed"),
                            ("withdrawn", "The challenge was withdrawn"),
                        ],
                        default="open",
                        max_length=10,
                    ),
                ),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "challenger",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="challenges_made",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "hold",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="challenges",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Revision",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("fixed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "source_spl_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(160),
                        ],
                        verbose_name="source level, dB SPL",
                    ),
                ),
                (
                    "source_distance_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Empty: at the microphone.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(Decimal("0.1"))],
                        verbose_name="level measured at, cm",
                    ),
                ),
                (
                    "source_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Of an instrument or a player that comes in by cable.",
                        max_digits=5,
                        null=True,
                        verbose_name="source level, dBu",
                    ),
                ),
                (
                    "tone_hz",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=7,
                        null=True,
                        verbose_name="test tone, Hz",
                    ),
                ),
                (
                    "tone_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        help_text="Fed into the first input after the source.",
                        max_digits=5,
                        null=True,
                        verbose_name="test tone, dBu",
                    ),
                ),
                (
                    "readings_from",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        editable=False,
                        help_text="The number of the revision on which the units’ levels were read.",
                        null=True,
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "wiring",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="How the bays were wired when it was fixed.",
                    ),
                ),
                (
                    "format",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What the project was recorded as when it was fixed.",
                    ),
                ),
                (
                    "grouped",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What its group was when it was fixed.",
                    ),
                ),
                (
                    "sourced",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        editable=False,
                        help_text="What its source was when it was fixed.",
                    ),
                ),
                (
                    "chain",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="revisions",
                        to="studio_sessions.chain",
                    ),
                ),
                (
                    "created_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["chain", "number"],
            },
        ),
        migrations.CreateModel(
            name="Placement",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "distance_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="From the capsule to the source.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="distance, cm",
                    ),
                ),
                (
                    "height_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Of the capsule above the floor.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="height, cm",
                    ),
                ),
                (
                    "angle_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Between the microphone’s axis and the source; 0 is straight on.",
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(180),
                        ],
                        verbose_name="angle, degrees",
                    ),
                ),
                (
                    "angle_towards",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("left", "Left of the source"),
                            ("right", "Right of the source"),
                            ("above", "Above the source"),
                            ("below", "Below the source"),
                            ("above_left", "Above and left of the source"),
                            ("above_right", "Above and right of the source"),
                            ("below_left", "Below and left of the source"),
                            ("below_right", "Below and right of the source"),
                        ],
                        help_text="Left and right as one faces the source from the microphone.",
                        max_length=11,
                        verbose_name="axis points",
                    ),
                ),
                (
                    "orientation",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("upright", "Upright"),
                            ("hung", "Hung upside down"),
                            ("sideways", "On its side"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "pattern",
                    models.CharField(
                        blank=True, help_text="Cardioid, omnidirectional …", max_length=40
                    ),
                ),
                ("pop_filter", models.BooleanField(default=False, verbose_name="pop filter")),
                (
                    "pop_filter_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="pop filter to capsule, cm",
                    ),
                ),
                (
                    "across_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="As one faces the source; to the left is below zero.",
                        max_digits=6,
                        null=True,
                        verbose_name="to the right of the group’s middle, cm",
                    ),
                ),
                (
                    "along_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Towards the source; behind is below zero.",
                        max_digits=6,
                        null=True,
                        verbose_name="in front of the group’s middle, cm",
                    ),
                ),
                (
                    "stand",
                    models.CharField(
                        blank=True, help_text="Tall boom, short, clip …", max_length=40
                    ),
                ),
                (
                    "cable",
                    models.CharField(
                        blank=True,
                        help_text="Which one, or how long: no. 14, blue, 10 m …",
                        max_length=40,
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "revision",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="placement",
                        to="studio_sessions.revision",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="HistoricalStage",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "channel",
                    models.PositiveSmallIntegerField(
                        blank=True, help_text="Of a unit with several: which of them.", null=True
                    ),
                ),
                ("snapshot", models.JSONField(blank=True, default=dict, editable=False)),
                ("note", models.TextField(blank=True)),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "path",
                    models.CharField(
                        choices=[("printed", "Printed"), ("monitor", "Monitor only")],
                        default="printed",
                        max_length=8,
                    ),
                ),
                (
                    "cord_cm",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="How long the cord or cable is that leads on from it, where that matters.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100000),
                        ],
                        verbose_name="cord out, cm",
                    ),
                ),
                (
                    "tone_reading_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=5,
                        null=True,
                        verbose_name="tone at its output, dBu",
                    ),
                ),
                (
                    "reading_out_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=5,
                        null=True,
                        verbose_name="level at its output, dBu",
                    ),
                ),
                (
                    "planned_reduction_low_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        verbose_name="planned gain reduction from, dB",
                    ),
                ),
                (
                    "planned_reduction_high_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        verbose_name="planned gain reduction to, dB",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.panel",
                    ),
                ),
                (
                    "patch_in",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.patchpoint",
                        verbose_name="patched in at",
                    ),
                ),
                (
                    "patch_out",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.patchpoint",
                        verbose_name="patched out at",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.revision",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical stage",
                "verbose_name_plural": "historical stages",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalPlacement",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "distance_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="From the capsule to the source.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="distance, cm",
                    ),
                ),
                (
                    "height_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Of the capsule above the floor.",
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="height, cm",
                    ),
                ),
                (
                    "angle_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Between the microphone’s axis and the source; 0 is straight on.",
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(180),
                        ],
                        verbose_name="angle, degrees",
                    ),
                ),
                (
                    "angle_towards",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("left", "Left of the source"),
                            ("right", "Right of the source"),
                            ("above", "Above the source"),
                            ("below", "Below the source"),
                            ("above_left", "Above and left of the source"),
                            ("above_right", "Above and right of the source"),
                            ("below_left", "Below and left of the source"),
                            ("below_right", "Below and right of the source"),
                        ],
                        help_text="Left and right as one faces the source from the microphone.",
                        max_length=11,
                        verbose_name="axis points",
                    ),
                ),
                (
                    "orientation",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("upright", "Upright"),
                            ("hung", "Hung upside down"),
                            ("sideways", "On its side"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "pattern",
                    models.CharField(
                        blank=True, help_text="Cardioid, omnidirectional …", max_length=40
                    ),
                ),
                ("pop_filter", models.BooleanField(default=False, verbose_name="pop filter")),
                (
                    "pop_filter_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="pop filter to capsule, cm",
                    ),
                ),
                (
                    "across_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="As one faces the source; to the left is below zero.",
                        max_digits=6,
                        null=True,
                        verbose_name="to the right of the group’s middle, cm",
                    ),
                ),
                (
                    "along_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Towards the source; behind is below zero.",
                        max_digits=6,
                        null=True,
                        verbose_name="in front of the group’s middle, cm",
                    ),
                ),
                (
                    "stand",
                    models.CharField(
                        blank=True, help_text="Tall boom, short, clip …", max_length=40
                    ),
                ),
                (
                    "cable",
                    models.CharField(
                        blank=True,
                        help_text="Which one, or how long: no. 14, blue, 10 m …",
                        max_length=40,
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.revision",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical placement",
                "verbose_name_plural": "historical placements",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="Reservation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("starts_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                (
                    "before_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="Load-in, warm-up: part of the period.",
                        verbose_name="before, minutes",
                    ),
                ),
                (
                    "after_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="Teardown: part of the period.",
                        verbose_name="after, minutes",
                    ),
                ),
                (
                    "rank",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(1)],
                    ),
                ),
                (
                    "block",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="studio_sessions.block",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="gear.unit",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="studio_sessions.room",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Rate",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "basis",
                    models.CharField(
                        choices=[
                            ("hour", "By the hour"),
                            ("day", "By the day"),
                            ("lockout", "By the lockout day"),
                            ("session", "Once a session"),
                        ],
                        max_length=8,
                    ),
                ),
                (
                    "amount",
                    models.DecimalField(
                        decimal_places=2,
                        max_digits=10,
                        validators=[django.core.validators.MinValueValidator(0)],
                    ),
                ),
                (
                    "gear_model",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rates",
                        to="gear.gearmodel",
                        verbose_name="any unit of the model",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rates",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rates",
                        to="gear.unit",
                    ),
                ),
                (
                    "card",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rates",
                        to="studio_sessions.ratecard",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rates",
                        to="studio_sessions.room",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="HistoricalWeeklyHours",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "weekday",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "Monday"),
                            (1, "Tuesday"),
                            (2, "Wednesday"),
                            (3, "Thursday"),
                            (4, "Friday"),
                            (5, "Saturday"),
                            (6, "Sunday"),
                        ]
                    ),
                ),
                ("opens", models.TimeField(verbose_name="from")),
                ("closes", models.TimeField(verbose_name="to")),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.room",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical weekly hours",
                "verbose_name_plural": "historical weekly hourss",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalReservation",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("starts_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                (
                    "before_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="Load-in, warm-up: part of the period.",
                        verbose_name="before, minutes",
                    ),
                ),
                (
                    "after_minutes",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="Teardown: part of the period.",
                        verbose_name="after, minutes",
                    ),
                ),
                (
                    "rank",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(1)],
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "block",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.block",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.room",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical reservation",
                "verbose_name_plural": "historical reservations",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalRate",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "basis",
                    models.CharField(
                        choices=[
                            ("hour", "By the hour"),
                            ("day", "By the day"),
                            ("lockout", "By the lockout day"),
                            ("session", "Once a session"),
                        ],
                        max_length=8,
                    ),
                ),
                (
                    "amount",
                    models.DecimalField(
                        decimal_places=2,
                        max_digits=10,
                        validators=[django.core.validators.MinValueValidator(0)],
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "gear_model",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.gearmodel",
                        verbose_name="any unit of the model",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "card",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.ratecard",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.room",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical rate",
                "verbose_name_plural": "historical rates",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="FeedAddress",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("last_used_at", models.DateTimeField(blank=True, null=True)),
                ("times_used", models.PositiveIntegerField(default=0)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="feeds",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="feeds",
                        to="studio_sessions.room",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "feed addresses",
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="MixNote",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("said_by", models.CharField(max_length=120)),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("seconds", models.FloatField(blank=True, null=True)),
                ("text", models.TextField()),
                (
                    "state",
                    models.CharField(
                        choices=[("open", "Open"), ("done", "Done")], default="open", max_length=4
                    ),
                ),
                ("answer", models.TextField(blank=True)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "deliverable",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mix_notes",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="mix_notes",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="mix_notes",
                        to="studio_sessions.section",
                    ),
                ),
            ],
            options={
                "ordering": ["deliverable", "at", "pk"],
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="lyricline",
            name="section",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="lines",
                to="studio_sessions.section",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalMixNote",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("said_by", models.CharField(max_length=120)),
                ("at", models.DateTimeField(blank=True, editable=False)),
                ("seconds", models.FloatField(blank=True, null=True)),
                ("text", models.TextField()),
                (
                    "state",
                    models.CharField(
                        choices=[("open", "Open"), ("done", "Done")], default="open", max_length=4
                    ),
                ),
                ("answer", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "deliverable",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.section",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical mix note",
                "verbose_name_plural": "historical mix notes",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="Series",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("rule", models.CharField(max_length=200)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "series",
            },
        ),
        migrations.AddField(
            model_name="recordingsession",
            name="series",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sessions",
                to="studio_sessions.series",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalRecordingSession",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("starts_at", models.DateTimeField(verbose_name="starts")),
                ("ends_at", models.DateTimeField(verbose_name="ends")),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("enquiry", "Enquiry"),
                            ("held", "Held"),
                            ("confirmed", "Confirmed"),
                            ("under_way", "Under way"),
                            ("wrapped", "Wrapped"),
                            ("cancelled", "Cancelled"),
                        ],
                        default="held",
                        max_length=10,
                    ),
                ),
                (
                    "status_since",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "lockout",
                    models.BooleanField(
                        default=False,
                        help_text="The rooms are kept overnight and the gear stays set up; hours are planned within it.",
                    ),
                ),
                ("lapsed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                (
                    "discount_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=0,
                        help_text="Taken off every line, before tax.",
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="discount, per cent",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "left_to_do",
                    models.TextField(
                        blank=True,
                        help_text="What the next session has to finish; shown on the session report.",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "cancellation_terms",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.cancellationterms",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "rate_card",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.ratecard",
                    ),
                ),
                (
                    "series",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.series",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical recording session",
                "verbose_name_plural": "historical recording sessions",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="Setup",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                (
                    "name",
                    models.CharField(
                        help_text="Group vocals, morning; fiddle overdubs …", max_length=80
                    ),
                ),
                (
                    "buffer_samples",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="The buffer that the performers monitor through.",
                        null=True,
                        validators=[django.core.validators.MinValueValidator(1)],
                        verbose_name="buffer, samples",
                    ),
                ),
                (
                    "converter_samples",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="In and out together, as their makers state it. Empty: as on the models’ pages.",
                        null=True,
                        verbose_name="converters, samples",
                    ),
                ),
                (
                    "clock_master",
                    models.CharField(
                        blank=True,
                        help_text="What the others follow: the converter, the house clock …",
                        max_length=60,
                    ),
                ),
                (
                    "rate_seen_hz",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="rate shown at the converter, Hz"
                    ),
                ),
                (
                    "click",
                    models.CharField(
                        blank=True,
                        help_text="Its sound and level: side stick, just under the voice …",
                        max_length=80,
                    ),
                ),
                (
                    "count_in_bars",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="count-in, bars"
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "struck_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="Empty while it is set up: setups that stand share the patch bays.",
                        null=True,
                        verbose_name="struck at",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="setups",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "ordering": ["session", "position", "pk"],
            },
        ),
        migrations.AddField(
            model_name="rebuild",
            name="setup",
            field=models.OneToOneField(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="rebuild",
                to="studio_sessions.setup",
            ),
        ),
        migrations.CreateModel(
            name="Photo",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "subject",
                    models.CharField(
                        choices=[
                            ("unit", "Unit"),
                            ("placement", "Placement"),
                            ("source", "Source"),
                            ("rack", "Rack"),
                            ("bay", "Patch bay"),
                            ("floor", "Floor"),
                            ("setup", "Whole setup"),
                        ],
                        max_length=10,
                    ),
                ),
                ("channel", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("about", models.CharField(max_length=200)),
                ("caption", models.CharField(blank=True, max_length=200)),
                ("file", models.FileField(max_length=80, upload_to="photos")),
                ("sha256", models.CharField(max_length=64)),
                ("width", models.PositiveSmallIntegerField()),
                ("height", models.PositiveSmallIntegerField()),
                ("shown", models.JSONField(blank=True, default=dict)),
                ("reads", models.JSONField(blank=True, default=list)),
                ("taken_at", models.DateTimeField(auto_now_add=True)),
                (
                    "bay",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="gear.bay",
                    ),
                ),
                (
                    "taken_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="gear.unit",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="studio_sessions.revision",
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "ordering": ["taken_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="MixSnapshot",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("mixes", models.JSONField(blank=True, default=list)),
                ("taken_at", models.DateTimeField(auto_now_add=True)),
                (
                    "setup",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mix_snapshots",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "ordering": ["setup", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalSource",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "name",
                    models.CharField(help_text="Bass; drums, snare; lead vocal …", max_length=80),
                ),
                (
                    "place",
                    models.CharField(
                        blank=True,
                        help_text="Where the player stands or sits: booth, left of two at the microphone …",
                        max_length=120,
                        verbose_name="place in the room",
                    ),
                ),
                (
                    "instrument",
                    models.CharField(
                        blank=True,
                        help_text="Which one, and whose: the house’s upright …",
                        max_length=80,
                    ),
                ),
                (
                    "tuning_hz",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="440, 442, 415 …",
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(350),
                            django.core.validators.MaxValueValidator(520),
                        ],
                        verbose_name="tuned to A, Hz",
                    ),
                ),
                (
                    "tuning",
                    models.CharField(
                        blank=True, help_text="Drop D, half a tone down, capo 3 …", max_length=80
                    ),
                ),
                (
                    "own_amplifier",
                    models.CharField(
                        blank=True,
                        help_text="One that is not in the gear list: what it is. Log its settings in the note.",
                        max_length=80,
                        verbose_name="the player’s own amplifier",
                    ),
                ),
                (
                    "note",
                    models.TextField(
                        blank=True,
                        help_text="Heads, cymbals, strings, picks, the box before the amplifier …",
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "amplifier",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.panel",
                    ),
                ),
                (
                    "played_from",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="The chain whose track is played out into a box and the amplifier.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.chain",
                        verbose_name="re-amplified from",
                    ),
                ),
                (
                    "performer",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical source",
                "verbose_name_plural": "historical sources",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalPhoto",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "subject",
                    models.CharField(
                        choices=[
                            ("unit", "Unit"),
                            ("placement", "Placement"),
                            ("source", "Source"),
                            ("rack", "Rack"),
                            ("bay", "Patch bay"),
                            ("floor", "Floor"),
                            ("setup", "Whole setup"),
                        ],
                        max_length=10,
                    ),
                ),
                ("channel", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("about", models.CharField(max_length=200)),
                ("caption", models.CharField(blank=True, max_length=200)),
                ("file", models.TextField(max_length=80)),
                ("sha256", models.CharField(max_length=64)),
                ("width", models.PositiveSmallIntegerField()),
                ("height", models.PositiveSmallIntegerField()),
                ("shown", models.JSONField(blank=True, default=dict)),
                ("reads", models.JSONField(blank=True, default=list)),
                ("taken_at", models.DateTimeField(blank=True, editable=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "bay",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.bay",
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "taken_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.revision",
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical photo",
                "verbose_name_plural": "historical photos",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="historicalheadphonemix",
            name="setup",
            field=models.ForeignKey(
                blank=True,
                db_constraint=False,
                null=True,
                on_delete=django.db.models.deletion.DO_NOTHING,
                related_name="+",
                to="studio_sessions.setup",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalChainGroup",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(help_text="Overheads, drums, main pair …", max_length=60),
                ),
                (
                    "arrangement",
                    models.CharField(
                        choices=[
                            ("coincident", "Coincident pair"),
                            ("near_coincident", "Near-coincident pair"),
                            ("spaced", "Spaced pair"),
                            ("mid_side", "Mid/side pair"),
                            ("group", "Group: drums, piano, strings …"),
                        ],
                        default="group",
                        max_length=15,
                    ),
                ),
                (
                    "spacing_cm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="From capsule to capsule.",
                        max_digits=6,
                        null=True,
                        verbose_name="spacing, cm",
                    ),
                ),
                (
                    "included_angle_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="Between the axes of the two.",
                        max_digits=4,
                        null=True,
                        verbose_name="included angle, degrees",
                    ),
                ),
                (
                    "is_matched",
                    models.BooleanField(
                        default=True,
                        help_text="Of a pair: what is set on one is set on the other too, where it has the same panel at the same place in its path.",
                        verbose_name="settings alike",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical group",
                "verbose_name_plural": "historical groups",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="historicalchain",
            name="setup",
            field=models.ForeignKey(
                blank=True,
                db_constraint=False,
                null=True,
                on_delete=django.db.models.deletion.DO_NOTHING,
                related_name="+",
                to="studio_sessions.setup",
            ),
        ),
        migrations.AddField(
            model_name="headphonemix",
            name="setup",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="headphone_mixes",
                to="studio_sessions.setup",
            ),
        ),
        migrations.AddField(
            model_name="chaingroup",
            name="setup",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="groups",
                to="studio_sessions.setup",
            ),
        ),
        migrations.AddField(
            model_name="chain",
            name="setup",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="chains",
                to="studio_sessions.setup",
            ),
        ),
        migrations.CreateModel(
            name="Song",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                (
                    "key",
                    models.CharField(blank=True, help_text="D minor, for example.", max_length=20),
                ),
                (
                    "meter",
                    models.CharField(
                        blank=True,
                        help_text="4/4, for example; where it changes, with the bars: 1: 4/4, 17: 3/4.",
                        max_length=120,
                        verbose_name="time signature",
                    ),
                ),
                (
                    "tempo_map",
                    models.JSONField(
                        blank=True, default=list, help_text='[{"bar": 1, "bpm": 96}] and so on.'
                    ),
                ),
                ("last_bar", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "iswc",
                    models.CharField(
                        blank=True,
                        max_length=20,
                        validators=[sessions.songs.identifiers.clean_iswc],
                        verbose_name="ISWC",
                    ),
                ),
                (
                    "isrc",
                    models.CharField(
                        blank=True,
                        max_length=20,
                        validators=[sessions.songs.identifiers.clean_isrc],
                        verbose_name="ISRC of the recording",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="songs",
                        to="studio_sessions.project",
                    ),
                ),
            ],
            options={
                "ordering": ["title", "pk"],
            },
        ),
        migrations.AddField(
            model_name="section",
            name="song",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sections",
                to="studio_sessions.song",
            ),
        ),
        migrations.AddField(
            model_name="rebuild",
            name="song",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="rebuilds",
                to="studio_sessions.song",
            ),
        ),
        migrations.AddField(
            model_name="part",
            name="song",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="parts",
                to="studio_sessions.song",
            ),
        ),
        migrations.AddField(
            model_name="mixsetup",
            name="songs",
            field=models.ManyToManyField(related_name="mix_setups", to="studio_sessions.song"),
        ),
        migrations.CreateModel(
            name="IncomingMaterial",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        help_text="Percussion, 12 files; guide vocal …", max_length=200
                    ),
                ),
                ("sender", models.CharField(max_length=120, verbose_name="from")),
                (
                    "received_on",
                    models.DateField(
                        default=django.utils.timezone.localdate, verbose_name="received"
                    ),
                ),
                (
                    "rate",
                    models.CharField(
                        blank=True,
                        help_text="48 kHz, 24 bit …",
                        max_length=60,
                        verbose_name="rate and depth",
                    ),
                ),
                (
                    "tempo",
                    models.CharField(
                        blank=True, help_text="96; 96 and 104 from bar 33 …", max_length=120
                    ),
                ),
                (
                    "start_point",
                    models.CharField(
                        blank=True,
                        help_text="All from bar 1; time stamp 10:00:00; not aligned …",
                        max_length=120,
                    ),
                ),
                (
                    "missing",
                    models.TextField(
                        blank=True,
                        help_text="What was asked for and is not there.",
                        verbose_name="missing",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "medium",
                    models.ForeignKey(
                        blank=True,
                        help_text="Where it lies now.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="studio_sessions.medium",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incoming_material",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "incoming material",
                "ordering": ["project", "-received_on", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="importedsheet",
            name="song",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="imported_sheets",
                to="studio_sessions.song",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalWorkstationFile",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Its name, with the folder.", max_length=200, verbose_name="file"
                    ),
                ),
                (
                    "program",
                    models.CharField(help_text="Program and version, in words.", max_length=120),
                ),
                (
                    "plug_ins",
                    models.TextField(
                        blank=True,
                        help_text="With their versions; which are printed, which are not.",
                        verbose_name="plug-ins",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="None: of all songs.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical workstation file",
                "verbose_name_plural": "historical workstation files",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalRebuild",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("started_at", models.DateTimeField(blank=True, editable=False)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "finished_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "imported",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.importedsheet",
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.setup",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical rebuild",
                "verbose_name_plural": "historical rebuilds",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalPart",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(default=1)),
                ("name", models.CharField(max_length=60)),
                (
                    "is_guide",
                    models.BooleanField(
                        default=False,
                        help_text="To play to; other parts are recorded to replace it.",
                        verbose_name="guide or demo",
                    ),
                ),
                (
                    "relation",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("doubles", "doubles"),
                            ("harmony", "harmony to"),
                            ("replaces", "replaces"),
                        ],
                        max_length=8,
                        verbose_name="beside another part",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "related_to",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="The part that it doubles, sings a harmony to, or replaces.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.part",
                        verbose_name="which part",
                    ),
                ),
                (
                    "performer",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical part",
                "verbose_name_plural": "historical parts",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalMixSetup_songs",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                (
                    "history",
                    models.ForeignKey(
                        db_constraint=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="studio_sessions.historicalmixsetup",
                    ),
                ),
                (
                    "mixsetup",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixsetup",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        db_tablespace="",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "HistoricalMixSetup_songs",
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalIncomingMaterial",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        help_text="Percussion, 12 files; guide vocal …", max_length=200
                    ),
                ),
                ("sender", models.CharField(max_length=120, verbose_name="from")),
                (
                    "received_on",
                    models.DateField(
                        default=django.utils.timezone.localdate, verbose_name="received"
                    ),
                ),
                (
                    "rate",
                    models.CharField(
                        blank=True,
                        help_text="48 kHz, 24 bit …",
                        max_length=60,
                        verbose_name="rate and depth",
                    ),
                ),
                (
                    "tempo",
                    models.CharField(
                        blank=True, help_text="96; 96 and 104 from bar 33 …", max_length=120
                    ),
                ),
                (
                    "start_point",
                    models.CharField(
                        blank=True,
                        help_text="All from bar 1; time stamp 10:00:00; not aligned …",
                        max_length=120,
                    ),
                ),
                (
                    "missing",
                    models.TextField(
                        blank=True,
                        help_text="What was asked for and is not there.",
                        verbose_name="missing",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "medium",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="Where it lies now.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.medium",
                    ),
                ),
                (
                    "project",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical incoming material",
                "verbose_name_plural": "historical incoming materials",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalImportedSheet",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("file_name", models.CharField(max_length=200)),
                (
                    "studio",
                    models.CharField(blank=True, max_length=200, verbose_name="from the studio"),
                ),
                (
                    "title",
                    models.CharField(blank=True, max_length=200, verbose_name="its title there"),
                ),
                ("imported_at", models.DateTimeField(blank=True, editable=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "imported_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical imported sheet",
                "verbose_name_plural": "historical imported sheets",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalDelivery",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("papers", models.JSONField(blank=True, default=list)),
                ("message", models.TextField(blank=True)),
                ("expires_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "withdrawn_why",
                    models.TextField(blank=True, verbose_name="why it was withdrawn"),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sent_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "withdrawn_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical delivery",
                "verbose_name_plural": "historical deliveries",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalDeliverable",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("rough_mix", "Rough mix"),
                            ("mix", "Mix"),
                            ("without_lead", "Mix without lead"),
                            ("instrumental", "Instrumental"),
                            ("a_cappella", "A cappella"),
                            ("clean", "Clean mix"),
                            ("vocal_up", "Vocal up"),
                            ("vocal_down", "Vocal down"),
                            ("stems", "Stems"),
                            ("multitrack", "Consolidated multitrack"),
                            ("session_archive", "Workstation session archive"),
                            ("documentation", "Documentation"),
                        ],
                        max_length=20,
                    ),
                ),
                ("version", models.PositiveSmallIntegerField(default=1)),
                (
                    "limiting",
                    models.CharField(
                        blank=True,
                        choices=[("with", "With limiter"), ("without", "Without limiter")],
                        max_length=7,
                        verbose_name="limiter",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                ("bar_one_seconds", models.FloatField(default=0.0)),
                ("batch", models.UUIDField(blank=True, db_index=True, null=True)),
                ("created_at", models.DateTimeField(blank=True, editable=False)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "created_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "mix_revision",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.mixrevision",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical deliverable",
                "verbose_name_plural": "historical deliverables",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name="delivery",
            name="song",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="deliveries",
                to="studio_sessions.song",
            ),
        ),
        migrations.AddField(
            model_name="deliverable",
            name="song",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="deliverables",
                to="studio_sessions.song",
            ),
        ),
        migrations.CreateModel(
            name="Source",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "name",
                    models.CharField(help_text="Bass; drums, snare; lead vocal …", max_length=80),
                ),
                (
                    "place",
                    models.CharField(
                        blank=True,
                        help_text="Where the player stands or sits: booth, left of two at the microphone …",
                        max_length=120,
                        verbose_name="place in the room",
                    ),
                ),
                (
                    "instrument",
                    models.CharField(
                        blank=True,
                        help_text="Which one, and whose: the house’s upright …",
                        max_length=80,
                    ),
                ),
                (
                    "tuning_hz",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        help_text="440, 442, 415 …",
                        max_digits=4,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(350),
                            django.core.validators.MaxValueValidator(520),
                        ],
                        verbose_name="tuned to A, Hz",
                    ),
                ),
                (
                    "tuning",
                    models.CharField(
                        blank=True, help_text="Drop D, half a tone down, capo 3 …", max_length=80
                    ),
                ),
                (
                    "own_amplifier",
                    models.CharField(
                        blank=True,
                        help_text="One that is not in the gear list: what it is. Log its settings in the note.",
                        max_length=80,
                        verbose_name="the player’s own amplifier",
                    ),
                ),
                (
                    "note",
                    models.TextField(
                        blank=True,
                        help_text="Heads, cymbals, strings, picks, the box before the amplifier …",
                    ),
                ),
                (
                    "amplifier",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sources",
                        to="gear.unit",
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sources",
                        to="gear.panel",
                    ),
                ),
                (
                    "performer",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sources",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "played_from",
                    models.ForeignKey(
                        blank=True,
                        help_text="The chain whose track is played out into a box and the amplifier.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="played_into",
                        to="studio_sessions.chain",
                        verbose_name="re-amplified from",
                    ),
                ),
                (
                    "setup",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sources",
                        to="studio_sessions.setup",
                    ),
                ),
            ],
            options={
                "ordering": ["setup", "pk"],
            },
        ),
        migrations.AddField(
            model_name="historicalchain",
            name="source",
            field=models.ForeignKey(
                blank=True,
                db_constraint=False,
                null=True,
                on_delete=django.db.models.deletion.DO_NOTHING,
                related_name="+",
                to="studio_sessions.source",
            ),
        ),
        migrations.AddField(
            model_name="chain",
            name="source",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="chains",
                to="studio_sessions.source",
            ),
        ),
        migrations.CreateModel(
            name="Stage",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("settings", models.JSONField(blank=True, default=dict)),
                (
                    "not_yet_set",
                    models.JSONField(
                        blank=True,
                        default=list,
                        editable=False,
                        help_text="The keys of the controls whose settings were copied and are not yet set.",
                    ),
                ),
                (
                    "channel",
                    models.PositiveSmallIntegerField(
                        blank=True, help_text="Of a unit with several: which of them.", null=True
                    ),
                ),
                ("snapshot", models.JSONField(blank=True, default=dict, editable=False)),
                ("note", models.TextField(blank=True)),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "path",
                    models.CharField(
                        choices=[("printed", "Printed"), ("monitor", "Monitor only")],
                        default="printed",
                        max_length=8,
                    ),
                ),
                (
                    "cord_cm",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="How long the cord or cable is that leads on from it, where that matters.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100000),
                        ],
                        verbose_name="cord out, cm",
                    ),
                ),
                (
                    "tone_reading_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=5,
                        null=True,
                        verbose_name="tone at its output, dBu",
                    ),
                ),
                (
                    "reading_out_dbu",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=5,
                        null=True,
                        verbose_name="level at its output, dBu",
                    ),
                ),
                (
                    "planned_reduction_low_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        verbose_name="planned gain reduction from, dB",
                    ),
                ),
                (
                    "planned_reduction_high_db",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=4,
                        null=True,
                        verbose_name="planned gain reduction to, dB",
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="gear.panel",
                    ),
                ),
                (
                    "patch_in",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss_in",
                        to="gear.patchpoint",
                        verbose_name="patched in at",
                    ),
                ),
                (
                    "patch_out",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss_out",
                        to="gear.patchpoint",
                        verbose_name="patched out at",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="stages",
                        to="studio_sessions.revision",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="gear.unit",
                    ),
                ),
            ],
            options={
                "ordering": ["revision", "position"],
            },
        ),
        migrations.AddField(
            model_name="rebuildstep",
            name="rebuilt",
            field=models.OneToOneField(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="rebuilt_by",
                to="studio_sessions.stage",
            ),
        ),
        migrations.AddField(
            model_name="rebuildstep",
            name="stage",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="rebuild_steps",
                to="studio_sessions.stage",
            ),
        ),
        migrations.CreateModel(
            name="HistoricalRebuildStep",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("chain_number", models.PositiveSmallIntegerField()),
                ("position", models.PositiveSmallIntegerField()),
                (
                    "outside_unit",
                    models.CharField(
                        blank=True,
                        help_text="One that isn’t in the gear: hired.",
                        max_length=80,
                        verbose_name="unit from outside",
                    ),
                ),
                ("is_left_out", models.BooleanField(default=False)),
                ("channel", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("in_place_at", models.DateTimeField(blank=True, null=True)),
                (
                    "chosen_at",
                    models.DateTimeField(
                        blank=True,
                        editable=False,
                        help_text="When its unit was last chosen by hand.",
                        null=True,
                    ),
                ),
                (
                    "tone_reading_dbu",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=5, null=True),
                ),
                ("tone_read_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("note", models.TextField(blank=True)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "in_place_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.panel",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="gear.unit",
                    ),
                ),
                (
                    "rebuild",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.rebuild",
                    ),
                ),
                (
                    "rebuilt",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.stage",
                    ),
                ),
                (
                    "stage",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.stage",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical rebuild step",
                "verbose_name_plural": "historical rebuild steps",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="StatusStep",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("enquiry", "Enquiry"),
                            ("held", "Held"),
                            ("confirmed", "Confirmed"),
                            ("under_way", "Under way"),
                            ("wrapped", "Wrapped"),
                            ("cancelled", "Cancelled"),
                        ],
                        max_length=10,
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="status_steps",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="StoredPaper",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        help_text="Where its PaperKind stands in the code.", max_length=100
                    ),
                ),
                (
                    "subject",
                    models.PositiveBigIntegerField(help_text="The key of what it is about."),
                ),
                ("size", models.CharField(max_length=6)),
                (
                    "address",
                    models.CharField(help_text="Of the page that it belongs to.", max_length=500),
                ),
                (
                    "key",
                    models.CharField(
                        blank=True, help_text="The hash of what was made last.", max_length=64
                    ),
                ),
                ("file", models.FileField(blank=True, upload_to="papers")),
                (
                    "made_at",
                    models.DateTimeField(
                        blank=True,
                        help_text="Before what it says was read: it is as of then.",
                        null=True,
                    ),
                ),
                ("error", models.TextField(blank=True, help_text="Why it could not be made.")),
                (
                    "wanted_at",
                    models.DateTimeField(
                        blank=True, help_text="When it was last queued to be made.", null=True
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        models.F("subject"),
                        models.F("kind"),
                        models.F("size"),
                        models.F("address"),
                        name="paper_stored_once",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Take",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("number", models.PositiveSmallIntegerField()),
                (
                    "logged_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "started_at",
                    models.DateTimeField(
                        blank=True,
                        help_text="Empty where the take was logged after it was over.",
                        null=True,
                    ),
                ),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn", models.BooleanField(default=False, editable=False)),
                (
                    "kind",
                    models.CharField(
                        choices=[("whole", "Whole"), ("punch_in", "Punch-in")],
                        default="whole",
                        max_length=10,
                    ),
                ),
                (
                    "punch_in",
                    models.CharField(
                        blank=True,
                        help_text="Bar and beat (bar 17, beat 3) or minutes and seconds.",
                        max_length=20,
                    ),
                ),
                ("punch_out", models.CharField(blank=True, max_length=20)),
                ("pre_roll_bars", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("pre_roll_seconds", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "into",
                    models.ForeignKey(
                        blank=True,
                        help_text="The whole take that a punch-in goes into.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="punched",
                        to="studio_sessions.take",
                        verbose_name="into the take",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="takes",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="takes",
                        to="studio_sessions.song",
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["song", "number"],
            },
        ),
        migrations.CreateModel(
            name="RevisionInDoubt",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "heard",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.mixsnapshot",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.revision",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="in_doubt",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "ordering": ["take", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HistoricalTakePart",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "mark",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("complete", "Complete"),
                            ("false_start", "False start"),
                            ("long_false_start", "Long false start"),
                            ("breakdown", "Breakdown"),
                            ("hold", "Hold"),
                            ("master", "Master"),
                            ("no_good", "No good"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "grade",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[(1, "1"), (2, "2"), (3, "3"), (4, "4"), (5, "5")],
                        null=True,
                    ),
                ),
                (
                    "circled",
                    models.BooleanField(default=False, help_text="Chosen for the recording."),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical take part",
                "verbose_name_plural": "historical take parts",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalTakeFile",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "path",
                    models.CharField(
                        help_text="As it was found: folders and name.", max_length=500
                    ),
                ),
                (
                    "folder",
                    models.CharField(
                        blank=True,
                        help_text="The server’s folder; empty for a file that was dropped.",
                        max_length=500,
                    ),
                ),
                ("size_bytes", models.PositiveBigIntegerField()),
                (
                    "sha256",
                    models.CharField(
                        blank=True,
                        help_text="Of all of it, where all of it was read.",
                        max_length=64,
                    ),
                ),
                ("container", models.CharField(max_length=8)),
                ("sample_rate", models.PositiveIntegerField(blank=True, null=True)),
                ("bit_depth", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("channels", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("frames", models.PositiveBigIntegerField(blank=True, null=True)),
                (
                    "time_reference",
                    models.PositiveBigIntegerField(
                        blank=True, help_text="The first sample, counted from midnight.", null=True
                    ),
                ),
                ("bext", models.JSONField(blank=True, null=True)),
                ("ixml", models.JSONField(blank=True, null=True)),
                ("problems", models.JSONField(blank=True, default=list)),
                ("added_at", models.DateTimeField(blank=True, editable=False)),
                (
                    "reason",
                    models.TextField(blank=True, help_text="Why it was taken for that take."),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "added_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "linked_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="Empty where the file holds the whole take.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="On whose page the file was added.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical take file",
                "verbose_name_plural": "historical take files",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalTake",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                ("number", models.PositiveSmallIntegerField()),
                (
                    "logged_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "started_at",
                    models.DateTimeField(
                        blank=True,
                        help_text="Empty where the take was logged after it was over.",
                        null=True,
                    ),
                ),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn", models.BooleanField(default=False, editable=False)),
                (
                    "kind",
                    models.CharField(
                        choices=[("whole", "Whole"), ("punch_in", "Punch-in")],
                        default="whole",
                        max_length=10,
                    ),
                ),
                (
                    "punch_in",
                    models.CharField(
                        blank=True,
                        help_text="Bar and beat (bar 17, beat 3) or minutes and seconds.",
                        max_length=20,
                    ),
                ),
                ("punch_out", models.CharField(blank=True, max_length=20)),
                ("pre_roll_bars", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("pre_roll_seconds", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=200)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
                (
                    "into",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        help_text="The whole take that a punch-in goes into.",
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.take",
                        verbose_name="into the take",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical take",
                "verbose_name_plural": "historical takes",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="HistoricalCompChoice",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.section",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical comp choice",
                "verbose_name_plural": "historical comp choices",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="CompChoice",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_choices",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_choices",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_choices",
                        to="studio_sessions.section",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_choices",
                        to="studio_sessions.take",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="TakeFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "path",
                    models.CharField(
                        help_text="As it was found: folders and name.", max_length=500
                    ),
                ),
                (
                    "folder",
                    models.CharField(
                        blank=True,
                        help_text="The server’s folder; empty for a file that was dropped.",
                        max_length=500,
                    ),
                ),
                ("size_bytes", models.PositiveBigIntegerField()),
                (
                    "sha256",
                    models.CharField(
                        blank=True,
                        help_text="Of all of it, where all of it was read.",
                        max_length=64,
                    ),
                ),
                ("container", models.CharField(max_length=8)),
                ("sample_rate", models.PositiveIntegerField(blank=True, null=True)),
                ("bit_depth", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("channels", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("frames", models.PositiveBigIntegerField(blank=True, null=True)),
                (
                    "time_reference",
                    models.PositiveBigIntegerField(
                        blank=True, help_text="The first sample, counted from midnight.", null=True
                    ),
                ),
                ("bext", models.JSONField(blank=True, null=True)),
                ("ixml", models.JSONField(blank=True, null=True)),
                ("problems", models.JSONField(blank=True, default=list)),
                ("added_at", models.DateTimeField(auto_now_add=True)),
                (
                    "reason",
                    models.TextField(blank=True, help_text="Why it was taken for that take."),
                ),
                (
                    "added_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "linked_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        blank=True,
                        help_text="Empty where the file holds the whole take.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="take_files",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "session",
                    models.ForeignKey(
                        help_text="On whose page the file was added.",
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="take_files",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="files",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "ordering": ["path", "pk"],
            },
        ),
        migrations.CreateModel(
            name="TakePart",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "mark",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("complete", "Complete"),
                            ("false_start", "False start"),
                            ("long_false_start", "Long false start"),
                            ("breakdown", "Breakdown"),
                            ("hold", "Hold"),
                            ("master", "Master"),
                            ("no_good", "No good"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "grade",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[(1, "1"), (2, "2"), (3, "3"), (4, "4"), (5, "5")],
                        null=True,
                    ),
                ),
                (
                    "circled",
                    models.BooleanField(default=False, help_text="Chosen for the recording."),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "part",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="take_parts",
                        to="studio_sessions.part",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="take_parts",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "ordering": ["take", "pk"],
            },
        ),
        migrations.AddField(
            model_name="take",
            name="parts",
            field=models.ManyToManyField(
                related_name="takes", through="studio_sessions.TakePart", to="studio_sessions.part"
            ),
        ),
        migrations.CreateModel(
            name="HistoricalCompGrade",
            fields=[
                (
                    "id",
                    models.BigIntegerField(
                        auto_created=True, blank=True, db_index=True, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "grade",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[(1, "1"), (2, "2"), (3, "3"), (4, "4"), (5, "5")],
                        null=True,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("history_id", models.AutoField(primary_key=True, serialize=False)),
                ("history_date", models.DateTimeField(db_index=True)),
                ("history_change_reason", models.CharField(max_length=100, null=True)),
                (
                    "history_type",
                    models.CharField(
                        choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                    ),
                ),
                (
                    "history_user",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.section",
                    ),
                ),
                (
                    "take_part",
                    models.ForeignKey(
                        blank=True,
                        db_constraint=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="studio_sessions.takepart",
                    ),
                ),
            ],
            options={
                "verbose_name": "historical comp grade",
                "verbose_name_plural": "historical comp grades",
                "ordering": ("-history_date", "-history_id"),
                "get_latest_by": ("history_date", "history_id"),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name="CompGrade",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "grade",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[(1, "1"), (2, "2"), (3, "3"), (4, "4"), (5, "5")],
                        null=True,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "line",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_grades",
                        to="studio_sessions.lyricline",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comp_grades",
                        to="studio_sessions.section",
                    ),
                ),
                (
                    "take_part",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="line_grades",
                        to="studio_sessions.takepart",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="TakePress",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "number",
                    models.UUIDField(
                        help_text="Made on the device when it was pressed.", unique=True
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        choices=[
                            ("start", "Start"),
                            ("over", "A take that is over"),
                            ("end", "End"),
                            ("mark", "Mark"),
                            ("note", "Note"),
                            ("circle", "Circle"),
                            ("withdraw", "Withdraw"),
                            ("restore", "Restore"),
                            ("undo", "Undo"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "pressed_at",
                    models.DateTimeField(
                        help_text="By the clock of the device, which may be wrong."
                    ),
                ),
                ("at", models.DateTimeField(help_text="By the clock of the server.")),
                ("received_at", models.DateTimeField(auto_now_add=True)),
                ("before", models.JSONField(default=dict)),
                ("after", models.JSONField(default=dict)),
                ("answer", models.JSONField(default=dict)),
                ("undone", models.BooleanField(default=False)),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="take_presses",
                        to="studio_sessions.recordingsession",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="presses",
                        to="studio_sessions.take",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="TakeRevision",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "since",
                    models.DateTimeField(
                        blank=True,
                        help_text="When the chain was changed while the take rolled. Empty: from its beginning on.",
                        null=True,
                    ),
                ),
                (
                    "heard",
                    models.ForeignKey(
                        help_text="What the performers heard.",
                        on_delete=django.db.models.deletion.PROTECT,
                        to="studio_sessions.mixsnapshot",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="through",
                        to="studio_sessions.revision",
                    ),
                ),
                (
                    "take",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="through",
                        to="studio_sessions.take",
                    ),
                ),
            ],
            options={
                "ordering": ["take", "pk"],
            },
        ),
        migrations.AddField(
            model_name="take",
            name="revisions",
            field=models.ManyToManyField(
                related_name="takes",
                through="studio_sessions.TakeRevision",
                to="studio_sessions.revision",
            ),
        ),
        migrations.CreateModel(
            name="Tick",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "key",
                    models.SlugField(
                        help_text="Of the control on the step’s panel.", max_length=40
                    ),
                ),
                ("value", models.FloatField(blank=True, null=True)),
                ("ticked_at", models.DateTimeField(auto_now=True)),
                (
                    "step",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="ticks",
                        to="studio_sessions.rebuildstep",
                    ),
                ),
                (
                    "ticked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["step", "key"],
            },
        ),
        migrations.CreateModel(
            name="Upload",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("rough_mix", "Rough mix"),
                            ("mix", "Mix"),
                            ("without_lead", "Mix without lead"),
                            ("instrumental", "Instrumental"),
                            ("a_cappella", "A cappella"),
                            ("clean", "Clean mix"),
                            ("vocal_up", "Vocal up"),
                            ("vocal_down", "Vocal down"),
                            ("stems", "Stems"),
                            ("multitrack", "Consolidated multitrack"),
                            ("session_archive", "Workstation session archive"),
                            ("documentation", "Documentation"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "limiting",
                    models.CharField(
                        blank=True,
                        choices=[("with", "With limiter"), ("without", "Without limiter")],
                        max_length=7,
                        verbose_name="limiter",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=1000)),
                ("batch", models.UUIDField()),
                ("original_name", models.CharField(max_length=255)),
                ("size_bytes", models.PositiveBigIntegerField()),
                ("modified", models.BigIntegerField(default=0)),
                ("offset", models.PositiveBigIntegerField(default=0)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("arriving", "Not complete"),
                            ("landed", "Uploaded"),
                            ("refused", "Refused"),
                        ],
                        default="arriving",
                        max_length=8,
                    ),
                ),
                ("refusal", models.TextField(blank=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("touched_at", models.DateTimeField(auto_now_add=True, db_index=True)),
                (
                    "add_to",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.deliverable",
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "file",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.deliverablefile",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "ordering": ["created_at", "original_name"],
            },
        ),
        migrations.CreateModel(
            name="Verdict",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("said_by", models.CharField(max_length=120)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "choice",
                    models.CharField(
                        choices=[("approved", "Approved"), ("changes_wanted", "Changes wanted")],
                        max_length=14,
                        verbose_name="verdict",
                    ),
                ),
                ("text", models.TextField(blank=True)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "deliverable",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="verdicts",
                        to="studio_sessions.deliverable",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="WeeklyHours",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "weekday",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "Monday"),
                            (1, "Tuesday"),
                            (2, "Wednesday"),
                            (3, "Thursday"),
                            (4, "Friday"),
                            (5, "Saturday"),
                            (6, "Sunday"),
                        ]
                    ),
                ),
                ("opens", models.TimeField(verbose_name="from")),
                ("closes", models.TimeField(verbose_name="to")),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hours",
                        to="studio_sessions.person",
                    ),
                ),
                (
                    "room",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hours",
                        to="studio_sessions.room",
                    ),
                ),
            ],
            options={
                "ordering": ["weekday", "opens", "pk"],
            },
        ),
        migrations.CreateModel(
            name="WorkedHours",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("planned", "Planned"), ("actual", "Actual")], max_length=7
                    ),
                ),
                ("starts_at", models.DateTimeField(verbose_name="from")),
                ("ends_at", models.DateTimeField(verbose_name="to")),
                ("note", models.CharField(blank=True, max_length=120)),
                (
                    "session",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="worked_hours",
                        to="studio_sessions.recordingsession",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "worked hours",
                "ordering": ["starts_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="WorkstationFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Its name, with the folder.", max_length=200, verbose_name="file"
                    ),
                ),
                (
                    "program",
                    models.CharField(help_text="Program and version, in words.", max_length=120),
                ),
                (
                    "plug_ins",
                    models.TextField(
                        blank=True,
                        help_text="With their versions; which are printed, which are not.",
                        verbose_name="plug-ins",
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "project",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="workstation_files",
                        to="studio_sessions.project",
                    ),
                ),
                (
                    "song",
                    models.ForeignKey(
                        blank=True,
                        help_text="None: of all songs.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="studio_sessions.song",
                    ),
                ),
            ],
            options={
                "ordering": ["project", "name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="WrongGuess",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client", models.CharField(max_length=45)),
                ("at", models.DateTimeField()),
            ],
            options={
                "verbose_name_plural": "wrong guesses",
                "indexes": [
                    models.Index(fields=["client", "at"], name="studio_sess_client_518eed_idx")
                ],
            },
        ),
        migrations.CreateModel(
            name="CancellationStep",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(
                        default=1,
                        editable=False,
                        help_text="Counts the edits, so that two editors notice.",
                    ),
                ),
                (
                    "applies_to",
                    models.CharField(
                        choices=[
                            ("all", "All sessions"),
                            ("hourly", "Sessions within one day"),
                            ("day", "One-day sessions"),
                            ("days", "Sessions over several days"),
                            ("same_day", "Sessions booked on their own day"),
                        ],
                        default="all",
                        max_length=10,
                    ),
                ),
                (
                    "notice_unit",
                    models.CharField(
                        choices=[
                            ("hours", "Hours"),
                            ("days", "Days"),
                            ("business_days", "Business days"),
                            ("months", "Calendar months"),
                            ("booked_length", "Times the booked length"),
                        ],
                        default="hours",
                        max_length=14,
                        verbose_name="notice is counted in",
                    ),
                ),
                (
                    "notice_from",
                    models.DecimalField(
                        decimal_places=2,
                        default=0,
                        help_text="Notice of exactly this length counts. 0: up to the start.",
                        max_digits=7,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="notice of at least",
                    ),
                ),
                (
                    "notice_below",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        help_text="Empty: no upper limit.",
                        max_digits=7,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="and less than",
                    ),
                ),
                (
                    "percent",
                    models.DecimalField(
                        decimal_places=2,
                        help_text="0 where nothing is charged.",
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="charge, per cent",
                    ),
                ),
                (
                    "charge_of",
                    models.CharField(
                        choices=[("fee", "Of the fee"), ("deposit", "Of the deposit")],
                        default="fee",
                        max_length=8,
                        verbose_name="charge of what",
                    ),
                ),
                (
                    "terms",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="steps",
                        to="studio_sessions.cancellationterms",
                    ),
                ),
            ],
            options={
                "ordering": ["terms", "applies_to", "-notice_from", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("notice_below__isnull", True),
                            ("notice_below__gt", models.F("notice_from")),
                            _connector="OR",
                        ),
                        name="cancellation_step_runs_forward",
                    )
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="delivereditem",
            constraint=models.UniqueConstraint(
                models.F("delivery"), models.F("deliverable"), name="delivered_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="deliveryevent",
            constraint=models.UniqueConstraint(
                models.F("recipient"),
                condition=models.Q(("kind", "received")),
                name="received_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="headphoneline",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("chain__isnull", False), ("source", "")),
                    models.Q(("chain__isnull", True), models.Q(("source", ""), _negated=True)),
                    _connector="OR",
                ),
                name="headphone_line_of_one_source",
            ),
        ),
        migrations.AddIndex(
            model_name="letter",
            index=models.Index(fields=["about_type", "about_id"], name="letter_about"),
        ),
        migrations.AddIndex(
            model_name="letter",
            index=models.Index(fields=["state", "written_at"], name="letter_by_state"),
        ),
        migrations.AddConstraint(
            model_name="mixrevision",
            constraint=models.UniqueConstraint(
                models.F("setup"), models.F("number"), name="mix_revision_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="mixsend",
            constraint=models.UniqueConstraint(
                models.F("strip"), models.F("to"), name="mix_send_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="medium",
            constraint=models.CheckConstraint(
                condition=models.Q(("client", None), ("person", None), _connector="OR"),
                name="medium_of_one_owner",
                violation_error_message="It has one owner: a client, or a person, or neither.",
            ),
        ),
        migrations.AddConstraint(
            model_name="deliveryrecipient",
            constraint=models.UniqueConstraint(
                models.F("delivery"), models.F("email"), name="delivery_recipient_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="press",
            constraint=models.UniqueConstraint(
                models.F("user"), models.F("key"), name="press_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="project",
            constraint=models.UniqueConstraint(
                models.F("client"), models.F("name"), name="project_once_a_client"
            ),
        ),
        migrations.AddConstraint(
            model_name="approvedrecipient",
            constraint=models.UniqueConstraint(
                models.F("project"), models.F("person"), name="recipient_approved_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="approvedrecipient",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("person", None), models.Q(("email", ""), ("name", "")), _connector="XOR"
                ),
                name="person_or_name_and_email",
            ),
        ),
        migrations.AddConstraint(
            model_name="moneypaper",
            constraint=models.UniqueConstraint(
                models.F("kind"), models.F("number"), name="money_paper_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="mediacopy",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("removed_at", None), ("told_at__isnull", False), _connector="OR"
                ),
                name="copy_removed_once_client_was_told",
            ),
        ),
        migrations.AddConstraint(
            model_name="credit",
            constraint=models.UniqueConstraint(
                models.F("session"),
                models.F("person"),
                models.F("role"),
                models.F("instrument"),
                name="credit_once_a_session",
            ),
        ),
        migrations.AddConstraint(
            model_name="challenge",
            constraint=models.UniqueConstraint(
                models.F("hold"),
                condition=models.Q(("outcome", "open")),
                name="one_open_challenge_a_hold",
            ),
        ),
        migrations.AddConstraint(
            model_name="challenge",
            constraint=models.CheckConstraint(
                condition=models.Q(("deadline__gt", models.F("made_at"))),
                name="challenge_leaves_time_to_answer",
            ),
        ),
        migrations.AddConstraint(
            model_name="challenge",
            constraint=models.CheckConstraint(
                condition=models.Q(("hold", models.F("challenger")), _negated=True),
                name="hold_does_not_challenge_itself",
            ),
        ),
        migrations.AddConstraint(
            model_name="revision",
            constraint=models.UniqueConstraint(
                models.F("chain"), models.F("number"), name="revision_number_once"
            ),
        ),
        migrations.AddIndex(
            model_name="reservation",
            index=models.Index(fields=["room", "rank", "starts_at"], name="reservation_room_line"),
        ),
        migrations.AddIndex(
            model_name="reservation",
            index=models.Index(
                fields=["person", "rank", "starts_at"], name="reservation_person_line"
            ),
        ),
        migrations.AddIndex(
            model_name="reservation",
            index=models.Index(fields=["unit", "rank", "starts_at"], name="reservation_unit_line"),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.CheckConstraint(
                condition=models.Q(("starts_at__lt", models.F("ends_at"))),
                name="reservation_ends_after_it_starts",
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("person__isnull", True), ("room__isnull", False), ("unit__isnull", True)
                    ),
                    models.Q(
                        ("person__isnull", False), ("room__isnull", True), ("unit__isnull", True)
                    ),
                    models.Q(
                        ("person__isnull", True), ("room__isnull", True), ("unit__isnull", False)
                    ),
                    _connector="OR",
                ),
                name="reservation_of_one_resource",
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("block__isnull", True), ("session__isnull", False)),
                    models.Q(("block__isnull", False), ("session__isnull", True)),
                    _connector="OR",
                ),
                name="reservation_for_session_or_block",
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.CheckConstraint(
                condition=models.Q(("rank__isnull", True), ("rank__gte", 1), _connector="OR"),
                name="reservation_rank_from_one",
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.UniqueConstraint(
                models.F("session"), models.F("room"), name="reservation_room_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.UniqueConstraint(
                models.F("session"), models.F("person"), name="reservation_person_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="reservation",
            constraint=models.UniqueConstraint(
                models.F("session"), models.F("unit"), name="reservation_unit_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("gear_model__isnull", True),
                        ("person__isnull", True),
                        ("room__isnull", False),
                        ("unit__isnull", True),
                    ),
                    models.Q(
                        ("gear_model__isnull", True),
                        ("person__isnull", False),
                        ("room__isnull", True),
                        ("unit__isnull", True),
                    ),
                    models.Q(
                        ("gear_model__isnull", True),
                        ("person__isnull", True),
                        ("room__isnull", True),
                        ("unit__isnull", False),
                    ),
                    models.Q(
                        ("gear_model__isnull", False),
                        ("person__isnull", True),
                        ("room__isnull", True),
                        ("unit__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="rate_of_one_thing",
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.CheckConstraint(
                condition=models.Q(("amount__gte", 0)), name="rate_not_negative"
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.UniqueConstraint(
                models.F("card"), models.F("room"), models.F("basis"), name="rate_room_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.UniqueConstraint(
                models.F("card"), models.F("person"), models.F("basis"), name="rate_person_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.UniqueConstraint(
                models.F("card"), models.F("unit"), models.F("basis"), name="rate_unit_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="rate",
            constraint=models.UniqueConstraint(
                models.F("card"), models.F("gear_model"), models.F("basis"), name="rate_model_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="feedaddress",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("person__isnull", True), ("room__isnull", False)),
                    models.Q(("person__isnull", False), ("room__isnull", True)),
                    _connector="OR",
                ),
                name="feed_of_room_or_person",
            ),
        ),
        migrations.AddConstraint(
            model_name="mixnote",
            constraint=models.CheckConstraint(
                condition=models.Q(("said_by", ""), _negated=True), name="mixnote_has_a_name"
            ),
        ),
        migrations.AddConstraint(
            model_name="mixnote",
            constraint=models.CheckConstraint(
                condition=models.Q(("seconds__isnull", True), ("seconds__gte", 0), _connector="OR"),
                name="mixnote_in_the_mix",
            ),
        ),
        migrations.AddIndex(
            model_name="recordingsession",
            index=models.Index(fields=["starts_at", "ends_at"], name="session_period"),
        ),
        migrations.AddConstraint(
            model_name="recordingsession",
            constraint=models.CheckConstraint(
                condition=models.Q(("starts_at__lt", models.F("ends_at"))),
                name="session_ends_after_it_starts",
            ),
        ),
        migrations.AddConstraint(
            model_name="setup",
            constraint=models.UniqueConstraint(
                models.F("session"), models.F("name"), name="setup_name_once_a_session"
            ),
        ),
        migrations.AddConstraint(
            model_name="photo",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("revision__isnull", False),
                        ("subject__in", ("unit", "placement", "source")),
                    ),
                    models.Q(
                        models.Q(("subject__in", ("unit", "placement", "source")), _negated=True),
                        ("revision__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="photo_of_a_chain_has_its_revision",
            ),
        ),
        migrations.AddConstraint(
            model_name="headphonemix",
            constraint=models.UniqueConstraint(
                models.F("setup"), models.F("name"), name="headphone_mix_name_once_a_setup"
            ),
        ),
        migrations.AddConstraint(
            model_name="chaingroup",
            constraint=models.UniqueConstraint(
                models.F("setup"), models.F("name"), name="chain_group_name_once_a_setup"
            ),
        ),
        migrations.AddConstraint(
            model_name="song",
            constraint=models.UniqueConstraint(
                models.F("project"), models.F("title"), name="song_once_a_project"
            ),
        ),
        migrations.AddConstraint(
            model_name="rebuild",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("finished_at__isnull", True), ("setup__isnull", True)),
                    models.Q(("finished_at__isnull", False), ("setup__isnull", False)),
                    _connector="OR",
                ),
                name="rebuild_finished_is_a_setup",
            ),
        ),
        migrations.AddConstraint(
            model_name="part",
            constraint=models.UniqueConstraint(
                models.F("song"), models.F("name"), name="part_once_a_song"
            ),
        ),
        migrations.AddConstraint(
            model_name="part",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("related_to", None), ("relation", "")),
                    models.Q(
                        models.Q(("relation", ""), _negated=True), ("related_to__isnull", False)
                    ),
                    _connector="OR",
                ),
                name="part_relates_to_a_part",
            ),
        ),
        migrations.AddConstraint(
            model_name="part",
            constraint=models.CheckConstraint(
                condition=models.Q(("related_to", models.F("id")), _negated=True),
                name="part_relates_to_another",
            ),
        ),
        migrations.AddConstraint(
            model_name="mixsetup",
            constraint=models.UniqueConstraint(
                models.F("project"), models.F("name"), name="mix_setup_name_once_a_project"
            ),
        ),
        migrations.AddConstraint(
            model_name="deliverable",
            constraint=models.UniqueConstraint(
                models.F("song"),
                models.F("kind"),
                models.F("version"),
                name="deliverable_version_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="source",
            constraint=models.UniqueConstraint(
                models.F("setup"), models.F("name"), name="source_name_once_a_setup"
            ),
        ),
        migrations.AddConstraint(
            model_name="source",
            constraint=models.CheckConstraint(
                condition=models.Q(("amplifier", None), ("own_amplifier", ""), _connector="OR"),
                name="source_has_one_amplifier",
            ),
        ),
        migrations.AddConstraint(
            model_name="stage",
            constraint=models.UniqueConstraint(
                models.F("revision"), models.F("position"), name="stage_position_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="rebuildstep",
            constraint=models.UniqueConstraint(
                models.F("rebuild"),
                models.F("chain_number"),
                models.F("position"),
                name="rebuild_step_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="rebuildstep",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("outside_unit", ""),
                    models.Q(("is_left_out", False), ("unit", None)),
                    _connector="OR",
                ),
                name="rebuild_step_from_outside_has_no_unit",
            ),
        ),
        migrations.AddConstraint(
            model_name="rebuildstep",
            constraint=models.CheckConstraint(
                condition=models.Q(("is_left_out", False), ("unit", None), _connector="OR"),
                name="rebuild_step_left_out_has_no_unit",
            ),
        ),
        migrations.AddConstraint(
            model_name="revisionindoubt",
            constraint=models.UniqueConstraint(
                models.F("take"), models.F("revision"), name="revision_in_doubt_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="compchoice",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("line__isnull", True), ("section__isnull", False)),
                    models.Q(("line__isnull", False), ("section__isnull", True)),
                    _connector="OR",
                ),
                name="comp_choice_of_line_or_section",
            ),
        ),
        migrations.AddConstraint(
            model_name="compchoice",
            constraint=models.UniqueConstraint(
                models.F("part"), models.F("line"), name="comp_choice_line_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="compchoice",
            constraint=models.UniqueConstraint(
                models.F("part"), models.F("section"), name="comp_choice_section_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="takefile",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("take__isnull", False), ("part__isnull", True), _connector="OR"
                ),
                name="file_of_a_part_is_of_a_take",
            ),
        ),
        migrations.AddIndex(
            model_name="takepart",
            index=models.Index(fields=["part", "id"], name="take_parts_newest"),
        ),
        migrations.AddConstraint(
            model_name="takepart",
            constraint=models.UniqueConstraint(
                models.F("take"), models.F("part"), name="part_once_a_take"
            ),
        ),
        migrations.AddConstraint(
            model_name="takepart",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("circled", True),
                    ("mark__in", ("false_start", "long_false_start")),
                    _negated=True,
                ),
                name="false_start_not_chosen",
            ),
        ),
        migrations.AddConstraint(
            model_name="takepart",
            constraint=models.UniqueConstraint(
                models.F("part"), condition=models.Q(("mark", "master")), name="one_master_a_part"
            ),
        ),
        migrations.AddConstraint(
            model_name="compgrade",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("line__isnull", True), ("section__isnull", False)),
                    models.Q(("line__isnull", False), ("section__isnull", True)),
                    _connector="OR",
                ),
                name="comp_grade_of_line_or_section",
            ),
        ),
        migrations.AddConstraint(
            model_name="compgrade",
            constraint=models.UniqueConstraint(
                models.F("take_part"), models.F("line"), name="comp_grade_line_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="compgrade",
            constraint=models.UniqueConstraint(
                models.F("take_part"), models.F("section"), name="comp_grade_section_once"
            ),
        ),
        migrations.AddIndex(
            model_name="takepress",
            index=models.Index(fields=["session", "user"], name="take_press_of_user"),
        ),
        migrations.AddConstraint(
            model_name="takerevision",
            constraint=models.UniqueConstraint(
                models.F("take"), models.F("revision"), name="revision_once_a_take"
            ),
        ),
        migrations.AddIndex(
            model_name="take",
            index=models.Index(
                models.F("session"),
                models.F("logged_at"),
                models.F("id"),
                name="takes_of_session_newest",
            ),
        ),
        migrations.AddIndex(
            model_name="take",
            index=models.Index(
                models.F("song"),
                condition=models.Q(("ended_at__isnull", True)),
                name="takes_rolling",
            ),
        ),
        migrations.AddIndex(
            model_name="take",
            index=models.Index(
                models.F("song"),
                models.F("number"),
                condition=models.Q(("into__isnull", False)),
                name="punch_ins_newest",
            ),
        ),
        migrations.AddConstraint(
            model_name="take",
            constraint=models.UniqueConstraint(
                models.F("song"), models.F("number"), name="take_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="take",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("ended_at__isnull", True),
                    ("started_at__isnull", True),
                    ("ended_at__gte", models.F("started_at")),
                    _connector="OR",
                ),
                name="take_ends_after_it_starts",
            ),
        ),
        migrations.AddConstraint(
            model_name="take",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("into__isnull", True), ("kind", "whole")),
                    models.Q(("into__isnull", False), ("kind", "punch_in")),
                    _connector="OR",
                ),
                name="punch_in_goes_into_a_take",
            ),
        ),
        migrations.AddConstraint(
            model_name="take",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("pre_roll_bars__isnull", True),
                    ("pre_roll_seconds__isnull", True),
                    _connector="OR",
                ),
                name="pre_roll_in_bars_or_seconds",
            ),
        ),
        migrations.AddConstraint(
            model_name="tick",
            constraint=models.UniqueConstraint(
                models.F("step"), models.F("key"), name="tick_once_a_control"
            ),
        ),
        migrations.AddConstraint(
            model_name="verdict",
            constraint=models.CheckConstraint(
                condition=models.Q(("said_by", ""), _negated=True), name="verdict_has_a_name"
            ),
        ),
        migrations.AddConstraint(
            model_name="weeklyhours",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("person__isnull", True), ("room__isnull", False)),
                    models.Q(("person__isnull", False), ("room__isnull", True)),
                    _connector="OR",
                ),
                name="weekly_hours_of_room_or_person",
            ),
        ),
        migrations.AddConstraint(
            model_name="weeklyhours",
            constraint=models.UniqueConstraint(
                models.F("room"), models.F("weekday"), models.F("opens"), name="room_opens_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="weeklyhours",
            constraint=models.UniqueConstraint(
                models.F("person"),
                models.F("weekday"),
                models.F("opens"),
                name="person_begins_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="workedhours",
            constraint=models.CheckConstraint(
                condition=models.Q(("starts_at__lt", models.F("ends_at"))),
                name="worked_hours_end_after_they_start",
            ),
        ),
    ]
