"""What of the database a backup holds: every table but these."""

from django.apps import apps as today
from django.db.models import FileField, Model

#: Models that are left out, and why. Nothing else points to them.
LEFT_OUT = {
    "axes.accessattempt": "counts of wrong passwords mean nothing on another day",
    "axes.accessattemptexpiration": "the same",
    "axes.accessfailurelog": "the same",
    "axes.accesslog": "the same",
    "django_tasks_database.dbtaskresult": "the worker finds by itself what is still to be done",
    "studio.backup": "their files lie on the machine that made them",
    "studio.knowndevice": "a device is known again by the next sign-in there",
    "studio.signedin": "everybody signs in anew",
    "studio_sessions.upload": "what has arrived of a file so far is not among the stored files",
    "studio_sessions.worker": "signs of life of processes of that machine",
    "studio_sessions.wrongguess": "counts of wrong links mean nothing on another day",
}
#: What `migrate` itself writes. A backup brings its own, to which its rows point.
OF_MIGRATE = ("contenttypes.contenttype", "auth.permission")
HISTORY_KEYS = ("history_id", "m2m_history_id")


def models(apps=today) -> list[type[Model]]:
    """By table, those of this version, or of an older one (a migration's state of the apps)."""
    held = {
        model._meta.db_table: model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.label_lower not in LEFT_OUT
    }
    return [held[table] for table in sorted(held)]


def is_history(model: type[Model]) -> bool:
    return model._meta.pk.name in HISTORY_KEYS


def file_fields(apps=today) -> list[FileField]:
    return [
        field
        for model in models(apps)
        for field in model._meta.local_concrete_fields
        if isinstance(field, FileField)
    ]
