from gear.acting import action, set_facts
from gear.equipment.models import Unit
from gear.panels.models import Panel
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions.pairs import changed_settings, set_alike
from sessions.setups.chains.actions.revisions import Seen, claim_revision, lock_with_partners
from sessions.setups.chains.actions.rows import next_position
from sessions.setups.models import Chain, Revision, Stage


class OutOfService(Exception):
    """A unit on the bench or retired can't be patched; `str()` says which, and since when."""


@action
def add_stage(
    chain: Chain,
    *,
    seen: Seen,
    by,
    unit: Unit,
    panel: Panel | None,
    path: str,
    settings: dict[str, float],
    channel: int | None = None,
    patch_in: PatchPoint | None = None,
    patch_out: PatchPoint | None = None,
    cord_cm: int | None = None,
    note: str = "",
    position: int | None = None,
) -> Stage:
    """Add a unit at that position, before what stands there; at the end where none is given.
    `settings` are those of `panel`'s controls, by key.

    Raises OutOfService or EditedMeanwhile.
    """
    check_in_service(unit)
    revision = claim_revision(chain, seen=seen, by=by)
    return Stage.objects.create(
        revision=revision,
        position=make_room(revision, position),
        unit=unit,
        channel=channel,
        panel=panel,
        path=path,
        patch_in=patch_in,
        patch_out=patch_out,
        cord_cm=cord_cm,
        settings=settings,
        note=note,
    )


def make_room(revision: Revision, position: int | None) -> int:
    """Let the stages from that position on move by one; at the end where there is no such position."""
    later = revision.stages.filter(position__gte=position) if position else ()
    if not later:
        return next_position(revision.stages)
    for stage in later.order_by("-position"):
        stage.position += 1
        stage.save(update_fields=["position"])
    return position


def check_in_service(unit: Unit) -> None:
    """As the unit stands now, whatever the form was filled from."""
    units = Unit.objects.select_for_update(of=("self",)).select_related("model")
    if why_not := units.get(pk=unit.pk).why_not():
        raise OutOfService(why_not)


@action
def change_stage(stage: Stage, *, seen: Seen, by, **facts) -> Stage:
    """Change a stage; the one that is saved may stand in the next revision. Unchanged, it stays."""
    if all(getattr(stage, name) == value for name, value in facts.items()):
        return stage
    lock_with_partners(stage.revision.chain)
    stage = claim_stage(stage, seen=seen, by=by)
    settings = facts.pop("settings", stage.settings)
    changed = changed_settings(stage.settings, settings)
    set_facts(stage, **facts)
    stage.set_controls(settings)
    stage.save()
    set_alike(stage, changed, by=by)
    return stage


@action
def move_stage(stage: Stage, *, seen: Seen, by, towards_source: bool) -> Stage:
    """Let a stage change places with its neighbour; at the end of the chain it stays."""
    neighbours = stage.revision.stages.exclude(pk=stage.pk)
    if towards_source:
        passed = neighbours.filter(position__lt=stage.position).last()
    else:
        passed = neighbours.filter(position__gt=stage.position).first()
    if passed is None:
        return stage
    stage = claim_stage(stage, seen=seen, by=by)
    passed = stage.revision.stages.get(position=passed.position)
    places = stage.position, passed.position
    # No two stages may share a place, so one waits at the end while the other moves.
    stage.position = next_position(stage.revision.stages)
    stage.save(update_fields=["position"])
    passed.position = places[0]
    passed.save(update_fields=["position"])
    stage.position = places[1]
    stage.save(update_fields=["position"])
    return stage


@action
def remove_stage(stage: Stage, *, seen: Seen, by) -> Revision:
    """Take a stage out of the chain and close the gap; returns the revision it was taken from."""
    stage = claim_stage(stage, seen=seen, by=by)
    delete_stage(stage)
    return stage.revision


def delete_stage(stage: Stage) -> None:
    """Of an open revision; the gap is closed."""
    stage.delete()
    for position, later in enumerate(stage.revision.stages.order_by("position"), start=1):
        if later.position != position:
            later.position = position
            later.save(update_fields=["position"])


def claim_stage(stage: Stage, *, seen: Seen, by) -> Stage:
    revision = claim_revision(stage.revision.chain, seen=seen, by=by)
    # A copy has the same places, and nobody moved anything: the claim says so.
    return revision.stages.select_related("unit__model").get(position=stage.position)
