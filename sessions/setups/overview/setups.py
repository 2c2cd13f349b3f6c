"""The setups of a session as one page shows them."""

from dataclasses import dataclass

from django.db.models import Prefetch

from gear.audio.verdict import Verdict
from gear.patchbay.wiring import load_wiring
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.availability import NotReady
from sessions.setups.chains.summary import Completeness, completeness, path_in_words
from sessions.setups.grouping.lines import GroupLine, groups_of
from sessions.setups.headphones.listening import HeardMix
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Chain, Revision, Setup, Source, SourceFacts
from sessions.setups.patching.patch_list import NOTHING, Patching, session_patching
from sessions.setups.warnings import Warning, chain_warnings, setup_warnings
from sessions.setups.warnings.cautions import ChainCaution, setup_cautions
from sessions.setups.warnings.reserved import units_not_ready
from sessions.setups.warnings.whole_setup import buffer_verdict


@dataclass(frozen=True)
class ChainLine:
    """One chain as it stands now."""

    chain: Chain
    revision: Revision
    path: str
    completeness: Completeness
    warnings: list[Warning]


@dataclass(frozen=True)
class SetupOverview:
    """One setup: its chains, what the performers hear, and what concerns it as a whole."""

    setup: Setup
    chains: list[ChainLine]
    delay: Verdict | None
    warnings: list[Warning]
    patching: Patching
    cautions: list[ChainCaution]
    headphones: list[HeardMix]
    groups: list[GroupLine]
    sources: list[tuple[Source, list[tuple[str, str]]]]


def setups_of(session: RecordingSession) -> list[SetupOverview]:
    """In the order of the day, in a constant number of queries."""
    setups = list(
        Setup.objects.filter(session=session)
        .with_chains()
        .prefetch_related(
            "groups",
            Prefetch("sources", Source.objects.for_list()),
            Prefetch("headphone_mixes", HeadphoneMix.objects.for_list()),
        )
    )
    up = [
        chain.newest_revision() for setup in setups for chain in setup.chains.all() if chain.is_up
    ]
    lines = {setup.pk: [_line(chain, up) for chain in setup.chains.all()] for setup in setups}
    revisions = [line.revision for setup in setups for line in lines[setup.pk]]
    patchings = session_patching(revisions, load_wiring())
    unready = units_not_ready(session, revisions)
    return [
        _overview(setup, lines[setup.pk], revisions, patchings.get(setup.pk, NOTHING), unready)
        for setup in setups
    ]


def _overview(
    setup: Setup,
    lines: list[ChainLine],
    session_revisions: list[Revision],
    patching: Patching,
    unready: list[NotReady],
) -> SetupOverview:
    return SetupOverview(
        setup,
        lines,
        buffer_verdict(setup, [line.revision for line in lines]),
        setup_warnings(setup, session_revisions, patching, unready=unready),
        patching,
        setup_cautions(line.revision for line in lines),
        [HeardMix.of(mix) for mix in setup.headphone_mixes.all()],
        groups_of(setup.groups.all(), [line.revision for line in lines]),
        [(source, _source_words(source)) for source in setup.sources.all()],
    )


def _source_words(source: Source) -> list[tuple[str, str]]:
    """Here no chain of it stands apart: it feeds all of them."""
    words = SourceFacts.of(source).in_words
    return [(label.removeprefix("also "), said) for label, said in words]


def _line(chain: Chain, up: list[Revision]) -> ChainLine:
    revision = chain.newest_revision()
    return ChainLine(
        chain,
        revision,
        path_in_words(revision),
        completeness(revision),
        chain_warnings(revision, beside=up),
    )
