"""What `manage.py check` says about how the studio is set up."""

import os
from pathlib import Path

from django.conf import settings
from django.core.checks import Error, Tags, Warning, register
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from studio.private_files import OTHERS

PROBE = "probe/of-manage-py-check"
SHORTEST_TOKEN = 24  # signs


@register()
def nobody_else_may_read(app_configs, **kwargs) -> list[Warning]:
    """Whether other accounts of the machine may use the data folder or what stands at its top;
    what is deeper cannot be reached through a folder that is shut."""
    folder = Path(settings.DATA_DIR)
    modes = {path: _mode(path) for path in [folder, *sorted(folder.iterdir())]}
    proxys = _of_the_proxy()
    wider = [
        f"{path} ({mode:o})" for path, mode in modes.items() if mode & OTHERS & ~proxys.get(path, 0)
    ]
    if not wider:
        return []
    said = f"Other accounts of this machine may use {', '.join(wider)}."
    return [Warning(said, hint=f"chmod -R go= {folder}", id="studio.W001")]


@register()
def proxy_may_read(app_configs, **kwargs) -> list[Warning]:
    """A proxy that sends the stored files is of their group."""
    shut = [
        str(path)
        for path, mode in _of_the_proxy().items()
        if path.exists() and _mode(path) & mode != mode
    ]
    if not shut:
        return []
    said = f"PROXY_SENDS_FILES is set, and the group may not go into {' or '.join(shut)}."
    mend = f"chmod g+x {settings.DATA_DIR} && chmod -R g+rX {settings.MEDIA_ROOT}"
    return [Warning(said, hint=mend, id="studio.W003")]


def _of_the_proxy() -> dict[Path, int]:
    if not settings.PROXY_SENDS_FILES:
        return {}
    return {Path(settings.DATA_DIR): 0o010, Path(settings.MEDIA_ROOT): 0o050}


def _mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


@register()
def backups_have_a_place(app_configs, **kwargs) -> list[Warning]:
    """Whether the worker can put backups where it is told to."""
    folder = settings.BACKUP_FOLDER
    if not folder or os.access(folder, os.W_OK | os.X_OK):
        return []
    why = "this account may not write there" if Path(folder).is_dir() else "there is no such folder"
    said = f"No backup can be put into BACKUP_FOLDER, {folder}: {why}."
    return [Warning(said, id="studio.W004")]


@register(Tags.security, deploy=True)
def token_is_long(app_configs, **kwargs) -> list[Warning]:
    """METRICS_TOKEN stands between the figures and anybody who guesses."""
    if not settings.METRICS_TOKEN or len(settings.METRICS_TOKEN) >= SHORTEST_TOKEN:
        return []
    said = f"METRICS_TOKEN has fewer than {SHORTEST_TOKEN} signs, and nobody counts guesses."
    return [Warning(said, hint="openssl rand -hex 32", id="studio.W005")]


@register(Tags.security, deploy=True)
def proxies_are_named(app_configs, **kwargs) -> list[Warning]:
    """Behind a proxy that is not named everybody has its address, and one locks all others out."""
    if settings.TRUSTED_PROXIES or not settings.SECURE_PROXY_SSL_HEADER:
        return []
    said = "Everybody who signs in seems to come from the proxy: it is not in TRUSTED_PROXIES."
    return [Warning(said, hint="TRUSTED_PROXIES=127.0.0.1", id="studio.W002")]


@register(Tags.security, deploy=True)
def bucket_keeps_files(app_configs, **kwargs) -> list[Error]:
    """Whether a file can be put into the bucket and taken out of it, by its signed address alone."""
    if not settings.BUCKET:
        return []
    bucket = "The bucket {bucket_name} of FILES_URL, at {endpoint_url},".format_map(settings.BUCKET)
    if settings.SECURE_SSL_REDIRECT and settings.BUCKET["endpoint_url"].startswith("http:"):
        return [Error(f"{bucket} is not asked by https: browsers refuse it.", id="studio.E001")]
    remote = default_storage.remote
    try:
        remote.save(PROBE, ContentFile(b"Is this kept?"))
        remote.bucket.Object(PROBE).get()
        if _is_had_by_anybody(remote):
            return [Error(f"{bucket} gives files to anybody: make it private.", id="studio.E003")]
        remote.delete(PROBE)
    except Exception as error:
        return [Error(f"{bucket} does not keep files: {error}", id="studio.E002")]
    return []


def _is_had_by_anybody(remote) -> bool:
    from botocore.exceptions import ClientError

    try:
        remote.unsigned_connection.Object(remote.bucket_name, PROBE).get()
    except ClientError:
        return False
    return True
