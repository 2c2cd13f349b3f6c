"""The levels of a chain and its test tone, in words and figures."""

from collections.abc import Iterable

from gear.audio.values import MINUS, format_value, number_text
from sessions.setups.levels.plan import LevelPlan
from sessions.setups.levels.tone import takes_tone
from sessions.setups.models import Revision, Stage

NOT_LOGGED = "not logged"


def changed_format(revision: Revision) -> str:
    """That the project has another format by now; empty where it has not. Costs no query if it is
    loaded `with_stages`."""
    if revision.recording_format != revision.format_today:
        return f"The project stands at {revision.format_today} today."
    return ""


def source_text(revision: Revision, levels: LevelPlan) -> str:
    """As logged, and what that comes to."""
    said = dict.fromkeys((revision.source_level_text, levels.source))
    return ", ".join(filter(None, said)) or NOT_LOGGED


def converter_text(levels: LevelPlan) -> str:
    dbfs = levels.converter_dbfs
    level = "level not known" if dbfs is None else format_value(round(dbfs, 1), "dBFS")
    return f"{level} ({levels.format.alignment})"


def tone_text(revision: Revision, entry: Stage | None = None) -> str:
    """What was fed in, and into which unit."""
    figures = (number_text(revision.tone_hz, "Hz"), number_text(revision.tone_dbu, "dBu"))
    said = ", ".join(filter(None, figures))
    if not said:
        return NOT_LOGGED
    return f"{said} into unit {entry.position}, {entry.facts.unit.tag}" if entry else said


def tone_entry(revision: Revision) -> Stage | None:
    """The unit that the tone goes into: the first after the microphone and its supply."""
    takes_it = (
        stage
        for stage in revision.stages.all()
        if stage.is_printed and takes_tone(stage.facts.unit.model.category)
    )
    return next(takes_it, None)


#: What is told of the level that leaves a stage, with the width of its column on paper.
HEADS = ("out", "read", "tone", "headroom")
WIDTHS = (7, 7, 8, 9)


def level_figures(
    out_dbu: float | None, read_dbu: float | None, tone_dbu: float | None, headroom_db: float | None
) -> list[tuple[str, str]]:
    """Each with its head: dBu three times, then dB; a dash where it is not known."""
    clips = " clips" if headroom_db is not None and headroom_db < 0 else ""
    figures = [_figure(dbu, "+.1f") for dbu in (out_dbu, read_dbu, tone_dbu)]
    return list(zip(HEADS, [*figures, _figure(headroom_db, ".1f") + clips], strict=True))


def in_columns(texts: Iterable[str]) -> str:
    """One text, set in figures of one width: on paper four boxes a stage would take a tenth of the
    time."""
    return "".join(text.rjust(width) for text, width in zip(texts, WIDTHS, strict=True))


def _figure(value: float | None, form: str) -> str:
    return "–" if value is None else format(value, form).replace("-", MINUS)
