"""Warnings before the artist hears it: one small rule each, none of which blocks anything.

The rules read revisions loaded `with_stages` and cost no query. They are common practice where no
source is named beside them.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime

from django.utils import timezone

from sessions.setups.chains.availability import NotReady
from sessions.setups.models import Revision, Setup
from sessions.setups.patching.patch_list import Patching
from sessions.setups.warnings.channels import channel_twice, shared_control_differs
from sessions.setups.warnings.inputs import input_of_another_channel, input_twice
from sessions.setups.warnings.jacks import jack_leads_nowhere
from sessions.setups.warnings.logged import controls_not_logged, gain_not_logged
from sessions.setups.warnings.placement import (
    hung_upside_down,
    pattern_differs,
    pop_filter_beyond_source,
)
from sessions.setups.warnings.power import (
    not_warm_by_the_start,
    phantom_power,
    supply_before_cable,
    valve_without_supply,
)
from sessions.setups.warnings.reserved import not_reserved
from sessions.setups.warnings.service import out_of_service
from sessions.setups.warnings.signal import (
    after_converter,
    gain_reduction_high,
    level_mismatch,
    monitor_only_before_printed,
    stage_clips,
)
from sessions.setups.warnings.splits import split_phantom
from sessions.setups.warnings.warning import Warning, gravest_first
from sessions.setups.warnings.whole_setup import (
    buffer_too_large,
    headphones_too_loud,
    patch_clashes,
    rate_differs,
)

CHAIN_RULES: tuple[Callable[[Revision], Iterator[Warning]], ...] = (
    out_of_service,
    valve_without_supply,
    supply_before_cable,
    level_mismatch,
    stage_clips,
    monitor_only_before_printed,
    after_converter,
    gain_reduction_high,
    gain_not_logged,
    controls_not_logged,
    hung_upside_down,
    pattern_differs,
    pop_filter_beyond_source,
    jack_leads_nowhere,
    input_of_another_channel,
)


def chain_warnings(
    revision: Revision, *, beside: Iterable[Revision] = (), now: datetime | None = None
) -> list[Warning]:
    """All that the chain itself gives cause for, the gravest first.

    `beside`: the chains that are up with it, since a phantom switch may serve several inputs.
    """
    beside = list(beside)
    found = [*phantom_power(revision, beside), *split_phantom(revision, beside)]
    found += [warning for rule in CHAIN_RULES for warning in rule(revision)]
    found += not_warm_by_the_start(revision, now=now or timezone.now())
    return gravest_first(found)


def setup_warnings(
    setup: Setup,
    session_revisions: Iterable[Revision],
    patching: Patching,
    *,
    unready: Iterable[NotReady] = (),
) -> list[Warning]:
    """What the setup gives cause for as a whole, beside the others of its session.

    `session_revisions` are the newest of all chains of the session, `unready` its `units_not_ready`.
    Costs a query for the headphone mixes unless they are prefetched.
    """
    revisions = [each for each in session_revisions if each.chain.struck_at is None]
    ours = [revision for revision in revisions if revision.chain.setup_id == setup.pk]
    return gravest_first(
        [
            *buffer_too_large(setup, ours),
            *rate_differs(setup),
            *channel_twice(ours),
            *shared_control_differs(ours),
            *input_twice(setup, revisions),
            *headphones_too_loud(setup),
            *patch_clashes(patching),
            *not_reserved(unready, ours),
        ]
    )
