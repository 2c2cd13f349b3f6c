"""Phantom power P48 by IEC 61938: 48 V fed through two equal resistors to pins 2 and 3."""

from enum import StrEnum

from gear.audio.verdict import COMMON_PRACTICE, Severity, Verdict

P48_VOLTS = 48.0
#: Each feed resistor: 6.8 kilohms, 6.81 as the close-tolerance part.
P48_FEED_OHMS = 6810.0
#: Both legs carry the current, so the microphone sees the two resistors side by side.
P48_SOURCE_OHMS = P48_FEED_OHMS / 2
#: Current with both legs shorted to pin 1.
P48_SHORT_CIRCUIT_MA = 1000 * P48_VOLTS / P48_SOURCE_OHMS
#: The most power any load can draw: the load that equals the source resistance.
P48_MAX_POWER_MW = 1000 * P48_VOLTS**2 / (4 * P48_SOURCE_OHMS)


class PhantomNeed(StrEnum):
    """What phantom power is to a piece of equipment."""

    NEEDED = "needed"
    HARMLESS = "harmless"
    HARMFUL = "harmful"


def p48_voltage_at(current_ma: float) -> float:
    """Volts left at the microphone while it draws a current in mA.

    Raises ValueError outside what the supply can give, 0 to about 14.1 mA.
    """
    if not 0 <= current_ma <= P48_SHORT_CIRCUIT_MA:
        raise ValueError(
            f"P48 gives from 0 to {P48_SHORT_CIRCUIT_MA:.1f} mA; {current_ma:g} mA is outside that."
        )
    return P48_VOLTS - current_ma / 1000 * P48_SOURCE_OHMS


def p48_power_at(current_ma: float) -> float:
    """Milliwatts that reach the microphone while it draws a current in mA.

    Raises ValueError as p48_voltage_at does.
    """
    return p48_voltage_at(current_ma) * current_ma


def phantom_advice(need: PhantomNeed | str, is_on: bool) -> Verdict:
    """Whether 48 V on or off suits what is plugged in.

    Common practice; the maker’s instructions go before it. Raises ValueError for an
    unknown need.
    """
    severity, sentence = _ADVICE[PhantomNeed(need), is_on]
    return Verdict(severity, sentence, COMMON_PRACTICE)


_ADVICE: dict[tuple[PhantomNeed, bool], tuple[Severity, str]] = {
    (PhantomNeed.NEEDED, True): ("ok", "48 V is on, as this needs it."),
    (PhantomNeed.NEEDED, False): (
        "warning",
        "This needs 48 V, which is off: it will give no signal. Plug the cable in first, turn "
        "headphones and monitors down, then switch 48 V on.",
    ),
    (PhantomNeed.HARMLESS, True): (
        "note",
        "48 V is on and not needed here. Turn headphones and monitors down before switching it.",
    ),
    (PhantomNeed.HARMLESS, False): ("ok", "48 V is off, and not needed here."),
    (PhantomNeed.HARMFUL, True): (
        "warning",
        "48 V is on and can damage this. Switch it off and let it die away before "
        "plugging in; follow the maker’s instructions.",
    ),
    (PhantomNeed.HARMFUL, False): ("ok", "48 V is off, and must stay off: it can damage this."),
}
