"""Chains told by the pairs and groups that they are in."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from sessions.setups.models import GroupFacts, Revision


def in_sections(revisions: Iterable[Revision]) -> list[tuple[GroupFacts | None, list[Revision]]]:
    """Those that stand alone first, under None; then each pair and group, which has no seat here, in
    the order of its first chain. Load them `with_stages`."""
    sections: dict[GroupFacts | None, list[Revision]] = defaultdict(list)
    for revision in revisions:
        facts = revision.group_facts
        sections[facts and replace(facts, seat="")].append(revision)
    return sorted(sections.items(), key=lambda section: section[0] is not None)
