from dataclasses import asdict, dataclass


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """Seconds of something of ours over those of what it is compared with."""

    what: str
    seconds: float
    against: float
    goal: float

    @property
    def value(self) -> float:
        return self.seconds / self.against

    @property
    def met(self) -> bool:
        return self.value <= self.goal

    def row(self) -> dict:
        return asdict(self) | {"ratio": self.value, "met": self.met}
