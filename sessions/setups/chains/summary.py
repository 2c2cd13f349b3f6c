"""What a revision says in short: its path in words, how much of it is logged.

All of it reads a revision loaded `with_stages`, and then costs no query.
"""

from dataclasses import dataclass

from sessions.setups.models import Revision
from sessions.setups.models.chains import ARROW


def path_in_words(revision: Revision) -> str:
    """From source to track: Alto voice → Skerrow A (QS-0001) → … → Ld Vox; monitor only: …"""
    units = {True: [], False: []}
    for stage in revision.stages.all():
        units[stage.is_printed].append(f"{stage.facts.unit}")
    printed = ARROW.join([revision.source_facts.name, *units[True], revision.chain.track])
    return "; monitor only: ".join(filter(None, [printed, ", ".join(units[False])]))


@dataclass(frozen=True)
class Completeness:
    """How many of the chain's controls were logged as set, and how many of the others were
    photographed or came with a copy."""

    logged: int
    total: int
    photographed: int = 0
    copied: int = 0

    @property
    def per_cent(self) -> int | None:
        """Rounded, but to 100 only where all are logged; None where there is nothing to log."""
        if not self.total:
            return None
        return 100 if self.logged == self.total else min(round(100 * self.logged / self.total), 99)

    def __str__(self) -> str:
        if self.total == 0:
            return "no controls to log"
        photographed = f"; {self.photographed} photographed" if self.photographed else ""
        copied = f"; {self.copied} copied, not yet set" if self.copied else ""
        logged = f"{self.logged} of {self.total} controls logged, {self.per_cent} %"
        return f"{logged}{photographed}{copied}"


def completeness(revision: Revision) -> Completeness:
    """A control that stands on a photograph only, or was copied and is not yet set, is not logged."""
    controls = [(stage, control) for stage in revision.stages.all() for control in stage.controls()]
    amplifier = revision.amplifier_settings()
    return Completeness(
        sum(stage.setting(control) is not None for stage, control in controls)
        + sum(value is not None for _, value in amplifier)
        - revision.not_yet_set,
        len(controls) + len(amplifier),
        sum(control.key in stage.photographed for stage, control in controls),
        revision.not_yet_set,
    )
