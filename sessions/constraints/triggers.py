"""A rule as a trigger, and the three kinds of them that several tables have."""

from dataclasses import dataclass, replace

ERASURE = "studio_erasure"
ERASING = f"EXISTS (SELECT 1 FROM {ERASURE} e WHERE e.still_open_id IS NOT NULL)"


@dataclass(frozen=True)
class Trigger:
    """Refuse `event` on `table` with `message` where `condition` (plain SQL) holds."""

    name: str
    table: str
    event: str
    condition: str
    message: str


def triggers_of(table: str, short: str, is_fixed, message: str) -> list[Trigger]:
    """Refuse to add, change, move away or delete rows that belong to something fixed."""
    return [
        Trigger(f"rule_{short}_fixed_insert", table, "INSERT", is_fixed("NEW"), message),
        Trigger(
            f"rule_{short}_fixed_update",
            table,
            "UPDATE",
            f"{is_fixed('OLD')} OR {is_fixed('NEW')}",
            message,
        ),
        Trigger(f"rule_{short}_fixed_delete", table, "DELETE", is_fixed("OLD"), message),
    ]


def triggers_of_fixed(table: str, short: str, message: str) -> list[Trigger]:
    return [
        Trigger(
            f"rule_{short}_fixed_{event.lower()}", table, event, "OLD.fixed_at IS NOT NULL", message
        )
        for event in ("UPDATE", "DELETE")
    ]


def triggers_of_rows(table: str, short: str, message: str) -> list[Trigger]:
    """Refuse to change or delete any row."""
    return [
        Trigger(f"rule_{short}_{event.lower()}", table, event, "1 = 1", message)
        for event in ("UPDATE", "DELETE")
    ]


def unless_erasing(rules: list[Trigger]) -> list[Trigger]:
    """Rows may be changed by an erasure of personal data (`studio/erasing/`), while it is open, which it
    cannot stay."""
    return [
        replace(rule, condition=f"({rule.condition}) AND NOT {ERASING}")
        if rule.event == "UPDATE"
        else rule
        for rule in rules
    ]
