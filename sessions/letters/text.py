"""What a letter says, as data: it is written once and shown twice, as plain text and as HTML."""

from dataclasses import dataclass

from django.template.loader import render_to_string

Change = tuple[str, str, str]  # what, before, after; either of the two may be empty
Fact = tuple[str, str]  # label, value


@dataclass(frozen=True, kw_only=True)
class Section:
    """A piece of a letter under a heading: one session of several, a list of what was done."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    facts: tuple[Fact, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LetterText:
    """A letter from its greeting to its closing, in this order; what is empty is left out. A paragraph,
    a value and the closing may have several lines. `links` are (what opens there, address)."""

    greeting: str = ""
    paragraphs: tuple[str, ...] = ()
    added_line: str = ""
    changes: tuple[Change, ...] = ()
    facts: tuple[Fact, ...] = ()
    sections: tuple[Section, ...] = ()
    links: tuple[tuple[str, str], ...] = ()
    last: tuple[str, ...] = ()
    closing: str = ""

    @classmethod
    def of_plain(cls, text: str) -> "LetterText":
        """What somebody typed: its paragraphs are set apart by empty lines."""
        lines = [line.rstrip() for line in text.strip().splitlines()]
        paragraphs = "\n".join(lines).split("\n\n")
        return cls(paragraphs=tuple(each.strip("\n") for each in paragraphs if each.strip()))

    def as_text(self) -> str:
        blocks = [
            self.greeting,
            *self.paragraphs,
            self.added_line,
            _changes(self.changes),
            _facts(self.facts),
            *(_section(each) for each in self.sections),
            *(f"{what}:\n{address}" for what, address in self.links),
            *self.last,
            self.closing,
        ]
        return "\n\n".join(block for block in blocks if block) + "\n"

    def as_html(self, subject: str) -> str:
        return render_to_string("letters/letter.html", {"subject": subject, "text": self})


def _changes(changes: tuple[Change, ...]) -> str:
    return "\n".join(["What changed:", *map(_change, changes)]) if changes else ""


def _change(change: Change) -> str:
    what, before, after = (_in_one_line(each) for each in change)
    if not before:
        return f"- {what}: new: {after}"
    if not after:
        return f"- {what}: no longer {before}"
    return f"- {what}: was {before}\n  now {after}"


def _facts(facts: tuple[Fact, ...]) -> str:
    return "\n".join(f"{label}: {_in_one_line(value)}" for label, value in facts if value)


def _section(section: Section) -> str:
    blocks = [
        section.heading,
        *section.paragraphs,
        _changes(section.changes),
        _facts(section.facts),
        *(f"- {line}" for line in section.lines),
    ]
    return "\n".join(block for block in blocks if block)


def _in_one_line(value: str) -> str:
    return ", ".join(line.strip() for line in str(value).splitlines() if line.strip())
