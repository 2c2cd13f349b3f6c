"""The levels of a chain and its test tone, in words and figures."""

from gear.audio.values import MINUS, format_value, number_text
from sessions.setups.levels.plan import LevelPlan, StagePlan
from sessions.setups.models import Revision

NOT_LOGGED = "not logged"


def level_facts(revision: Revision, levels: LevelPlan) -> list[tuple[str, str]]:
    """Name and value of each fact, what nobody wrote down too."""
    facts = [
        ("Source", source_text(revision, levels)),
        ("Converter", converter_text(levels)),
        ("Recorded as", f"{levels.format.rate}, {levels.format.depth}"),
        ("Test tone", tone_text(revision)),
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


def source_text(revision: Revision, levels: LevelPlan) -> str:
    level = number_text(revision.source_spl_db, "dB SPL")
    distance = number_text(revision.source_distance_cm, "cm")
    at_source = f"{level} at {distance}" if level and distance else level
    return ", ".join(filter(None, (at_source, levels.source))) or NOT_LOGGED


def converter_text(levels: LevelPlan) -> str:
    dbfs = levels.converter_dbfs
    level = "level not known" if dbfs is None else format_value(round(dbfs, 1), "dBFS")
    return f"{level} ({levels.format.alignment})"


def tone_text(revision: Revision) -> str:
    said = (number_text(revision.tone_hz, "Hz"), number_text(revision.tone_dbu, "dBu"))
    return ", ".join(filter(None, said)) or NOT_LOGGED


#: Columns of a chain's levels: how strong the signal leaves a stage.
HEADS = ("dBu", "read", "tone", "headroom")


def in_columns(plan: StagePlan) -> str:
    """What leaves the stage, under HEADS; a dash where it is not known. One text, set in figures of
    one width: on paper four boxes a stage would take a tenth of the time."""
    stage, headroom = plan.stage, plan.headroom_db
    return columns(
        _figure(plan.out_dbu, "+.1f"),
        _figure(plan.read_dbu, "+.1f"),
        _figure(stage.tone_reading_dbu, "+.2f"),
        _figure(headroom, ".1f") + (" clips" if plan.clips else ""),
    )


def in_words(plan: StagePlan) -> str:
    """The same of a stage that no wire leads out of."""
    names = ("Out", "dBu, calculated; read", "dBu; tone", "dBu; headroom")
    figures = in_columns(plan).split(maxsplit=3)
    return (
        " ".join(f"{name} {figure}" for name, figure in zip(names, figures, strict=True)) + " dB."
    )


def columns(dbu: str, read: str, tone: str, headroom: str) -> str:
    return f"{dbu:>7}{read:>7}{tone:>8}{headroom:>9}"


def _figure(value: float | None, form: str) -> str:
    return "–" if value is None else format(value, form).replace("-", MINUS)
