"""Who hears what, as pages and sheets print it: as it stands, or as it stood at takes."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Self

from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Setup


@dataclass(frozen=True)
class HeardLine:
    """One thing that is heard in a mix; level and pan in words."""

    heard: str
    level: str
    pan: str


@dataclass(frozen=True)
class HeardMix:
    """One headphone mix in words and figures. pk is None where it is not the mix of today."""

    name: str
    listeners: tuple[str, ...]
    box: str
    output: str
    lines: tuple[HeardLine, ...]
    level_dba: float | None
    minutes_a_day: int | None
    note: str
    pk: int | None = None

    def __str__(self) -> str:
        return self.name

    @property
    def through(self) -> str:
        """Box and output in words."""
        output = f"output {self.output}" if self.output else ""
        return ", ".join(part for part in (self.box, output) if part)

    def to_json(self) -> dict:
        """As plain values for JSON."""
        facts = asdict(self) | {
            "listeners": list(self.listeners),
            "lines": [asdict(line) for line in self.lines],
        }
        del facts["pk"]
        return facts

    @classmethod
    def from_json(cls, data: dict) -> Self:
        lines = tuple(HeardLine(**line) for line in data["lines"])
        return cls(**data | {"listeners": tuple(data["listeners"]), "lines": lines})

    @classmethod
    def of(cls, mix: HeadphoneMix) -> Self:
        """As it stands now. The mix is loaded `for_list`."""
        return cls(
            mix.name,
            tuple(f"{person}" for person in mix.listeners.all()),
            f"{mix.box}" if mix.box else "",
            mix.output,
            tuple(HeardLine(line.heard, line.level, line.pan) for line in mix.lines.all()),
            None if mix.level_dba is None else float(mix.level_dba),
            mix.minutes_a_day,
            mix.note,
            mix.pk,
        )


def mixes_of(setups: Iterable[Setup | int]) -> dict[int, list[HeardMix]]:
    """The headphone mixes of each of the setups, by its key; a constant number of queries."""
    found = defaultdict(list)
    for mix in HeadphoneMix.objects.filter(setup__in=list(setups)).for_list():
        found[mix.setup_id].append(HeardMix.of(mix))
    return found
