"""Signs that can't be printed: neither our fonts nor the machine's have a letter for them."""

import subprocess
import unicodedata
from functools import cache

from django.conf import settings

FONTS = settings.BASE_DIR / "studio/static/studio/fonts"
#: What shows nothing: controls, blanks, and what Unicode says is to be ignored where there is no
#: letter for it (Default_Ignorable_Code_Point).
UNSEEN = {"Cc", "Zl", "Zp", "Zs"}
IGNORED = (0xAD, 0x34F, 0x61C, 0x180E, 0xFEFF)
IGNORED_SPANS = (
    range(0x200B, 0x2010),
    range(0x202A, 0x202F),
    range(0x2060, 0x2070),
    range(0xFE00, 0xFE10),
    range(0xE0000, 0xE1000),
)


def unprintable(text: str) -> list[str]:
    """The signs of the text that no font has, each once, by their number in Unicode."""
    signs = (sign for sign in set(text) if sign > "~")
    seen = (sign for sign in signs if unicodedata.category(sign) not in UNSEEN)
    can_be_printed = (*_printable(), IGNORED, *IGNORED_SPANS)
    return sorted(sign for sign in seen if not any(ord(sign) in span for span in can_be_printed))


def number_of(sign: str) -> str:
    """What is printed in its place: [U+4E16]."""
    return f"[U+{ord(sign):04X}]"


@cache
def _printable() -> frozenset[range]:
    """What fontconfig, which the papers are set with, finds in our fonts and on the machine."""
    ours = [f"{font}" for font in sorted(FONTS.glob("*-Regular.ttf"))]
    commands = (
        ["fc-scan", "--format", "%{charset} ", *ours],
        ["fc-list", "--format", "%{charset} "],
    )
    found = [subprocess.run(each, capture_output=True, text=True, check=True) for each in commands]
    return frozenset(_span(each) for listed in found for each in listed.stdout.split())


def _span(hexadecimal: str) -> range:
    first, _, last = hexadecimal.partition("-")
    return range(int(first, 16), int(last or first, 16) + 1)
