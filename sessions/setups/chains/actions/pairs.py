"""The two halves of a pair are set alike until they are parted."""

from gear.acting import action
from sessions.setups.chains.actions.revisions import Seen, claim_newest
from sessions.setups.models import Stage


@action
def set_alike(stage: Stage, settings: dict[str, float | None], *, by) -> None:
    """Give the other half of a pair these settings too: None is not logged. Only where it has the
    same panel at the same place; call with both halves locked (`lock_with_partners`)."""
    chain = stage.revision.chain
    group = chain.group
    if not settings or group is None or not (group.is_pair and group.is_matched):
        return
    for other in group.chains.exclude(pk=chain.pk):
        newest = other.revisions.newest().get()
        counterpart = _counterpart(newest, stage)
        if counterpart is None or _with(counterpart, settings) == counterpart.settings:
            continue
        revision = claim_newest(newest, seen=Seen.of(newest), by=by)
        counterpart = _counterpart(revision, stage)
        counterpart.settings = _with(counterpart, settings)
        counterpart.save()


def changed_settings(before: dict, after: dict) -> dict[str, float | None]:
    """What is set otherwise, by control; None where it is not logged any more."""
    return {
        key: after.get(key)
        for key in before.keys() | after.keys()
        if before.get(key) != after.get(key)
    }


def _counterpart(revision, stage: Stage) -> Stage | None:
    return revision.stages.filter(position=stage.position, panel=stage.panel_id).first()


def _with(stage: Stage, settings: dict) -> dict:
    merged = stage.settings | settings
    return {key: value for key, value in merged.items() if value is not None}
