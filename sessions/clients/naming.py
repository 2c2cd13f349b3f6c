"""How delivered files are named: a pattern such as {artist}_{song}_{mixer}{revision}_{version}_{rate}k{depth}.

Fields and their order are those of the Delivery Recommendations for Recorded Music Projects (P&E Wing,
2018), which join them by underscores: AI_SongTitle_MI01_Master_96k24. A project may have others.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cached_property

FORBIDDEN = r'\/:*?"<>|'  # in file names of one system or another (common practice, no source)
LONGEST_SONG = 14  # letters of the song's title (the same recommendations)
RECOMMENDED = "{artist}_{song}_{mixer}{revision}_{version}_{rate}k{depth}"

_WORDS = r"[A-Za-z0-9]+(?:_[A-Za-z0-9]+)*"


@dataclass(frozen=True)
class Field:
    """`shape` is a regular expression. Letters and digits may touch each other in a name."""

    shape: str
    words: str
    example: str
    is_letters: bool = False
    is_digits: bool = False


FIELDS = {
    "artist": Field("[A-Z]{1,4}", "one to four capitals of the artist", "AI", is_letters=True),
    "song": Field("[A-Za-z0-9]+", "the song’s title without spaces or accents", "SongTitle"),
    "mixer": Field("[A-Z]{2}", "the mixer’s initials, two capitals", "MI", is_letters=True),
    "revision": Field(r"\d{2}", "the mix revision, two digits", "01", is_digits=True),
    "version": Field(_WORDS, "the mix version or the stem’s name", "Master"),
    "part": Field(_WORDS, "the part or track", "LeadVocal"),
    "take": Field(r"T?\d{1,4}", "the take’s number", "T07"),
    "date": Field(r"\d{4}-\d{2}-\d{2}", "the date, year first", "2026-01-31", is_digits=True),
    "rate": Field(
        "44|48|88|96|176|192", "the sample rate in whole kilohertz", "48", is_digits=True
    ),
    "depth": Field("16|24|32", "the bit depth", "24", is_digits=True),
}
_PIECE = re.compile(r"\{([^{}]*)\}|([^{}]+)|(.)", re.DOTALL)


class NotAPattern(ValueError):
    """What was typed is no pattern; the text is a sentence for the user."""


@dataclass(frozen=True)
class Naming:
    """A pattern that was read. `pieces` are names of fields, and between them what stands as it is."""

    pattern: str
    pieces: tuple[tuple[str, bool], ...]  # text, whether it names a field

    @classmethod
    def read(cls, pattern: str) -> "Naming":
        """Raises NotAPattern."""
        pieces = []
        for field, text, stray in _PIECE.findall(pattern):
            if stray:
                raise NotAPattern(f"A “{stray}” is left over: a field is written {{song}}.")
            pieces.append((text, False) if text else (field, True))
        _refuse_what_cannot_be_read(pieces)
        return cls(pattern, tuple(pieces))

    def fields_of(self, stem: str) -> dict[str, str] | None:
        """What the fields are in a name without its ending; None where it is named otherwise."""
        found = re.fullmatch(self._expressions[-1], stem)
        return found and found.groupdict()

    def first_wrong(self, stem: str) -> str:
        """In words what a name should have had where it first departs from the pattern."""
        for (text, is_field), upto in zip(self.pieces, self._expressions, strict=True):
            if not re.match(upto, stem):
                return f"{FIELDS[text].words} ({{{text}}})" if is_field else f"“{text}”"
        return "the end of the name"

    def example(self, **values: str) -> str:
        """A name made by the pattern; fields without a value have one of ours."""
        return "".join(
            (values.get(text) or FIELDS[text].example) if is_field else text
            for text, is_field in self.pieces
        )

    @cached_property
    def _expressions(self) -> list[str]:
        """Of the first piece, the first two, … all of them."""
        each = [
            f"(?P<{text}>{FIELDS[text].shape})" if is_field else re.escape(text)
            for text, is_field in self.pieces
        ]
        return ["".join(each[:count]) for count in range(1, len(each) + 1)]


def _refuse_what_cannot_be_read(pieces: list[tuple[str, bool]]) -> None:
    named = [text for text, is_field in pieces if is_field]
    for name in named:
        if name not in FIELDS:
            known = ", ".join(f"{{{each}}}" for each in FIELDS)
            raise NotAPattern(f"{{{name}}} is not a field. There are {known}.")
        if named.count(name) > 1:
            raise NotAPattern(f"{{{name}}} stands there twice: once is enough.")
    if not named:
        raise NotAPattern(f"Name the fields in braces, for example {RECOMMENDED}.")
    for text, is_field in pieces:
        wrong = [] if is_field else [sign for sign in text if sign in FORBIDDEN]
        if wrong:
            raise NotAPattern(f"A file’s name can’t have a “{wrong[0]}”: use an underscore.")
    for (one, is_field), (other, is_too) in zip(pieces, pieces[1:], strict=False):
        if is_field and is_too and not _can_touch(FIELDS[one], FIELDS[other]):
            raise NotAPattern(
                f"{{{one}}} and {{{other}}} would run into each other: put an underscore between."
            )


def _can_touch(one: Field, other: Field) -> bool:
    return (one.is_letters and other.is_digits) or (one.is_digits and other.is_letters)


def camel_case(text: str) -> str:
    """“Neap and Spring” as a name has it: NeapAndSpring, without spaces, signs or accents."""
    plain = unicodedata.normalize("NFKD", text).replace("’", "").replace("'", "")
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return "".join(word[0].upper() + word[1:] for word in re.findall(r"[A-Za-z0-9]+", plain))
