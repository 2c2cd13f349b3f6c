"""What a chain is recorded as: the project's format, stored with a revision when it is fixed."""

from dataclasses import dataclass, field
from typing import Self

from gear.audio.values import format_value
from sessions.clients.models import BitDepth, Project, SampleRate


@dataclass(frozen=True)
class RecordingFormat:
    """full_scale_dbu: the analogue level of 0 dBFS; clock and click in words, as the setup has them."""

    sample_rate: int
    bit_depth: int
    full_scale_dbu: float
    clock: str = field(default="", compare=False)
    click: str = field(default="", compare=False)

    def __str__(self) -> str:
        return ", ".join((self.rate, self.depth, self.alignment))

    @property
    def rate(self) -> str:
        return SampleRate(self.sample_rate).label

    @property
    def depth(self) -> str:
        return BitDepth(self.bit_depth).label

    @property
    def alignment(self) -> str:
        return f"0 dBFS at {format_value(self.full_scale_dbu, 'dBu')}"

    @classmethod
    def of(cls, project: Project, *, clock: str = "", click: str = "") -> Self:
        scale = float(project.full_scale_dbu)
        return cls(project.sample_rate, project.bit_depth, scale, clock, click)
