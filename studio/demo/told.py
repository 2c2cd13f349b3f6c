"""Models and controls of the demo, each told in one line."""

from dataclasses import dataclass, field

from gear.equipment.models import SignalLevel
from gear.panels.models import Kind, Meaning, Scale


@dataclass(frozen=True)
class C:
    """A control, told in one line."""

    label: str
    marks: str = ""
    meaning: str = Meaning.OTHER
    unit: str = ""
    kind: str = Kind.CONTINUOUS
    group: str = ""
    scale: str = Scale.LINEAR
    band: int | None = None
    serves_all: bool = False


@dataclass(frozen=True)
class M:
    """A model with its panel and the tags of its units."""

    maker: str
    name: str
    category: str
    tags: list[str]
    facts: dict = field(default_factory=dict)
    controls: list[C] = field(default_factory=list)
    rack: str = ""


OUT_IN = "0 = out, 1 = in"
OFF_ON = "0 = off, 1 = on"
MIC, LINE = SignalLevel.MICROPHONE, SignalLevel.LINE
INSTRUMENT = SignalLevel.INSTRUMENT
