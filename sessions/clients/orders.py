"""What a client orders to be delivered for every song of a project."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import models


class DeliverableKind(models.TextChoices):
    ROUGH_MIX = "rough_mix", "Rough mix"
    MIX = "mix", "Mix"
    WITHOUT_LEAD = "without_lead", "Mix without lead"
    INSTRUMENTAL = "instrumental", "Instrumental"
    A_CAPPELLA = "a_cappella", "A cappella"
    CLEAN = "clean", "Clean mix"
    VOCAL_UP = "vocal_up", "Vocal up"
    VOCAL_DOWN = "vocal_down", "Vocal down"
    STEMS = "stems", "Stems"
    MULTITRACK = "multitrack", "Consolidated multitrack"
    SESSION_ARCHIVE = "session_archive", "Workstation session archive"
    DOCUMENTATION = "documentation", "Documentation"


# What is one stereo (or surround) mix to be listened to, with versions that can be compared.
MIX_KINDS = (
    DeliverableKind.ROUGH_MIX,
    DeliverableKind.MIX,
    DeliverableKind.WITHOUT_LEAD,
    DeliverableKind.INSTRUMENTAL,
    DeliverableKind.A_CAPPELLA,
    DeliverableKind.CLEAN,
    DeliverableKind.VOCAL_UP,
    DeliverableKind.VOCAL_DOWN,
)


class Container(models.TextChoices):
    """What sound may be delivered in. RF64 and BW64 are WAV files of any length."""

    WAV = "wav", "WAV"
    AIFF = "aiff", "AIFF"
    FLAC = "flac", "FLAC"
    MP3 = "mp3", "MP3"
    MP4 = "mp4", "M4A"


@dataclass(frozen=True)
class Order:
    """What is to be delivered for each song, and how. What is None or empty was not agreed.

    `stems` are their names, one file each; `each_part` wants a file of the multitrack for every part
    that was recorded.
    """

    for_each_song: tuple[str, ...] = (DeliverableKind.ROUGH_MIX,)
    sample_rate: int | None = None
    bit_depth: int | None = None
    containers: tuple[str, ...] = ()
    true_peak_ceiling_dbtp: float | None = None
    stems: tuple[str, ...] = ()
    each_part: bool = False
    same_length: bool = False
    time_stamps: bool = False

    @classmethod
    def read(cls, rules: dict) -> "Order":
        """As `Project.delivery_rules` keeps it; a rough mix where nothing was agreed."""
        return cls(**{name: _frozen(value) for name, value in rules.items()})

    @property
    def kinds(self) -> list[DeliverableKind]:
        """In the order of the choices."""
        return [kind for kind in DeliverableKind if kind in self.for_each_song]

    @property
    def containers_in_words(self) -> str:
        return " or ".join(Container(each).label for each in self.containers)

    @property
    def set_rules(self) -> list[str]:
        """What stems and multitrack have to have in common, in words."""
        agreed = {
            "a file for every recorded part": self.each_part,
            "one start and one length": self.same_length,
            "a time stamp in every file": self.time_stamps,
        }
        return [words for words, is_agreed in agreed.items() if is_agreed]


def rules_for(kinds: Iterable[str], **agreed) -> dict:
    """As `Project.delivery_rules` keeps them: fields of an Order, only those that were agreed."""
    rules = {name: value for name, value in agreed.items() if value or isinstance(value, float)}
    return {"for_each_song": list(kinds)} | rules


def _frozen(value):
    return tuple(value) if isinstance(value, list) else value
