"""What `manage.py check` says about how the studio is set up."""

from pathlib import Path

from django.conf import settings
from django.core.checks import Tags, Warning, register

from studio.private_files import OTHERS


@register()
def nobody_else_may_read(app_configs, **kwargs) -> list[Warning]:
    """Whether other accounts of the machine may use the data folder or what stands at its top;
    what is deeper cannot be reached through a folder that is shut."""
    folder = Path(settings.DATA_DIR)
    modes = {path: path.stat().st_mode & 0o777 for path in [folder, *sorted(folder.iterdir())]}
    wider = [f"{path} ({mode:o})" for path, mode in modes.items() if mode & OTHERS]
    if not wider:
        return []
    said = f"Other accounts of this machine may use {', '.join(wider)}."
    return [Warning(said, hint=f"chmod -R go= {folder}", id="studio.W001")]


@register(Tags.security, deploy=True)
def proxies_are_named(app_configs, **kwargs) -> list[Warning]:
    """Behind a proxy that is not named everybody has its address, and one locks all others out."""
    if settings.TRUSTED_PROXIES or not settings.SECURE_PROXY_SSL_HEADER:
        return []
    said = "Everybody who signs in seems to come from the proxy: it is not in TRUSTED_PROXIES."
    return [Warning(said, hint="TRUSTED_PROXIES=127.0.0.1", id="studio.W002")]
