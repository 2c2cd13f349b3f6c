"""Phantom power, 48 V (P48 of IEC 61938), against what it is plugged into."""

from gear.audio.verdict import COMMON_PRACTICE, Severity, Verdict


def phantom_advice(need: str, is_on: bool) -> Verdict:
    """Whether 48 V on or off suits what is plugged in; need: "needed", "harmless" or "harmful".

    Common practice; the maker’s instructions go before it.
    """
    severity, sentence = _ADVICE[need, is_on]
    return Verdict(severity, sentence, COMMON_PRACTICE)


_ADVICE: dict[tuple[str, bool], tuple[Severity, str]] = {
    ("needed", True): ("ok", "48 V is on, as this needs it."),
    ("needed", False): (
        "warning",
        "This needs 48 V, which is off: it will give no signal. Plug the cable in first, turn "
        "headphones and monitors down, then switch 48 V on; if another supply feeds it, add that as "
        "the unit after it.",
    ),
    ("harmless", True): (
        "note",
        "48 V is on and not needed here. Turn headphones and monitors down before switching it.",
    ),
    ("harmless", False): ("ok", "48 V is off, and not needed here."),
    ("harmful", True): (
        "warning",
        "48 V is on and can damage this. Switch it off and let it die away before "
        "plugging in; follow the maker’s instructions.",
    ),
    ("harmful", False): ("ok", "48 V is off, and must stay off: it can damage this."),
}
