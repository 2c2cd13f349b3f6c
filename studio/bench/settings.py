"""The studio's settings, and Django's admin beside it to be measured against. Never served."""

from studio.settings import *  # noqa: F403
from studio.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin.apps.SimpleAdminConfig"]
ROOT_URLCONF = "studio.bench.admin"
SILENCED_SYSTEM_CHECKS = ["admin.E403", "admin.E404", "admin.E408", "admin.E409", "admin.E410"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}


class _NoMigrations(dict):
    """Tables are made from the models at once, a minute sooner; CI sees that both are the same."""

    def __contains__(self, app: str) -> bool:
        return True

    def __getitem__(self, app: str) -> None:
        return None


MIGRATION_MODULES = _NoMigrations()
