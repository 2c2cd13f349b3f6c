"""The settings of the server, as the environment has them: with their secrets only if asked."""

import json
import os
import shlex
from urllib.parse import urlsplit

from django.conf import settings

from studio.backups.manifest import Manifest

NAMES = (
    *("ADMINS", "ALLOWED_HOSTS", "BACKUP_DAYS", "BACKUP_EVERY_HOURS"),
    *("BACKUP_FOLDER", "BACKUP_KEEP", "CSRF_TRUSTED_ORIGINS", "DATABASE_URL"),
    *("DATA_DIR", "DEBUG", "DEFAULT_FROM_EMAIL", "EMAIL_TIMEOUT", "EMAIL_URL"),
    *("FILES_URL", "HTTPS_ONLY", "METRICS_TOKEN", "PROCESSES", "PROXY_SENDS_FILES"),
    *("SECRET_KEY", "SOUND_LIMIT_HOURS", "STUDIO_NAME", "STUDIO_TIME_ZONE"),
    *("TAKE_FOLDERS", "TRUSTED_PROXIES", "UPLOAD_LIMIT_BYTES", "WORKERS"),
)
SECRET = ("METRICS_TOKEN", "SECRET_KEY")
#: Addresses that may hold a name and a password, which are cut out of them.
ADDRESSES = ("DATABASE_URL", "EMAIL_URL", "FILES_URL")


def own_settings(*, with_secrets: bool) -> dict[str, str]:
    """What was set, and the signing key if secrets are asked for."""
    said = {name: os.environ[name] for name in NAMES if name in os.environ}
    if with_secrets:
        return said | {"SECRET_KEY": str(settings.SECRET_KEY)}
    return {
        name: _without_secrets(value) if name in ADDRESSES else value
        for name, value in said.items()
        if name not in SECRET
    }


def _without_secrets(address: str) -> str:
    parts = urlsplit(address)
    options = [
        each for each in parts.query.split("&") if "pass" not in each.partition("=")[0].lower()
    ]
    netloc = parts.netloc.rpartition("@")[2]
    return parts._replace(netloc=netloc, query="&".join(options)).geturl()


def lines_for_the_environment(said: bytes, manifest: Manifest) -> str:
    """As `studio.env` has them."""
    head = (
        f"# Settings of the server that made the backup of {manifest.made_at}: nothing reads this file.\n"
        "# Copy what holds here, too, into studio.env, and remove it.\n"
    )
    if not manifest.with_secrets:
        head += "# Passwords were cut out of the addresses.\n"
    return head + "".join(
        f"{name}={shlex.quote(value)}\n" for name, value in json.loads(said).items()
    )
