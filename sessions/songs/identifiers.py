"""Identifiers of recordings (ISRC) and of musical works (ISWC), as typed and as stored."""

import re

from django.core.exceptions import ValidationError
from stdnum import exceptions
from stdnum import isrc as stdnum_isrc

ISRC_EXAMPLE = "BV-QSS-26-00001"
ISWC_EXAMPLE = "T-999.000.101-9"


def clean_isrc(text: str) -> str:
    """The twelve characters that are stored for an International Standard Recording Code.

    A leading "ISRC", spaces and hyphens are presentation only (ISO 3901:2019) and are dropped.
    Raises ValidationError with a sentence for the user.
    """
    code = _without_label(text, "ISRC")
    try:
        return stdnum_isrc.validate(code)
    except exceptions.InvalidComponent:
        raise ValidationError(
            f"“{code[:2]}” does not begin any ISRC: check the first two letters "
            f"(example: {ISRC_EXAMPLE})."
        ) from None
    except exceptions.ValidationError:
        raise ValidationError(
            "An ISRC has 12 characters: 2 letters, 3 letters or digits, 2 digits for the year "
            f"and 5 digits (example: {ISRC_EXAMPLE}); this has {len(code)}: “{code}”."
        ) from None


def display_isrc(code: str) -> str:
    """A stored ISRC in its four hyphenated parts: BVQSS2600001 becomes BV-QSS-26-00001."""
    return stdnum_isrc.format(code)


def clean_iswc(text: str) -> str:
    """The eleven characters that are stored for an International Standard Musical Work Code.

    A leading "ISWC", spaces, hyphens and stops are presentation only and are dropped.
    Raises ValidationError with a sentence for the user, also when the check digit (ISO 15707)
    disagrees.
    """
    code = _without_label(text, "ISWC").replace(".", "")
    if not re.fullmatch(r"T[0-9]{10}", code):
        raise ValidationError(
            f"An ISWC is the letter T and 10 digits (example: {ISWC_EXAMPLE}); this is “{code}”."
        )
    if iswc_check_digit(code[1:10]) != int(code[10]):
        raise ValidationError(
            f"The last digit of {display_iswc(code)} does not fit the others: "
            "compare it with the registration, one digit is probably mistyped."
        )
    return code


def iswc_check_digit(work_number: str) -> int:
    """Check digit of a nine-digit work number (ISO 15707).

    The sum starts at 1 (the weight of the prefix T); each digit counts its place from the left.
    """
    total = 1 + sum(place * int(digit) for place, digit in enumerate(work_number, start=1))
    return -total % 10


def display_iswc(code: str) -> str:
    """A stored ISWC as printed: T9990001019 becomes T-999.000.101-9."""
    return f"T-{code[1:4]}.{code[4:7]}.{code[7:10]}-{code[10]}"


def _without_label(text: str, label: str) -> str:
    code = re.sub(r"[\s\u2010-\u2015-]", "", text).upper()
    return code.removeprefix(label).removeprefix(":")
