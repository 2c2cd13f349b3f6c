"""The studio's settings, and Django's admin beside it to be measured against. Served to this machine only."""

from studio.settings import *  # noqa: F403
from studio.settings import DATABASES, INSTALLED_APPS, env
from tests.measure.faults import wrong_clock

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin.apps.SimpleAdminConfig"]
ROOT_URLCONF = "tests.measure.admin"
SILENCED_SYSTEM_CHECKS = ["admin.E403", "admin.E404", "admin.E408", "admin.E409", "admin.E410"]
STORAGES = {  # pages without `collectstatic`
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
if clock := env.str(
    "STUDIO_MEASURE_CLOCK", ""
):  # a file that says how wrong the machine's clock is
    wrong_clock.follow(clock)
if env.bool("STUDIO_MEASURE_READ_ONLY", False):  # a database that takes nothing but questions
    DATABASES["default"]["OPTIONS"]["init_command"] += " PRAGMA query_only=1;"
