"""Changes to mix setups. One is made in place while the revision is open; a fixed one is copied
first, and stays as it is."""

from collections.abc import Iterable, Sequence

from django.db.models import Model
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from gear.acting import action, set_facts
from gear.editing.versions import EditedMeanwhile, claim_version
from sessions.clients.models import Project
from sessions.deliverables.mixes.lines import Line, NamedUnit, Send, lines_of
from sessions.deliverables.mixes.models import (
    MixInsert,
    MixRevision,
    MixSend,
    MixSetup,
    MixStrip,
    StripKind,
)
from sessions.deliverables.models import Deliverable
from sessions.setups.chains.actions.fixing import fix_panels
from sessions.setups.models.snapshot import StageFacts
from sessions.songs.models import Song


@action
def create_mix(
    project: Project,
    *,
    name: str,
    songs: Iterable[Song],
    by,
    like: MixRevision | None = None,
) -> MixSetup:
    """A new mix setup, empty but for its stereo bus, or as the revision `like` stood, whose controls
    are then yet to be set."""
    setup = MixSetup.objects.create(project=project, name=name)
    setup.songs.set(songs)
    if like:
        _copy(like, setup=setup, number=1, by=by)
    else:
        revision = MixRevision.objects.create(setup=setup, created_by=by)
        revision.strips.create(position=1, kind=StripKind.STEREO_BUS, name="Stereo bus")
    return setup


@action
def rename_mix(setup: MixSetup, *, version: int, by, name: str, songs: Iterable[Song]) -> MixSetup:
    """Raises EditedMeanwhile."""
    claim_version(setup, version)
    setup.name = name
    setup.save()
    setup.songs.set(songs)
    return setup


@action
def save_mix(
    setup: MixSetup, *, version: int, by, facts: dict[str, str], lines: Sequence[Line]
) -> MixSetup:
    """The mix as `facts` of its revision and these `lines` say; where it stands so already, nothing
    is done. Raises EditedMeanwhile."""
    newest = setup.newest_revision()
    if facts == facts_of(newest) and list(lines) == lines_of(newest):
        return setup
    revision = _claim(setup, version=version, by=by)
    set_facts(revision, **facts)
    revision.save()
    strips = {strip.position: strip for strip in revision.strips.all()}
    for position, line in enumerate(lines, start=1):
        strip = strips.pop(line.was, None) or MixStrip(revision=revision)
        _save(strip, position=position, **line.facts)
        _save_inserts(strip, line.inserts)
        _save_sends(strip, line.sends)
    for strip in strips.values():
        strip.delete()
    return setup


def _save(row: Model, **facts) -> None:
    """Where it is new or something in it changes."""
    if row.pk is None or any(getattr(row, name) != value for name, value in facts.items()):
        set_facts(row, **facts)
        row.save()


def _save_sends(strip: MixStrip, wanted: Sequence[Send]) -> None:
    standing = {send.to: send for send in strip.sends.all()}
    for each in wanted:
        send = standing.pop(each.to, None) or MixSend(strip=strip, to=each.to)
        _save(send, level=each.level, tap=each.tap)
    for send in standing.values():
        send.delete()


def _save_inserts(strip: MixStrip, wanted: Sequence[NamedUnit]) -> None:
    """A unit that stood there already keeps how it is set."""
    standing = {(insert.unit_id, insert.channel): insert for insert in strip.inserts.all()}
    for position, named in enumerate(wanted, start=1):
        insert = standing.pop(named.key, None)
        if insert is None:
            insert = MixInsert(
                strip=strip,
                unit=named.unit,
                channel=named.channel,
                panel=named.unit.model.current_panel(),
                patch_in=named.patch_in,
                patch_out=named.patch_out,
            )
        _save(insert, position=position)
    for insert in standing.values():
        insert.delete()


@action
def set_insert(insert: MixInsert, *, version: int, by, settings: dict, **facts) -> MixSetup:
    """Log how a unit of the mix is set. Raises EditedMeanwhile, also where it stands in no newest
    revision any more."""
    before = insert.strip.revision
    setup = before.setup
    newest = setup.revisions.newest().get()
    if before.pk != newest.pk:
        raise EditedMeanwhile(setup)
    revision = _claim(setup, version=version, by=by)
    insert = MixInsert.objects.get(
        strip__revision=revision, strip__position=insert.strip.position, position=insert.position
    )
    set_facts(insert, **facts)
    insert.set_controls(settings)
    insert.save()
    return setup


@action
def touch_inserts(setup: MixSetup, *, version: int, by) -> None:
    """All of them are set as they were copied. Raises EditedMeanwhile."""
    revision = _claim(setup, version=version, by=by)
    for insert in MixInsert.objects.filter(strip__revision=revision).exclude(not_yet_set=[]):
        insert.not_yet_set = []
        insert.save()


def _claim(setup: MixSetup, *, version: int, by) -> MixRevision:
    """The open revision on which an edit is to be saved; the history says whose edit it was."""
    claim_version(setup, version)
    setup.save()
    newest = setup.revisions.newest().get()
    if not newest.is_fixed:
        return newest
    return _copy(newest, setup=setup, number=newest.number + 1, by=by)


def _copy(revision: MixRevision, *, setup: MixSetup, number: int, by) -> MixRevision:
    strips = list(MixRevision.objects.with_strips().get(pk=revision.pk).strips.all())
    copy = MixRevision.objects.create(
        setup=setup, number=number, created_by=by, **facts_of(revision)
    )
    inside = [(strip, list(strip.inserts.all()), list(strip.sends.all())) for strip in strips]
    for strip in strips:
        _as_new(strip, revision=copy)
    bulk_create_with_history(strips, MixStrip)
    for strip, inserts, sends in inside:
        for insert in inserts:
            _as_new(insert, strip=strip, snapshot={})
            if setup != revision.setup:
                insert.begin_as_copy()
        for send in sends:
            _as_new(send, strip=strip)
    bulk_create_with_history([each for _, inserts, _ in inside for each in inserts], MixInsert)
    bulk_create_with_history([each for _, _, sends in inside for each in sends], MixSend)
    return copy


def facts_of(revision: MixRevision) -> dict[str, str]:
    return {name: getattr(revision, name) for name in MixRevision.FACTS}


def _as_new(row, **facts) -> None:
    row.pk, row._state.adding, row._prefetched_objects_cache = None, True, {}
    set_facts(row, **facts)


@action
def point_to(deliverable: Deliverable, revision: MixRevision | None, *, by) -> Deliverable:
    """The deliverable was printed through this revision, which stands for good from now on."""
    if revision:
        _fix(revision)
    deliverable.mix_revision = revision
    deliverable.save(update_fields=["mix_revision"])
    return deliverable


def point_to_newest(deliverable: Deliverable, *, by) -> None:
    """To what its song was mixed through last; to nothing where no mix setup was logged."""
    in_force = MixRevision.objects.in_force(deliverable.song, deliverable.created_at).first()
    if in_force:
        point_to(deliverable, in_force, by=by)


def _fix(revision: MixRevision) -> None:
    MixSetup.objects.select_for_update(of=("self",), no_key=True).get(pk=revision.setup_id)
    revision = MixRevision.objects.get(pk=revision.pk)
    if revision.is_fixed:
        return
    now = timezone.now()
    inserts = list(MixInsert.objects.filter(strip__revision=revision).for_list())
    for insert in inserts:
        insert.snapshot = StageFacts.of(insert).to_json()
    MixInsert.objects.bulk_update(inserts, ["snapshot"])
    fix_panels(inserts, at=now)
    revision.fixed_at = now
    revision.save()
