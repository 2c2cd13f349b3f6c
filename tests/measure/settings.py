"""The studio's settings, and Django's admin beside it to be measured against. Served to this machine only."""

from studio.settings import *  # noqa: F403
from studio.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin.apps.SimpleAdminConfig"]
ROOT_URLCONF = "tests.measure.admin"
SILENCED_SYSTEM_CHECKS = ["admin.E403", "admin.E404", "admin.E408", "admin.E409", "admin.E410"]
STORAGES = {  # pages without `collectstatic`
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
