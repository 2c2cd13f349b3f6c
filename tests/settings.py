"""The studio's settings, made quick and self-contained for tests."""

import atexit
import shutil
import tempfile
from pathlib import Path

from studio.settings import *  # noqa: F403
from studio.settings import DATABASES, SQLITE_OPTIONS

PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.MD5PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_AUTOREFRESH = True
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = Path(tempfile.gettempdir()) / "studio-test-files"
AXES_ENABLED = False
STYLE_PAGE = True

# In a file, since of a database in memory all threads of a live server share one connection, on which
# who reads shuts out who writes. It need not survive a power cut.
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    folder = tempfile.mkdtemp(prefix="studio-tests-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    DATABASES["default"] |= {
        "TEST": {"NAME": f"{folder}/tests.sqlite3"},
        "OPTIONS": SQLITE_OPTIONS
        | {"init_command": SQLITE_OPTIONS["init_command"].replace("FULL", "OFF")},
    }
