"""How dates, levels, a minus and an apostrophe are written: what of a page's words is not so."""

import re

MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
LONG_MONTHS = (
    "January|February|March|April|May|June|July|August|September|October|November|December"
)
DAY, LONG_DAY = "(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)", r"[A-Z][a-z]{2,6}day"
A_DATE = rf"(?:\w+ )?\d{{1,2}}\w* (?:{MONTHS}|{LONG_MONTHS}),? \d{{4}}"
# On pages; in titles; and the last day of a week, whose first stands before it.
WELL_WRITTEN = (
    rf"{DAY} \d{{1,2}} (?:{MONTHS}) \d{{4}}"
    rf"|{LONG_DAY} \d{{1,2}} (?:{LONG_MONTHS}) \d{{4}}"
    rf"|to \d{{1,2}} (?:{LONG_MONTHS}) \d{{4}}"
)
IN_FIGURES = r"\b\d{1,2}[/.]\d{1,2}[/.]\d{4}\b"
A_LEVEL = r"[+−-]?\d+(?:\.\d+)? (?:dBu|dBFS|dBTP|LUFS|LU)\b"
TO_A_TENTH = r"[+−]?\d+\.\d \w+|0 dBFS|0 dBTP"  # full scale itself is no level that was read
HYPHEN_AS_MINUS = r"(?<![\w.:/])-\d[\d.]* ?(?:dB\w*|LU\w*|ms|s|V|mV|Hz|kHz|cm|m|°|%)(?!\w)"
STRAIGHT = r"\w+'[a-z]+"


def misspelt(words: str) -> list[str]:
    dates = [each for each in re.findall(A_DATE, words) if not re.fullmatch(WELL_WRITTEN, each)]
    levels = [each for each in re.findall(A_LEVEL, words) if not re.fullmatch(TO_A_TENTH, each)]
    others = [
        each
        for wrong in (IN_FIGURES, HYPHEN_AS_MINUS, STRAIGHT)
        for each in re.findall(wrong, words)
    ]
    return dates + levels + others
