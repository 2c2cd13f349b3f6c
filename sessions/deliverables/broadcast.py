"""What a recorder or workstation wrote into a file, in words."""

from sessions.deliverables.models import DeliverableFile

BEXT = {
    "description": "Description",
    "originator": "Originator",
    "originator_reference": "Originator reference",
    "origination_date": "Date",
    "origination_time": "Time",
    "coding_history": "Coding history",
}
IXML = {"project": "Project", "scene": "Scene", "tape": "Tape", "take": "Take"}


def notes_inside(file: DeliverableFile) -> list[tuple[str, str]]:
    """Name and value of everything that is written in the `bext` and iXML chunks."""
    bext, ixml = file.bext or {}, file.ixml or {}
    found = [(name, bext.get(key)) for key, name in BEXT.items()]
    if bext:
        found.append(("Time stamp", _time_stamp(bext["time_reference"], file.sample_rate)))
    found += [(name, ixml.get(key)) for key, name in IXML.items()]
    found.append(("Tracks", ", ".join(ixml.get("track_names", ()))))
    return [(name, value) for name, value in found if value]


def _time_stamp(samples: int, rate: int) -> str:
    """The first sample's time of day (EBU Tech 3285: samples since midnight)."""
    seconds, rest = divmod(samples, rate)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    clock = f"{hours:02}:{minutes:02}:{seconds:02}"
    return f"{clock} and {rest} samples ({samples:,} samples after midnight)"
