"""The data folder is its owner's alone: it holds password hashes, web sessions and people's work."""

import os
import secrets
from pathlib import Path

OTHERS = 0o077  # what anybody but the owner might do


def make_data_folder(folder: Path) -> None:
    """Make the folder if it is not there; whatever this process writes is its owner's alone."""
    os.umask(OTHERS)
    folder.mkdir(parents=True, exist_ok=True)


def secret_key(data_dir: Path) -> str:
    """The installation's own signing key, made once.

    Linked into place so that several processes starting at once agree on one key.
    """
    path = data_dir / "secret_key"
    if not path.exists():
        make_data_folder(data_dir)
        draft = data_dir / f"secret_key.{os.getpid()}"
        draft.write_text(secrets.token_urlsafe(50))
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        draft.unlink()
    return path.read_text()
