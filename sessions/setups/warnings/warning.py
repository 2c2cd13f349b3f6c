from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.verdict import Severity, Verdict
from gear.equipment.models import Unit
from sessions.setups.models import Stage

SEVERITIES: tuple[Severity, ...] = ("warning", "caution", "note")


@dataclass(frozen=True)
class Warning:
    """What is wrong or doubtful, why, and what to do. `is_safety`: it can hurt someone; `to_reserve`:
    units whose reservation would settle it."""

    severity: Severity
    reason: str
    advice: str
    stage: Stage | None = None
    is_safety: bool = False
    to_reserve: tuple[Unit, ...] = ()

    @property
    def unit_keys(self) -> str:
        """Of what there is to reserve, as a button sends them."""
        return ",".join(str(unit.pk) for unit in self.to_reserve)


def from_verdict(
    verdict: Verdict, about: str, stage: Stage | None = None, *, is_safety: bool = False
) -> Warning:
    """A verdict's first sentence is what was found, the rest is what to do about it."""
    reason, _, advice = verdict.sentence.partition(". ")
    return Warning(
        verdict.severity, f"{about}: {reason.rstrip('.')}.", advice, stage, is_safety=is_safety
    )


def gravest_first(warnings: Iterable[Warning]) -> list[Warning]:
    return sorted(warnings, key=lambda warning: SEVERITIES.index(warning.severity))
