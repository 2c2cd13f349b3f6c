"""A take was recorded through a revision: from then on it stands for good, with the facts of its day."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import asdict
from datetime import datetime

from django.db import transaction
from django.utils import timezone
from simple_history.utils import bulk_update_with_history

from gear.panels.models import Panel
from gear.patchbay.wiring import load_wiring
from sessions.setups.chains.actions.locks import lock
from sessions.setups.models import GroupFacts, Revision, SourceFacts, Stage
from sessions.setups.models.patched_unit import PatchedUnit
from sessions.setups.models.snapshot import StageFacts
from sessions.setups.patching.patch_list import wiring_snapshot

FACTS = ("fixed_at", "wiring", "format", "grouped", "sourced")


@transaction.atomic
def fix_revision(revision: Revision, *, at: datetime | None = None) -> None:
    """`fix_revisions` of one."""
    lock(revision.chain_id)
    fix_revisions([Revision.objects.get(pk=revision.pk)], at=at)
    revision.refresh_from_db(fields=[*FACTS, "version"])


def fix_revisions(revisions: Collection[Revision], *, at: datetime | None = None) -> None:
    """Fix those that are still open, and the panels that they were set on, in a constant number of
    queries. `at` is when the take was, if it is not now.

    Call inside a transaction that has locked their chains before it loaded them.
    """
    keys = [revision.pk for revision in revisions if not revision.is_fixed]
    if not keys:
        return
    opened = list(Revision.objects.filter(pk__in=keys).to_fix())
    stages = list(Stage.objects.filter(revision__in=opened).for_list().prefetch_related(None))
    now, wiring, of_revision = at or timezone.now(), load_wiring(), defaultdict(list)
    for stage in stages:
        stage.snapshot = StageFacts.of(stage).to_json()
        of_revision[stage.revision_id].append(stage)
    for revision in opened:
        group = GroupFacts.of(revision.chain)
        source = SourceFacts.of(revision.chain.source, chain_id=revision.chain_id)
        revision.fixed_at = now
        revision.wiring = wiring_snapshot(of_revision[revision.pk], wiring)
        revision.format = asdict(revision.format_today)
        revision.grouped = group.to_json() if group else {}
        revision.sourced = source.to_json()
    fix_panels(stages, at=now)
    Stage.objects.bulk_update(stages, ["snapshot"])
    bulk_update_with_history(opened, Revision, FACTS)


def fix_panels(units: Iterable[PatchedUnit], *, at: datetime) -> None:
    """From now on they stand as these units were set on them."""
    panels = {each.panel_id for each in units if each.panel and not each.panel.fixed_at}
    if panels:
        Panel.objects.filter(pk__in=panels, fixed_at=None).update(fixed_at=at)
