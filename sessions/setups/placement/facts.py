"""Where a microphone stood, in words and figures."""

from decimal import Decimal

from gear.audio.patterns import is_unknown_pattern
from gear.audio.values import MINUS
from sessions.setups.models import Placement, Towards

NOT_MEASURED = "not measured"
NOT_LOGGED = "not logged"
#: Beside a word for a pattern that the list doesn't have.
NOT_KNOWN = "Not a known pattern: what it takes off at the side is not reckoned."


def placement_facts(placement: Placement) -> list[tuple[str, str]]:
    """Name and value of each fact, the ones that nobody wrote down too."""
    return [
        ("Distance", _measure(placement.distance_cm, "cm", "from the capsule to the source")),
        ("Height", _measure(placement.height_cm, "cm", "from the floor to the capsule")),
        ("Angle", _angle(placement.angle_deg, placement.angle_towards)),
        ("Orientation", placement.get_orientation_display().lower() or NOT_LOGGED),
        ("Pattern", _pattern(placement.pattern)),
        ("Pop filter", _pop_filter(placement)),
        ("Stand", placement.stand or NOT_LOGGED),
        ("Cable", placement.cable or NOT_LOGGED),
        *_position(placement),
    ]


def _measure(value: Decimal | None, unit: str, words: str) -> str:
    return NOT_MEASURED if value is None else f"{_figure(value)} {unit} {words}"


def _angle(degrees: Decimal | None, towards: str) -> str:
    """Left and right as one faces the source from the microphone."""
    if degrees == 0:
        return "0°, straight at the source"
    way = f"its axis points {Towards(towards).label.lower()}" if towards else ""
    if degrees is None:
        return f"{NOT_MEASURED}, {way}" if way else NOT_MEASURED
    if way:
        return f"{_figure(degrees)}°, {way}"
    return f"{_figure(degrees)}° between its axis and the source, direction {NOT_LOGGED}"


def _position(placement: Placement) -> list[tuple[str, str]]:
    """In its group; nothing is missing where it stands in none."""
    ways = (
        (placement.across_cm, "to the right", "to the left"),
        (placement.along_cm, "in front", "behind"),
    )
    said = [
        f"{_figure(abs(cm))} cm {ahead if cm >= 0 else back}"
        for cm, ahead, back in ways
        if cm is not None
    ]
    return [("Position", f"{', '.join(said)}, from its group’s middle")] if said else []


def _pattern(written: str) -> str:
    if is_unknown_pattern(written):
        return f"{written} (not a known pattern)"
    return written or NOT_LOGGED


def _pop_filter(placement: Placement) -> str:
    if not placement.pop_filter:
        return "none"
    if placement.pop_filter_cm is None:
        return f"in place, {NOT_MEASURED}"
    return f"in place, {_figure(placement.pop_filter_cm)} cm from the capsule"


def _figure(value: Decimal) -> str:
    """As many decimals as it has: 20.0 is written 20."""
    return f"{Decimal(value).normalize():f}".replace("-", MINUS)
