"""What somebody is called and where they are reached, as it is sought in texts, and what stands there
instead."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

SHORTEST_PHONE = 6  # digits
SPACE, SPACE_IN_PHONE = r"\s+", r"[\s().-]*"
#: Signs that a text may have otherwise: apostrophes, and what a letter in HTML or a calendar escapes.
OTHERWISE = {
    **dict.fromkeys("'’", "(?:['’]|&#x27;|&#39;|&rsquo;)"),
    '"': '(?:"|&quot;|&#34;)',
    "&": "(?:&|&amp;)",
    "<": "(?:<|&lt;)",
    ">": "(?:>|&gt;)",
    ",": r"\\?,",
    ";": r"\\?;",
}
BETWEEN = re.compile(
    r"[\s'’\"&<>,;\\]+"
)  # what is written alike in every text stands between these


@dataclass(frozen=True)
class Word:
    """A name, an e-mail address, a telephone number or a postal address."""

    text: str
    instead: str
    space: str = SPACE

    @cached_property
    def pattern(self) -> re.Pattern:
        """As whole words, in capitals or not, however it is spaced, and in HTML, too."""
        parts = self.text.split()
        spaced = self.space.join("".join(map(_however_written, part)) for part in parts)
        return re.compile(rf"(?<!\w){spaced}(?!\w)", re.IGNORECASE)

    @cached_property
    def longest_part(self) -> str:
        return max(BETWEEN.split(self.text), key=len)


def _however_written(sign: str) -> str:
    return OTHERWISE.get(sign, re.escape(sign))


@dataclass(frozen=True)
class Words:
    """`anywhere`: what is so much theirs that it is replaced in every text. `theirs`: also what others
    may be called as well, replaced only in rows that point to them."""

    anywhere: list[Word] = field(default_factory=list)
    theirs: list[Word] = field(default_factory=list)

    def erased(self, value, *, theirs: bool = False):
        """Text or JSON without any of it; JSON in its keys, too."""
        words = self.theirs if theirs else self.anywhere
        if isinstance(value, str):
            for word in words:
                # A function, since what stands instead may hold no group of the pattern.
                value = word.pattern.sub(lambda _, instead=word.instead: instead, value)
            return value
        if isinstance(value, dict):
            return {
                self.erased(key, theirs=theirs): self.erased(each, theirs=theirs)
                for key, each in value.items()
            }
        if isinstance(value, list):
            return [self.erased(each, theirs=theirs) for each in value]
        return value


def words_of(
    *,
    names: Iterable[str],
    emails: Iterable[str],
    phones: Iterable[str],
    places: Iterable[str],
    instead: str,
    address: str,
    shared: Iterable[str] = (),
) -> Words:
    """`instead` stands for a name, and `address` for an e-mail address, with a number in it, since what
    differed goes on to differ. What is `shared` with others, and a name of one word, is sought only in
    rows that point to them."""
    others = {each.casefold() for each in shared}
    found = [Word(name, instead) for name in _distinct(names)]
    for number, email in enumerate(_distinct(emails), start=1):
        found.append(Word(email, address.format(number)))
    found += [
        Word(phone, "(erased)", SPACE_IN_PHONE)
        for phone in _distinct(phones)
        if sum(map(str.isdigit, phone)) >= SHORTEST_PHONE
    ]
    found += [Word(place, "(erased)") for place in _distinct(places)]
    # The longest first: of “Ysolde Farrant Trio” nothing is left where both are names of theirs.
    found.sort(key=lambda word: -len(word.text))
    anywhere = [
        word for word in found if word.text.casefold() not in others and not _is_short(word)
    ]
    return Words(anywhere, found)


def _is_short(word: Word) -> bool:
    return word.text.isalpha()


def _distinct(texts: Iterable[str]) -> list[str]:
    found = {}
    for text in texts:
        if text and text.strip():
            found.setdefault(" ".join(text.split()).casefold(), text.strip())
    return list(found.values())
