"""A rebuild as a list: every control with what was logged and how it was set."""

from collections.abc import Iterator

from gear.audio.values import setting_text
from sessions.recall.rebuilds.lines import Checklist, ControlLine

COLUMNS = (
    "chain",
    "source",
    "unit",
    "logged unit",
    "unit in use",
    "control",
    "logged",
    "set",
    "difference",
    "within tolerance",
    "set by",
)


def csv_rows(checklist: Checklist) -> Iterator[list[str]]:
    for chain in checklist.chains:
        for line in chain.stages:
            where = [f"{chain.wanted.number}", chain.wanted.source, f"{line.wanted.position}"]
            units = [line.wanted.unit_in_words, f"{line.in_use or 'left out'}"]
            for cells in [_control(each) for each in line.controls] or [[""] * 6]:
                yield [*where, *units, *cells]


def _control(line: ControlLine) -> list[str]:
    return [
        f"{line.control}",
        line.match.logged_text if line.match else "",
        setting_text(line.set_to, line.control.dial(), line.control.unit) if line.is_set else "",
        line.off_words,
        "" if line.travel is None else ("no" if line.is_off else "yes"),
        f"{line.tick.ticked_by}" if line.is_set else "",
    ]
