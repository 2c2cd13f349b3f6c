"""Names that every common system takes, that show what they are, and of which no two are alike."""

import re
from pathlib import PurePosixPath
from unicodedata import normalize

FORBIDDEN = re.compile(r'[<>:"/\\|?*]')  # in names on Windows
DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
MOST_BYTES = 180  # a file's name; most systems take 255, of which packers and copies want some


def safe_name(name: str) -> str:
    """Without what can't be shown (control characters, marks that turn the direction of writing),
    what some system forbids, and what is too long; the ending stays."""
    shown = "".join(letter for letter in normalize("NFC", name) if letter.isprintable())
    shown = FORBIDDEN.sub("_", shown).strip(" .") or "unnamed"
    if DEVICES.fullmatch(shown):
        shown = f"_{shown}"
    ending = PurePosixPath(shown).suffix
    if len(ending.encode()) > MOST_BYTES // 2:
        ending = ""
    return _cut(shown.removesuffix(ending), MOST_BYTES - len(ending.encode())) + ending


def _cut(text: str, most_bytes: int) -> str:
    return text.encode()[:most_bytes].decode(errors="ignore").rstrip(" .") or "_"


class Names:
    """Gives each thing of a folder a name of its own, also where capital letters do not count."""

    def __init__(self):
        self._taken = set()

    def of(self, name: str, *, folder: str = "") -> str:
        """The path below the pack's own folder."""
        base = PurePosixPath(safe_name(name))
        found, number = base.name, 1
        while (path := f"{folder}/{found}" if folder else found).casefold() in self._taken:
            number += 1
            found = f"{base.stem} ({number}){base.suffix}"
        self._taken.add(path.casefold())
        return path
