"""How a level is typed and how it is written: +4.0 dBu, −14.0 dBFS, −10.0 dBV, 1.23 V."""

from gear.audio.levels import dbu_from_dbfs, dbu_from_dbv, dbu_from_volts
from gear.audio.numbers import plainly, read_number
from gear.audio.values import format_value

EXPECTED = "Enter a level such as +4.0 dBu, −14.0 dBFS, −10.0 dBV or 1.23 V; a bare number is dBu."

#: Typed for a meter that doesn't move.
NO_LEVEL = {"-∞", "-inf", "-infinity", "off"}


def parse_level(text: str, *, full_scale_dbu: float) -> float:
    """The level in dBu that was typed, in dBu, dBFS (a sine, at that alignment), dBV or volts.

    Raises ValueError that says what is wrong, or what is understood.
    """
    if plainly(text).replace(" ", "").casefold().removesuffix("db") in NO_LEVEL:
        raise ValueError("No signal has no level in figures: leave it empty, and say so in a note.")
    if (dbu := read_number(text, "dBu")) is not None:
        return dbu
    if (dbfs := read_number(text, "dBFS")) is not None:
        if dbfs > 0:
            raise ValueError("A converter reads no more than 0 dBFS.")
        return dbu_from_dbfs(dbfs, full_scale_dbu)
    if (dbv := read_number(text, "dBV")) is not None:
        return dbu_from_dbv(dbv)
    if (volts := read_number(text, "V")) is not None:
        return dbu_from_volts(volts)
    raise ValueError(f"“{text.strip()}” is not understood here. {EXPECTED}")


def level_text(dbu: float) -> str:
    """A level to a tenth of a decibel: +4.0 dBu, −52.4 dBu."""
    return format_value(round(dbu, 1), "dBu")
