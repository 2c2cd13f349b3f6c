"""The studio's settings as they stand, and two pages more, which fail."""

from studio.settings import *  # noqa: F403

ROOT_URLCONF = "tests.served.urls"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # as the tests' people have it
