"""A mix as a table, one line a strip: what its form reads and writes."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from gear.equipment.models import Unit
from gear.patchbay.models import PatchPoint
from sessions.deliverables.mixes.models import MixRevision, MixStrip, StripKind, Tap

#: What the columns say, in order; lists are written under these heads.
COLUMNS = {
    "kind": "Kind",
    "name": "Name",
    "plays": "Plays",
    "played_from": "Played from",
    "fader_db": "Fader",
    "pan": "Pan",
    "is_muted": "Mute",
    "inserts": "Inserts",
    "sends": "Sends",
    "feeds": "To bus",
    "note": "Note",
}
STRIP_FACTS = (
    "kind",
    "name",
    "plays",
    "played_from",
    "fader_db",
    "pan",
    "is_muted",
    "feeds",
    "note",
)


@dataclass(frozen=True)
class NamedUnit:
    """A unit as it was typed; the jacks are those that it is wired to."""

    unit: Unit
    channel: int | None = None
    patch_in: PatchPoint | None = field(default=None, compare=False)
    patch_out: PatchPoint | None = field(default=None, compare=False)

    @property
    def key(self) -> tuple[int, int | None]:
        return self.unit.pk, self.channel


@dataclass(frozen=True)
class Send:
    to: str
    level: str = ""
    tap: str = Tap.POST


@dataclass(frozen=True)
class Line:
    """A strip as it is to stand; `was` is where it stands now, None for a new one."""

    was: int | None
    facts: dict
    inserts: tuple[NamedUnit, ...] = ()
    sends: tuple[Send, ...] = ()


def lines_of(revision: MixRevision) -> list[Line]:
    """Of a revision loaded `with_strips`."""
    return [
        Line(
            strip.position,
            {name: getattr(strip, name) for name in STRIP_FACTS},
            tuple(NamedUnit(insert.unit, insert.channel) for insert in strip.inserts.all()),
            tuple(Send(send.to, send.level, send.tap) for send in strip.sends.all()),
        )
        for strip in revision.strips.all()
    ]


def cells_of(strip: MixStrip) -> dict[str, str]:
    """What the columns say of a strip of a revision loaded `with_strips`."""
    return {
        "kind": strip.get_kind_display(),
        "name": strip.name,
        "plays": strip.plays,
        "played_from": strip.played_from,
        "fader_db": strip.fader_text,
        "pan": strip.pan_text,
        "is_muted": "muted" if strip.is_muted else "",
        "inserts": inserts_text(strip),
        "sends": sends_text(strip),
        "feeds": strip.feeds,
        "note": strip.note,
    }


def inserts_text(strip: MixStrip) -> str:
    return ", ".join(insert.tag for insert in strip.inserts.all())


def sends_text(strip: MixStrip) -> str:
    return "; ".join(map(str, strip.sends.all()))


def read_sends(typed: str, returns: Iterable[str]) -> tuple[Send, ...]:
    """“Plate −12 dB; Echo −20 dB pre”: a return's name, the level, and pre where it is not post.
    Raises ValueError with a sentence that says what is wrong."""
    sends = tuple(
        _read_send(" ".join(each.split()), returns) for each in typed.split(";") if each.strip()
    )
    named = [send.to for send in sends]
    for name in named:
        if named.count(name) > 1:
            raise ValueError(f"{name} is fed twice: give one level.")
    return sends


def _read_send(typed: str, returns: Iterable[str]) -> Send:
    for name in sorted(returns, key=len, reverse=True):
        if f"{typed} ".casefold().startswith(f"{name} ".casefold()):
            words = typed[len(name) :].split()
            tap = Tap.POST
            if words and words[-1].casefold() in Tap.values:
                tap = Tap(words.pop().casefold())
            return Send(name, " ".join(words), tap)
    offered = ", ".join(returns) or "none yet: add a line of the kind Return"
    raise ValueError(f"“{typed}” names no return of this mix ({offered}).")


#: A console's strips as they stand from left to right.
ORDER = list(StripKind)


def in_order(lines: Iterable[Line]) -> list[Line]:
    """Channels, returns, buses, the stereo bus; each kind as it was typed."""
    return sorted(lines, key=lambda line: ORDER.index(StripKind(line.facts["kind"])))
