"""The levels of a chain and its test tone, in words and figures."""

from gear.audio.values import format_value, number_text
from sessions.setups.levels.plan import LevelPlan
from sessions.setups.models import Revision

NOT_WRITTEN_DOWN = "not written down"


def level_facts(revision: Revision, levels: LevelPlan) -> list[tuple[str, str]]:
    """Name and value of each fact, what nobody wrote down too."""
    facts = [
        ("Source", _source(revision, levels)),
        ("Converter", _converter(levels)),
        ("Recorded as", f"{levels.format.rate}, {levels.format.depth}"),
        ("Test tone", _tone(revision)),
    ]
    if revision.readings_from:
        facts.append(("Levels read", f"on revision {revision.readings_from}"))
    return facts


def changed_format(revision: Revision) -> str:
    """That the project has another format by now; empty where it has not. Costs no query if it is
    loaded `with_stages`."""
    if revision.recording_format != revision.format_today:
        return f"The project stands at {revision.format_today} today."
    return ""


def _source(revision: Revision, levels: LevelPlan) -> str:
    level = number_text(revision.source_spl_db, "dB SPL")
    distance = number_text(revision.source_distance_cm, "cm")
    at_source = f"{level} at {distance}" if level and distance else level
    return ", ".join(filter(None, (at_source, levels.source))) or NOT_WRITTEN_DOWN


def _converter(levels: LevelPlan) -> str:
    dbfs = levels.converter_dbfs
    level = "level not known" if dbfs is None else format_value(round(dbfs, 1), "dBFS")
    return f"{level} ({levels.format.alignment})"


def _tone(revision: Revision) -> str:
    said = (number_text(revision.tone_hz, "Hz"), number_text(revision.tone_dbu, "dBu"))
    return ", ".join(filter(None, said)) or NOT_WRITTEN_DOWN
