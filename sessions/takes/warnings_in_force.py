"""What is wrong or doubtful in the chains that record now, in lines for the tracking page."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.verdict import Severity
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.setups.warnings import chain_warnings
from sessions.setups.warnings.warning import SEVERITIES, Warning


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


def warnings_of(
    revisions: Iterable[Revision], in_session: Iterable[Revision] | None = None
) -> list[WarningLine]:
    """What these chains, which are in force, give cause for: the gravest first, among those of one
    gravity what can hurt somebody.

    `in_session` is the `newest_of_sessions` of their session, asked for unless given: one switch of
    phantom power may serve chains of other parts.
    """
    wanted = {each.pk for each in revisions}
    if not wanted:
        return []
    if in_session is None:
        in_session = newest_of_sessions({each.chain.setup.session_id for each in revisions})
    in_session = list(in_session)
    up = [each for each in in_session if each.chain.setup.is_up]
    found: dict[tuple, list] = {}
    for revision in in_session:
        if revision.pk in wanted:
            for warning in chain_warnings(revision, beside=up):
                key = (warning.severity, warning.reason, warning.advice)
                found.setdefault(key, [warning]).append(revision)
    lines = [WarningLine(warning, tuple(theirs)) for warning, *theirs in found.values()]
    return sorted(lines, key=lambda line: (SEVERITIES.index(line.severity), not line.is_safety))
