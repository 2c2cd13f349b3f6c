"""Which of the two test files a plan is of. No Django: a return is read in a child."""

from gear.audio.proving.plan import Plan
from gear.audio.proving.three_tones.layout import ThreeTones


def layout_of(plan: dict) -> Plan | ThreeTones:
    """Raises ValueError where another version of the program made the file."""
    return (ThreeTones if "bottom_hz" in plan else Plan).from_json(plan)
