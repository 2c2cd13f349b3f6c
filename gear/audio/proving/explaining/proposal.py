"""What is proposed for a chain that doesn't do what it did: which controls, how far, what would remain."""

from dataclasses import asdict, dataclass
from typing import Literal, Self

#: Why nothing is proposed, in a sentence for the page.
REASONS = {
    "alike": "It agrees with what was measured then, within the tolerance.",
    "not measured": "Too little of both measurements is known to tell one control from another.",
    "no controls": "No control of this chain is logged that the arithmetic knows.",
    "not explained": "No turn of up to three logged controls brings it back.",
    "elsewhere": "Only the level differs, and no logged control gives it: look at the level that "
    "the file was fed at, the pad and the converter.",
    "harm": "What would bring it back is not proposed, as our record says that it would do harm.",
}
Reason = Literal["alike", "not measured", "no controls", "not explained", "elsewhere", "harm"]


@dataclass(frozen=True)
class Move:
    """One control to turn, from one value to the other on its own scale.

    from_value is where the record says that it stands. It acts as it did when it stood at acts_as:
    if that is where it stands in fact, it goes from there to where it was. stands_elsewhere: only
    that can be so, as the turn from the recorded place would leave the scale; then from_value is acts_as.
    effect_db: the most that the turn changes at any frequency or level. off and turned: how far it acts
    off and how far it is turned, in its coordinate, from which the next round learns its law.
    """

    key: str
    meaning: str
    unit: str
    from_value: float
    to_value: float
    acts_as: float
    stands_elsewhere: bool
    effect_db: float
    off: float = 0.0
    turned: float = 0.0


@dataclass(frozen=True)
class Remainder:
    """What differs now, or would remain: the gain of the softest level, the response apart from that
    (the most, in Hz where), the curve apart from that (the most, at which level in). dB, above 0 more."""

    level_db: float
    response_db: float
    response_hz: float | None
    curve_db: float
    curve_level: float | None

    @property
    def worst_db(self) -> float:
        return max(abs(self.level_db), self.shape_db)

    @property
    def shape_db(self) -> float:
        """The most apart from the level."""
        return max(abs(self.response_db), abs(self.curve_db))


@dataclass(frozen=True)
class Explanation:
    """Controls that together explain the difference. elsewhere_db: besides, or only, so much level is
    lost or gained where no logged control is. harm: why these turns are not to be made, empty if they may."""

    moves: tuple[Move, ...]
    elsewhere_db: float
    remains: Remainder
    harm: str = ""

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(move.key for move in self.moves)


@dataclass(frozen=True)
class Proposal:
    """best is None where nothing is proposed, and `why_none` says why. alternatives explain as well, the
    likeliest first. is_rough: the laws of these controls are not known, so turn and measure again."""

    differs: Remainder | None
    best: Explanation | None
    alternatives: tuple[Explanation, ...] = ()
    why_none: Reason | None = None
    is_rough: bool = False
    withheld: tuple[Explanation, ...] = ()

    @property
    def sentence(self) -> str:
        """Why nothing is proposed; empty where something is."""
        return REASONS[self.why_none] if self.why_none else ""

    def as_json(self) -> dict:
        return asdict(self)

    @classmethod
    def from_json(cls, data: dict) -> Self:
        """Raises KeyError and TypeError for what is none."""
        several = ("alternatives", "withheld")
        return cls(
            **data
            | {
                "differs": data["differs"] and Remainder(**data["differs"]),
                "best": data["best"] and _explanation(data["best"]),
                **{name: tuple(map(_explanation, data[name])) for name in several},
            }
        )


def _explanation(data: dict) -> Explanation:
    moves = tuple(Move(**move) for move in data["moves"])
    return Explanation(**data | {"moves": moves, "remains": Remainder(**data["remains"])})
