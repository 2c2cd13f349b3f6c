import os
import secrets
from pathlib import Path


def secret_key(data_dir: Path) -> str:
    """The installation's own signing key, made once and readable by its owner only.

    Linked into place so that several processes starting at once agree on one key.
    """
    path = data_dir / "secret_key"
    if not path.exists():
        draft = data_dir / f"secret_key.{os.getpid()}"
        draft.touch(mode=0o600)
        draft.write_text(secrets.token_urlsafe(50))
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        draft.unlink()
    return path.read_text()
