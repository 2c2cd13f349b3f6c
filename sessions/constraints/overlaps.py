"""No two reservations of one resource and rank overlap."""

from sessions.constraints.triggers import Trigger

RESOURCES = ("room", "person", "unit")
RESERVATION = "studio_sessions_reservation"


def _overlap_condition(resource: str) -> str:
    """What begins within the new period, or the last that began before it and runs into it.

    Those that stand already do not overlap each other, so no earlier one can reach that far: the
    search stays on a short stretch of the index, however many years of sessions lie before.
    """
    line = (
        f"SELECT other.ends_at FROM {RESERVATION} other "
        f"WHERE other.{resource}_id = NEW.{resource}_id AND other.rank = NEW.rank "
        "AND other.id <> COALESCE(NEW.id, -1)"
    )
    return (
        f"NEW.{resource}_id IS NOT NULL AND NEW.rank IS NOT NULL AND ("
        f"EXISTS ({line} AND other.starts_at >= NEW.starts_at AND other.starts_at < NEW.ends_at) "
        f"OR NEW.starts_at < ({line} AND other.starts_at < NEW.starts_at "
        "ORDER BY other.starts_at DESC LIMIT 1))"
    )


OVERLAPS = [
    Trigger(
        f"rule_reservation_{resource}_overlap_{event.lower()}",
        RESERVATION,
        event,
        _overlap_condition(resource),
        f"reservation_overlap: the {resource} is taken at that rank",
    )
    for resource in RESOURCES
    for event in ("INSERT", "UPDATE")
]


EXCLUSIONS = {f"rule_reservation_{resource}_overlap": f"{resource}_id" for resource in RESOURCES}
