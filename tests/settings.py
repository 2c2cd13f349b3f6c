"""The studio's settings, made quick and self-contained for tests."""

import tempfile
from pathlib import Path

from studio.settings import *  # noqa: F403

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
