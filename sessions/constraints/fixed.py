"""What a take points to is fixed, and so is a mix that a deliverable was printed through; what was
measured of a chain stays as it was measured."""

from sessions.constraints.triggers import (
    Trigger,
    triggers_of,
    triggers_of_fixed,
    triggers_of_rows,
    unless_erasing,
)


def _revision_is_fixed(row: str) -> str:
    return (
        f"EXISTS (SELECT 1 FROM studio_sessions_revision r "
        f"WHERE r.id = {row}.revision_id AND r.fixed_at IS NOT NULL)"
    )


def _mix_is_fixed(row: str) -> str:
    return (
        f"EXISTS (SELECT 1 FROM studio_sessions_mixrevision r "
        f"WHERE r.id = {row}.revision_id AND r.fixed_at IS NOT NULL)"
    )


def _mix_of_strip_is_fixed(row: str) -> str:
    return (
        "EXISTS (SELECT 1 FROM studio_sessions_mixrevision r JOIN studio_sessions_mixstrip s "
        f"ON s.revision_id = r.id WHERE s.id = {row}.strip_id AND r.fixed_at IS NOT NULL)"
    )


def _panel_is_fixed(row: str) -> str:
    return f"EXISTS (SELECT 1 FROM gear_panel p WHERE p.id = {row}.panel_id AND p.fixed_at IS NOT NULL)"


def _photo_is_kept(row: str) -> str:
    """Of a chain by its revision, of a whole setup by any of it."""
    return (
        f"({_revision_is_fixed(row)} OR ({row}.revision_id IS NULL AND EXISTS (SELECT 1 "
        "FROM studio_sessions_revision r JOIN studio_sessions_chain c ON c.id = r.chain_id "
        f"WHERE c.setup_id = {row}.setup_id AND r.fixed_at IS NOT NULL)))"
    )


def _differs(*facts: str) -> str:
    return " OR ".join(
        f"NEW.{fact} <> OLD.{fact} OR (NEW.{fact} IS NULL) <> (OLD.{fact} IS NULL)"
        for fact in facts
    )


MIX_FIXED = "mix_fixed: a deliverable was printed through it"
MIX_OPEN = "mix_open: fix the mix revision before a deliverable points to it"
REVISION_FIXED = "revision_fixed: a take was recorded through it"
REVISION_OPEN = "revision_open: fix the revision before a take points to it"
TAKE_FIXED = "take_fixed: what a take was recorded through, and heard, stays as it was"
PHOTO_KEPT = "photo_kept: takes were recorded through what it shows"
PHOTO_MOVED = "photo_moved: a photograph stays one of what it was taken of"
PHOTO = "studio_sessions_photo"
PANEL_FIXED = "panel_fixed: a fixed revision was set on it"

MEASUREMENT = "studio_sessions_measurement"
MEASUREMENT_KEPT = "measurement_kept: what was measured stays as it was; it can be undone"
# Not how far it is, nor its recording, which may go once it is read.
MEASURED_FACTS = (
    *("revision_id", "rebuild_id", "chain_number", "unit_id", "channel", "is_cable", "up_to"),
    *("depth", "plan", "tones", "pad_db", "fed_dbu", "cable_id", "settings_digest", "state"),
    *("original_name", "result", "refusal", "note", "cautions_by_id", "cautions_at"),
    *("measured_by_id", "measured_at"),
)

_FIXED = [
    *triggers_of("studio_sessions_stage", "stage", _revision_is_fixed, REVISION_FIXED),
    *triggers_of("studio_sessions_placement", "placement", _revision_is_fixed, REVISION_FIXED),
    *triggers_of_fixed("studio_sessions_revision", "revision", REVISION_FIXED),
    Trigger("rule_photo_kept_delete", PHOTO, "DELETE", _photo_is_kept("OLD"), PHOTO_KEPT),
    Trigger(
        "rule_photo_moved_update",
        PHOTO,
        "UPDATE",
        "NEW.sha256 <> OLD.sha256 OR NEW.setup_id <> OLD.setup_id OR NEW.about <> OLD.about "
        "OR COALESCE(NEW.revision_id, 0) <> COALESCE(OLD.revision_id, 0)",
        PHOTO_MOVED,
    ),
    *triggers_of("gear_control", "control", _panel_is_fixed, PANEL_FIXED),
    *triggers_of_fixed("gear_panel", "panel", PANEL_FIXED),
    Trigger(
        "rule_take_through_open_revision",
        "studio_sessions_takerevision",
        "INSERT",
        f"NOT {_revision_is_fixed('NEW')}",
        REVISION_OPEN,
    ),
    *triggers_of_rows("studio_sessions_takerevision", "take_revision", TAKE_FIXED),
    *triggers_of_rows("studio_sessions_mixsnapshot", "mix_snapshot", TAKE_FIXED),
    *triggers_of_fixed("studio_sessions_mixrevision", "mix_revision", MIX_FIXED),
    *triggers_of("studio_sessions_mixstrip", "mix_strip", _mix_is_fixed, MIX_FIXED),
    *triggers_of("studio_sessions_mixinsert", "mix_insert", _mix_of_strip_is_fixed, MIX_FIXED),
    *triggers_of("studio_sessions_mixsend", "mix_send", _mix_of_strip_is_fixed, MIX_FIXED),
    Trigger(
        "rule_measurement_kept_update",
        MEASUREMENT,
        "UPDATE",
        f"OLD.state = 'done' AND ({_differs(*MEASURED_FACTS)}) OR OLD.undone_at IS NOT NULL "
        f"AND ({_differs('undone_at', 'undone_by_id')})",
        MEASUREMENT_KEPT,
    ),
    Trigger("rule_measurement_kept_delete", MEASUREMENT, "DELETE", "1 = 1", MEASUREMENT_KEPT),
    *[
        Trigger(
            f"rule_deliverable_through_open_mix_{event.lower()}",
            "studio_sessions_deliverable",
            event,
            "NEW.mix_revision_id IS NOT NULL AND NOT EXISTS (SELECT 1 "
            "FROM studio_sessions_mixrevision r "
            "WHERE r.id = NEW.mix_revision_id AND r.fixed_at IS NOT NULL)",
            MIX_OPEN,
        )
        for event in ("INSERT", "UPDATE")
    ],
]
# What was written of somebody in a note of then is taken out with all else.
FIXED = unless_erasing(_FIXED)
