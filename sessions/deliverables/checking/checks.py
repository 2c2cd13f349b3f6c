"""What a check says, and what many of them come to."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from gear.audio.values import MINUS
from sessions.deliverables.models import DeliverableFile

PRACTICE = "common practice"
RECOMMENDATIONS = "P&E Wing, Delivery Recommendations for Recorded Music Projects, 2018"


class Outcome(StrEnum):
    """The gravest first. A note is no judgement: it says what can't be seen, or may be known."""

    FAIL = "failed"
    WARNING = "warning"
    NOTE = "note"
    PASS = "passed"  # noqa: S105 (no password)


@dataclass(frozen=True)
class Check:
    """`text` names what was looked at, `reason` is a sentence that says why, `source` where the rule
    is from. It is about the `file`, or about all of them where there is none."""

    verdict: Outcome
    text: str
    reason: str
    source: str = PRACTICE
    file: DeliverableFile | None = None


@dataclass(frozen=True)
class Folded:
    """One check that says the same of several files."""

    check: Check
    files: tuple[DeliverableFile, ...]


@dataclass(frozen=True)
class Checked:
    """What the checks of a deliverable come to; several files that are told the same count once."""

    found: tuple[Folded, ...]  # the gravest first
    passed: tuple[Folded, ...]

    @classmethod
    def of(cls, checks: Iterable[Check]) -> "Checked":
        said: dict[tuple, list[Check]] = {}
        for each in checks:
            said.setdefault((each.verdict, each.text, each.reason, each.source), []).append(each)
        folds = [
            Folded(same[0], tuple(each.file for each in same if each.file))
            for same in said.values()
        ]
        order = list(Outcome)
        folds.sort(key=lambda fold: order.index(fold.check.verdict))
        passed = tuple(fold for fold in folds if fold.check.verdict == Outcome.PASS)
        return cls(tuple(folds[: len(folds) - len(passed)]), passed)

    @property
    def fails(self) -> int:
        return self._count(Outcome.FAIL)

    @property
    def warnings(self) -> int:
        return self._count(Outcome.WARNING)

    @property
    def in_words(self) -> list[str]:
        """What didn’t pass: 2 failed, 1 warning."""
        failed = [f"{self.fails} failed"] if self.fails else []
        return failed + ([counted(self.warnings, "warning")] if self.warnings else [])

    def _count(self, verdict: Outcome) -> int:
        return sum(fold.check.verdict == verdict for fold in self.found)


def decibels(value: float) -> str:
    """To a tenth, with a true minus."""
    return f"{value:.1f}".replace("-", MINUS)


def counted(number: int, what: str) -> str:
    return f"{number} {what}{'s' * (number != 1)}"
