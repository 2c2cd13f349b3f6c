from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.verdict import Severity, Verdict
from gear.equipment.models import Unit
from sessions.setups.models import Stage

SEVERITIES: tuple[Severity, ...] = ("warning", "caution", "note")
NO_SIGNAL = "As logged, no signal would pass: check"


@dataclass(frozen=True)
class Warning:
    """What is wrong or doubtful, why, and what to do. `is_safety`: it can hurt someone; `to_reserve`:
    units whose reservation would settle it; `no_signal`: as it is logged, none would pass."""

    severity: Severity
    reason: str
    advice: str
    stage: Stage | None = None
    is_safety: bool = False
    to_reserve: tuple[Unit, ...] = ()
    no_signal: bool = False

    @property
    def word(self) -> str:
        return NO_SIGNAL if self.no_signal else self.severity.capitalize()

    @property
    def unit_keys(self) -> str:
        """Of what there is to reserve, as a button sends them."""
        return ",".join(str(unit.pk) for unit in self.to_reserve)


def from_verdict(
    verdict: Verdict,
    about: str,
    stage: Stage | None = None,
    *,
    is_safety: bool = False,
    no_signal: bool = False,
) -> Warning:
    """A verdict's first sentence is what was found, the rest is what to do about it."""
    reason, _, advice = verdict.sentence.partition(". ")
    return Warning(
        verdict.severity,
        f"{about}: {reason.rstrip('.')}.",
        advice,
        stage,
        is_safety=is_safety,
        no_signal=no_signal,
    )


def gravest_first(warnings: Iterable[Warning]) -> list[Warning]:
    """Of one gravity what can hurt someone first, then what would stop the signal."""
    return sorted(
        warnings,
        key=lambda each: (SEVERITIES.index(each.severity), not each.is_safety, not each.no_signal),
    )
