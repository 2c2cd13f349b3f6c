"""A patch list as plain values: connections, cords, what normals make and what breaks them."""

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field, replace

from gear.equipment.models import SignalLevel
from gear.patchbay.wiring import Jack


@dataclass(frozen=True)
class End:
    """Where a connection starts or ends: what it is called, and the jack, if it is at a bay.

    `choices`: the jacks that the unit is wired to while nobody said which of them; `path`: printed
    or monitor only; `tag`: the unit's, and which channel of it.
    """

    name: str
    jack: Jack | None = None
    unit_id: int | None = None
    choices: tuple[Jack, ...] = ()
    path: str = field(default="", compare=False)
    channel: int | None = None
    tag: str = field(default="", compare=False)

    @property
    def key(self) -> Hashable:
        return self.jack.pk if self.jack else self.name


@dataclass(frozen=True)
class Link:
    """One output that is to feed one input, and the chains that want it; how long its cord is, if that
    was logged."""

    source: End
    destination: End
    chains: tuple[Hashable, ...] = ()
    cord_cm: int | None = field(default=None, compare=False)

    @property
    def ends(self) -> tuple[End, End]:
        return self.source, self.destination

    @property
    def jacks(self) -> tuple[Jack, ...]:
        return tuple(end.jack for end in self.ends if end.jack)

    @property
    def levels(self) -> tuple[str, ...]:
        """The levels at its jacks: one where they agree."""
        return tuple(dict.fromkeys(jack.level for jack in self.jacks))

    @property
    def level_in_words(self) -> str:
        return " to ".join(SignalLevel(level).label.lower() for level in self.levels)

    @property
    def is_microphone_line(self) -> bool:
        return SignalLevel.MICROPHONE in self.levels


@dataclass(frozen=True)
class BrokenNormal:
    """A normal that plugs break: the lower jack's input no longer hears the upper jack's source.

    `by` are the cords that break it; `chains` those whose signal comes up at the upper jack.
    """

    upper: Jack
    lower: Jack
    kind: str
    plugged: Jack
    by: tuple[Link, ...]
    chains: tuple[Hashable, ...]

    @property
    def kind_in_words(self) -> str:
        return "full" if self.kind == "full" else "half"

    @property
    def jack_in_words(self) -> str:
        return "bottom jack" if self.plugged == self.lower else "top jack"


@dataclass(frozen=True)
class Tap:
    """A half-normal that goes on feeding the lower jack's input while the upper one is plugged."""

    upper: Jack
    lower: Jack
    chains: tuple[Hashable, ...]


@dataclass(frozen=True)
class TieLineUse:
    """What is plugged into a line of a wall box, and the jack where that comes up."""

    tie_line: str
    jack: Jack
    name: str
    chains: tuple[Hashable, ...]


@dataclass(frozen=True)
class MultUse:
    """A mult, what feeds it, and the jacks from which copies are taken."""

    name: str
    source: End
    copies: tuple[Jack, ...]
    chains: tuple[Hashable, ...]


@dataclass(frozen=True)
class PatchList:
    """What to plug: cords in the order of patching, and what else to know."""

    cords: tuple[Link, ...] = ()
    by_normal: tuple[Link, ...] = ()
    direct: tuple[Link, ...] = ()
    normals_broken: tuple[BrokenNormal, ...] = ()
    taps: tuple[Tap, ...] = ()
    tie_lines: tuple[TieLineUse, ...] = ()
    mults: tuple[MultUse, ...] = ()

    @property
    def links(self) -> tuple[Link, ...]:
        return self.cords + self.by_normal + self.direct

    @property
    def has_microphone_lines(self) -> bool:
        return any(cord.is_microphone_line for cord in self.cords)

    @property
    def is_at_bay(self) -> bool:
        return bool(self.cords or self.by_normal)

    def with_chains_in_words(self, said: Callable[[tuple], str]) -> "PatchList":
        """The same, its chains as `said` has them."""

        def worded(thing):
            return replace(thing, chains=(said(thing.chains),) if thing.chains else ())

        cords = {cord: worded(cord) for cord in self.cords}
        broken = (
            replace(each, by=tuple(cords.get(cord, cord) for cord in each.by))
            for each in self.normals_broken
        )
        return replace(
            self,
            cords=tuple(cords.values()),
            normals_broken=tuple(map(worded, broken)),
            **{
                name: tuple(map(worded, getattr(self, name)))
                for name in ("by_normal", "direct", "taps", "tie_lines", "mults")
            },
        )

    def concerning(self, chains: Iterable[Hashable]) -> "PatchList":
        """Only what these chains want, break or lose."""
        wanted = set(chains)

        def ours(things):
            return tuple(thing for thing in things if wanted.intersection(thing.chains))

        cords = ours(self.cords)
        return replace(
            self,
            cords=cords,
            by_normal=ours(self.by_normal),
            direct=ours(self.direct),
            normals_broken=tuple(
                broken
                for broken in self.normals_broken
                if wanted.intersection(broken.chains) or set(cords).intersection(broken.by)
            ),
            taps=ours(self.taps),
            tie_lines=ours(self.tie_lines),
            mults=ours(self.mults),
        )
