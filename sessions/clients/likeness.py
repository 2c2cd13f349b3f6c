"""What makes two clients, or two people, look like one: the same mail address, phone or name."""

import re
import unicodedata

TELLING_DIGITS = 9  # the last ones, with or without the country's code (common practice, no source)


def folded(name: str) -> str:
    """Letters and digits alone, without case and accents: "Ærø  Kør" and "ærø kør" are one."""
    plain = "".join(
        letter
        for letter in unicodedata.normalize("NFKD", name)
        if not unicodedata.combining(letter)
    )
    return " ".join(re.findall(r"\w+", plain.casefold()))


def phone_digits(phone: str) -> str:
    """What two ways of writing one number have in common; empty where there are too few digits."""
    digits = re.sub(r"\D", "", phone)
    return digits[-TELLING_DIGITS:] if len(digits) >= TELLING_DIGITS else ""


def likenesses(thing) -> dict[str, str]:
    """By what it is compared, and with what: "e-mail" by its address, "phone" by its digits, "name"."""
    found = {
        "e-mail": thing.email.casefold(),
        "phone": phone_digits(thing.phone),
        "name": folded(thing.name),
    }
    return {what: key for what, key in found.items() if key}
