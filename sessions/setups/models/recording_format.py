"""What a chain is recorded as: the project's format, stored with a revision when it is fixed."""

from dataclasses import dataclass
from typing import Self

from gear.audio.values import format_value
from sessions.clients.models import BitDepth, Project, SampleRate


@dataclass(frozen=True)
class RecordingFormat:
    """full_scale_dbu: the analogue level of 0 dBFS."""

    sample_rate: int
    bit_depth: int
    full_scale_dbu: float

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
    def of(cls, project: Project) -> Self:
        return cls(project.sample_rate, project.bit_depth, float(project.full_scale_dbu))
