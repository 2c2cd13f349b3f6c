"""Telephone numbers as they are compared: by their digits, however they are written."""

import re
from dataclasses import dataclass

FEWEST = 3  # digits that are looked for within a number
FEWEST_OF_A_WHOLE = 6  # of one without its country's code, which might be part of the number
LONGEST_CODE = 3  # digits of a country's code (ITU-T E.164, 6.2.1)
_NUMBER = re.compile(r"[\d\s()+./-]+")


@dataclass(frozen=True)
class Digits:
    """What of a number that was typed has to be in one that is known: any one of `ways`."""

    ways: tuple[str, ...]

    def are_in(self, phone: str) -> bool:
        known = _digits(phone)
        return any(way in known for way in self.ways)


def digits_of(typed: str) -> Digits | None:
    """None of what is no telephone number, nor a part of one.

    "+44 1632 960255" is also looked for without its code, as is "0044 …"; "01632 960255" without the
    nought, which a number with a code does not have.
    """
    if not _NUMBER.fullmatch(typed):
        return None
    digits, is_whole = _digits(typed), typed.lstrip(" (").startswith("+")
    if digits.startswith("00"):
        digits, is_whole = digits[2:], True
    if len(digits) < FEWEST:
        return None
    ways = [digits, digits.lstrip("0")]
    if is_whole:
        ways += [digits[code:] for code in range(1, LONGEST_CODE + 1)]
    fewest = FEWEST_OF_A_WHOLE if is_whole else FEWEST
    return Digits(tuple(dict.fromkeys(way for way in ways if len(way) >= fewest)))


def _digits(text: str) -> str:
    return "".join(letter for letter in text if letter in "0123456789")
