"""The two halves of a pair are set alike until they are parted."""

from gear.panels.models import Meaning
from sessions.setups.chains.actions.revisions import Seen, claim_newest
from sessions.setups.chains.phantom import harmed_by_switching_on
from sessions.setups.models import Stage


def set_alike(stage: Stage, settings: dict[str, float | None], *, by) -> None:
    """Give both halves of a pair these settings too: None is not logged. Only where it has the
    same panel at the same place, and no phantom power that could damage what is plugged in there.
    Call inside an action that locked both (`lock_with_partners`)."""
    chain = stage.revision.chain
    group = chain.group
    if not settings or group is None or not group.is_set_alike:
        return
    for half in group.chains.all():  # its own too: it may have got what was set on the other
        newest = half.revisions.newest().get()
        counterpart = _counterpart(newest, stage)
        if counterpart is None:
            continue
        given = _harmless(counterpart, settings)
        alike = _with(counterpart, given)
        if alike == counterpart.settings and not given.keys() & set(counterpart.not_yet_set):
            continue
        revision = claim_newest(newest, seen=Seen.of(newest), by=by)
        counterpart = _counterpart(revision, stage)
        counterpart.set_controls(alike)
        counterpart.touch(*given)
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


def _harmless(stage: Stage, settings: dict) -> dict:
    switched_on = {
        each.key for each in stage.controls_for(Meaning.PHANTOM) if settings.get(each.key)
    }
    if not switched_on or not harmed_by_switching_on(stage):
        return settings
    return {key: value for key, value in settings.items() if key not in switched_on}


def _with(stage: Stage, settings: dict) -> dict:
    merged = stage.settings | settings
    return {key: value for key, value in merged.items() if value is not None}
