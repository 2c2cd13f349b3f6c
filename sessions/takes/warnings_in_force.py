"""What is wrong or doubtful in the chains that record now, in lines for the tracking page."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.verdict import Severity
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.setups.warnings import chain_warnings
from sessions.setups.warnings.warning import SEVERITIES, Warning

SHOWN = 1  # lines at least, before further ones are folded away


@dataclass(frozen=True)
class WarningLine:
    """A warning once, with all the chains in force that give cause for it."""

    warning: Warning
    revisions: tuple[Revision, ...]

    @property
    def tracks(self) -> str:
        return ", ".join(each.chain.track for each in self.revisions)

    @property
    def severity(self) -> Severity:
        return self.warning.severity

    @property
    def is_safety(self) -> bool:
        return self.warning.is_safety


@dataclass(frozen=True)
class WarningsInForce:
    """The gravest first, notes apart, and how many controls are copied, not yet set."""

    lines: tuple[WarningLine, ...] = ()
    notes: tuple[WarningLine, ...] = ()
    not_yet_set: int = 0

    @property
    def _shown(self) -> int:
        """What is grave is never folded away, however much there is of it."""
        return max(SHOWN, sum(line.severity == "warning" for line in self.lines))

    @property
    def shown(self) -> tuple[WarningLine, ...]:
        return self.lines[: self._shown]

    @property
    def further(self) -> tuple[WarningLine, ...]:
        return self.lines[self._shown :] + self.notes

    @property
    def further_in_words(self) -> str:
        """What a touch would show: `2 more warnings, 5 notes, 12 controls copied, not yet set`."""
        counts = (
            (len(self.lines) - len(self.shown), "more warning"),
            (len(self.notes), "note"),
            (self.not_yet_set, "control"),
        )
        words = [f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts if count]
        return ", ".join(words) + (" copied, not yet set" if self.not_yet_set else "")


def warnings_of(
    revisions: Iterable[Revision], in_session: Iterable[Revision] | None = None
) -> WarningsInForce:
    """What these chains, which are in force, give cause for: the gravest first, among those of one
    gravity what can hurt somebody.

    `in_session` is the `newest_of_sessions` of their session, asked for unless given: one switch of
    phantom power may serve chains of other parts.
    """
    wanted = {each.pk for each in revisions}
    if not wanted:
        return WarningsInForce()
    if in_session is None:
        in_session = newest_of_sessions({each.chain.setup.session_id for each in revisions})
    in_session = list(in_session)
    up = [each for each in in_session if each.chain.is_up]
    found: dict[tuple, list] = {}
    in_force = [each for each in in_session if each.pk in wanted]
    for revision in in_force:
        for warning in chain_warnings(revision, beside=up):
            key = (warning.severity, warning.reason, warning.advice)
            found.setdefault(key, [warning]).append(revision)
    lines = [WarningLine(warning, tuple(theirs)) for warning, *theirs in found.values()]
    lines.sort(key=lambda line: (SEVERITIES.index(line.severity), not line.is_safety))
    return WarningsInForce(
        tuple(line for line in lines if line.severity != "note"),
        tuple(line for line in lines if line.severity == "note"),
        sum(each.not_yet_set for each in in_force),
    )
