"""Changes to setups and chains.

Every change to a revision names what its editor saw (`Seen`). It is made in place while the
revision is open; a fixed one is copied first, and stays as it is.
"""

from datetime import datetime
from typing import NamedTuple

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from gear.equipment.models import Unit
from gear.panels.models import Panel
from gear.patchbay.models import PatchPoint
from sessions.editing import EditedMeanwhile, claim_version
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.setups.names import names_of
from sessions.setups.patching import wiring_to_keep
from sessions.songs.models import Part

#: Of a revision: what is planned for, which every copy starts from.
SOURCE_FACTS = ("source_spl_db", "source_distance_cm", "source_dbu")
#: What was read off the chain itself: the next revision goes on with it, another chain does not.
TONE_FACTS = ("tone_hz", "tone_dbu", "readings_from")


#: Of a stage: what was read there.
READINGS = {"tone_reading_dbu", "reading_out_dbu"}


class Seen(NamedTuple):
    """The state of a chain that an editor had before them: a revision and the count of its edits."""

    revision_id: int
    version: int

    @classmethod
    def of(cls, revision: Revision) -> "Seen":
        return cls(revision.pk, revision.version)

    def __str__(self) -> str:
        return f"{self.revision_id}.{self.version}"


class ChainRecorded(Exception):
    """Takes were recorded through the chain: what it was called then has to print the same."""

    def __init__(self, chain: Chain):
        self.chain = chain
        super().__init__(
            f"Takes were recorded through “{chain}”, so its source, part, track and input stay "
            "as they are. Copy the chain to go on under other words."
        )


def strike(setup: Setup) -> None:
    """Take the setup down: its cords come off the bays. One that is down already stays so."""
    _put_up(setup, struck_at=timezone.now())


def put_up_again(setup: Setup) -> None:
    """Let a setup that was struck stand again, as it was."""
    _put_up(setup, struck_at=None)


@transaction.atomic
def _put_up(setup: Setup, *, struck_at: datetime | None) -> None:
    current = Setup.objects.select_for_update().get(pk=setup.pk)
    if current.is_up != (struck_at is None):
        current.struck_at = struck_at
        current.save(update_fields=["struck_at"])
    setup.struck_at = current.struck_at


class OutOfService(Exception):
    """A unit at the bench or retired can't be patched; `str()` says which, and since when."""


@transaction.atomic
def add_chain(setup: Setup, *, by, **facts) -> Chain:
    """Add a chain, with an empty first revision, after those that the setup has."""
    chain = Chain.objects.create(setup=setup, position=_next_position(setup.chains), **facts)
    Revision.objects.create(chain=chain, created_by=by)
    return chain


@transaction.atomic
def change_chain(chain: Chain, *, seen: Seen, by, **facts) -> Chain:
    """Change what the chain records. Raises ChainRecorded or EditedMeanwhile."""
    _lock(chain.pk)
    if chain.is_recorded():
        raise ChainRecorded(chain)
    claim_revision(chain, seen=seen, by=by)
    _set(chain, facts)
    chain.save()
    return chain


@transaction.atomic
def copy_chain(
    chain: Chain,
    *,
    to: Setup,
    by,
    source: str,
    track: str,
    part: Part | None = None,
    destination_input: str = "",
) -> Chain:
    """A new chain in the setup `to` that starts as this one stands now; this one stays as it is."""
    copy = Chain.objects.create(
        setup=to,
        position=_next_position(to.chains),
        source=source,
        part=part,
        track=track,
        destination_input=destination_input,
    )
    _copy_revision(lock_newest(chain), chain=copy, number=1, by=by)
    return copy


@transaction.atomic
def open_revision(chain: Chain, *, by) -> Revision:
    """The newest revision if it is open, else a copy of it under the next number."""
    newest = lock_newest(chain)
    if not newest.is_fixed:
        return newest
    return _copy_revision(newest, chain=chain, number=newest.number + 1, by=by)


@transaction.atomic
def fix_revision(revision: Revision, *, at: datetime | None = None) -> None:
    """Fix the revision and the panels that it was set on: a take was recorded through it.

    `at` is when that was, if it was not now.

    A revision that is fixed stays as it is. Whoever fixes several does it in one order of chains.
    """
    _lock(revision.chain_id)
    revision.refresh_from_db(fields=["fixed_at", "version"])
    if revision.is_fixed:
        return
    now = at or timezone.now()
    Panel.objects.filter(stages__revision=revision, fixed_at__isnull=True).update(fixed_at=now)
    stages = list(revision.stages.for_list())
    for stage in stages:
        Stage.objects.filter(pk=stage.pk).update(names=names_of(stage))
    revision.wiring = wiring_to_keep(stages)
    revision.fixed_at = now
    revision.save(update_fields=["fixed_at", "wiring"])


def claim_revision(chain: Chain, *, seen: Seen, by) -> Revision:
    """The open revision on which an edit of what was `seen` is to be saved, now counted as edited.

    Call inside the transaction that makes the change. That the revision was fixed in the meantime
    changes nothing for the editor: the edit is made on a copy. Raises EditedMeanwhile, with the
    newest revision, when another edit came first.
    """
    return claim_newest(lock_newest(chain), seen=seen, by=by)


def claim_newest(newest: Revision, *, seen: Seen, by) -> Revision:
    """`claim_revision` for who has locked the chain's newest revision already."""
    if newest.pk != seen.revision_id:
        raise EditedMeanwhile(newest)
    if not newest.is_fixed:
        claim_version(newest, seen.version)
        return newest
    if newest.version != seen.version:
        raise EditedMeanwhile(newest)
    return _copy_revision(newest, chain=newest.chain, number=newest.number + 1, by=by)


@transaction.atomic
def add_stage(
    chain: Chain,
    *,
    seen: Seen,
    by,
    unit: Unit,
    panel: Panel | None,
    path: str,
    settings: dict[str, float],
    patch_in: PatchPoint | None = None,
    patch_out: PatchPoint | None = None,
    note: str = "",
) -> Stage:
    """Add a unit at the end of the chain. `settings` are those of `panel`'s controls, by key.

    Raises OutOfService or EditedMeanwhile.
    """
    _check_in_service(unit)
    revision = claim_revision(chain, seen=seen, by=by)
    return Stage.objects.create(
        revision=revision,
        position=_next_position(revision.stages),
        unit=unit,
        panel=panel,
        path=path,
        patch_in=patch_in,
        patch_out=patch_out,
        settings=settings,
        note=note,
    )


@transaction.atomic
def change_stage(stage: Stage, *, seen: Seen, by, **facts) -> Stage:
    """Change a stage; the one that is saved may stand in the next revision. Unchanged, it stays."""
    if all(getattr(stage, name) == value for name, value in facts.items()):
        return stage
    stage = _claim_stage(stage, seen=seen, by=by)
    _set(stage, facts)
    stage.save()
    return stage


@transaction.atomic
def move_stage(stage: Stage, *, seen: Seen, by, towards_source: bool) -> Stage:
    """Let a stage change places with its neighbour; at the end of the chain it stays."""
    neighbours = stage.revision.stages.exclude(pk=stage.pk)
    if towards_source:
        passed = neighbours.filter(position__lt=stage.position).last()
    else:
        passed = neighbours.filter(position__gt=stage.position).first()
    if passed is None:
        return stage
    stage = _claim_stage(stage, seen=seen, by=by)
    passed = stage.revision.stages.get(position=passed.position)
    places = stage.position, passed.position
    # No two stages may share a place, so one waits at the end while the other moves.
    stage.position = _next_position(stage.revision.stages)
    stage.save(update_fields=["position"])
    passed.position = places[0]
    passed.save(update_fields=["position"])
    stage.position = places[1]
    stage.save(update_fields=["position"])
    return stage


@transaction.atomic
def remove_stage(stage: Stage, *, seen: Seen, by) -> Revision:
    """Take a stage out of the chain and close the gap; returns the revision it was taken from."""
    stage = _claim_stage(stage, seen=seen, by=by)
    revision = stage.revision
    stage.delete()
    for position, later in enumerate(revision.stages.order_by("position"), start=1):
        if later.position != position:
            later.position = position
            later.save(update_fields=["position"])
    return revision


@transaction.atomic
def place_microphone(chain: Chain, *, seen: Seen, by, **facts) -> Placement:
    """Write down where the microphone stands. Without `photo` among the facts the photo stays."""
    revision = claim_revision(chain, seen=seen, by=by)
    placement = Placement.objects.filter(revision=revision).first() or Placement(revision=revision)
    _set(placement, facts)
    placement.save()
    return placement


@transaction.atomic
def log_levels(chain: Chain, *, seen: Seen, by, facts: dict, stages: dict[int, dict]) -> Revision:
    """Write down the source's level and the test tone (`facts` of the revision), and what was read
    or planned at each stage, by its position. That the readings were taken now is noted beside."""
    revision = claim_revision(chain, seen=seen, by=by)
    changed = []
    for stage in revision.stages.all():
        read = stages.get(stage.position, {})
        if any(getattr(stage, name) != value for name, value in read.items()):
            _set(stage, read)
            stage.save(update_fields=list(read))
            changed.append(read.keys() & READINGS)
    _set(revision, facts)
    if any(changed):
        revision.readings_from = revision.number
    revision.save(update_fields=[*facts, "readings_from"])
    return revision


def _claim_stage(stage: Stage, *, seen: Seen, by) -> Stage:
    revision = claim_revision(stage.revision.chain, seen=seen, by=by)
    # A copy has the same places, and nobody moved anything: the claim says so.
    return revision.stages.select_related("unit__model").get(position=stage.position)


def _lock(chain_id: int) -> None:
    """Let edits and takes of one chain queue. (SQLite lets all writers queue by itself.)"""
    Chain.objects.select_for_update().get(pk=chain_id)


def lock_newest(chain: Chain) -> Revision:
    """The newest revision, while edits and takes of the chain queue until the transaction ends."""
    _lock(chain.pk)
    return chain.revisions.newest().get()


def _copy_revision(revision: Revision, *, chain: Chain, number: int, by) -> Revision:
    goes_on = revision.chain_id == chain.pk
    facts = SOURCE_FACTS + TONE_FACTS if goes_on else SOURCE_FACTS
    copy = Revision.objects.create(
        chain=chain,
        number=number,
        created_by=by,
        **{name: getattr(revision, name) for name in facts},
    )
    stages = list(Stage.objects.filter(revision=revision))
    placements = list(Placement.objects.filter(revision=revision))
    for thing in [*stages, *placements]:
        thing.pk = None
        thing._state.adding = True
        thing.revision = copy
    for stage in stages:
        stage.names = {}
        if not goes_on:
            stage.tone_reading_dbu = stage.reading_out_dbu = None
    bulk_create_with_history(stages, Stage, default_user=by)
    bulk_create_with_history(placements, Placement, default_user=by)
    return copy


def _check_in_service(unit: Unit) -> None:
    """As the unit stands now, whatever the form was filled from."""
    units = Unit.objects.select_for_update(of=("self",)).select_related("model")
    if why_not := units.get(pk=unit.pk).why_not():
        raise OutOfService(why_not)


def _next_position(things) -> int:
    return (things.aggregate(last=Max("position"))["last"] or 0) + 1


def _set(thing, facts: dict) -> None:
    for name, value in facts.items():
        setattr(thing, name, value)
