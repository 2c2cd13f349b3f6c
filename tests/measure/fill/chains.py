"""Setups of chains with 58 controls each: one made by the studio's own actions, and its copies."""

from collections.abc import Iterable, Sequence

from django.db.models import Model, OuterRef, Subquery

from gear.equipment.models import Category
from sessions.bookings.models import RecordingSession
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix, MixSnapshot
from sessions.setups.models import (
    Chain,
    Orientation,
    Path,
    Placement,
    Revision,
    Setup,
    Source,
    Stage,
)
from sessions.songs.models import Part
from tests.factories import (
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PlacementFactory,
    SourceFactory,
)
from tests.measure.fill.house import Booth, Place
from tests.measure.fill.rows import copied, copy_all_of

MONITORED = Category.COMPRESSOR  # so that both kinds of stages are drawn


def set_up(session: RecordingSession, parts: Sequence[Part], booth: Booth, *, by) -> Setup:
    """A chain for each part through the booth's racks, open yet: log takes to fix it."""
    setup = Setup.objects.create(session=session, name="All at once", buffer_samples=64)
    mix = HeadphoneMixFactory(setup=setup, name="Singers", level_dba=82, minutes_a_day=180)
    for number, (part, rack) in enumerate(zip(parts, booth.chains, strict=False), 1):
        chain = Chain.objects.create(
            setup=setup,
            position=number,
            source=SourceFactory(setup=setup, name=part.name),
            track=f"Vox {number}",
            destination_input=f"Recorder in {number}",
        )
        chain.parts.add(part)
        HeadphoneLineFactory(mix=mix, position=number, chain=chain, source="", level="high")
        revision = Revision.objects.create(chain=chain, created_by=by, note="As on the demo.")
        PlacementFactory(
            revision=revision,
            distance_cm=20 + number,
            height_cm=160,
            angle_deg=15,
            orientation=Orientation.HUNG,
            pattern="Cardioid",
        )
        for position, place in enumerate(rack, 1):
            _stage(revision, position, place, number).save()
    return setup


def _stage(revision: Revision, position: int, place: Place, number: int) -> Stage:
    monitored = place.panel.model.category == MONITORED
    return Stage(
        revision=revision,
        position=position,
        unit=place.unit,
        panel=place.panel,
        path=Path.MONITOR_ONLY if monitored else Path.PRINTED,
        patch_in=place.patch_in,
        patch_out=place.patch_out,
        settings=settings_of(place.panel, number),
    )


def settings_of(panel, number: int) -> dict[str, float]:
    """Every control somewhere else than on the next chain; every tenth was not logged."""
    settings = {}
    for control in panel.controls.all():
        place = number * 7 + control.position
        dial = control.dial()
        first, last = dial.marks[0].angle, dial.marks[-1].angle
        if place % 10:
            settings[control.key] = dial.read_at(first + (last - first) * (place % 29) / 28)
    return settings


# What hangs on a setup, parents first, and by which keys.
TREE = (
    (Source, "setup"),
    (Chain, "setup", "source"),
    (Revision, "chain"),
    (HeadphoneMix, "setup"),
    (HeadphoneLine, "mix", "chain"),
    (MixSnapshot, "setup"),
)


def copy_setup(setup: Setup, sessions: Sequence[RecordingSession], parts) -> dict:
    """The setup with all that hangs on it once for each session, `parts[n]` recorded in the nth,
    and fixed. By model and key of the old row: the new ones, session by session."""
    new = {Setup: {setup.pk: _write(copied(setup, session=each) for each in sessions)}}
    for model, *keys in TREE:
        parents = new[model._meta.get_field(keys[0]).related_model]
        rows = list(model.objects.filter(**{f"{keys[0]}__in": parents}).order_by("pk"))
        made = _write(
            copied(row, **_moved(row, keys, new, n), **_anew(row))
            for n in range(len(sessions))
            for row in rows
        )
        new[model] = {row.pk: made[at :: len(rows)] for at, row in enumerate(rows)}
    _carry(new[Chain], parts)
    pairs = [(old, each.pk) for old, made in new[Revision].items() for each in made]
    for model in (Placement, Stage):
        copy_all_of(model, "revision", pairs)
    of_chain = RecordingSession.objects.filter(setups__chains=OuterRef("chain"))
    Revision.objects.filter(chain__setup__in=new[Setup][setup.pk]).update(
        fixed_at=Subquery(of_chain.values("starts_at"))
    )
    return new


def _moved(row: Model, keys: Iterable[str], new: dict, n: int) -> dict:
    """To the nth copy of what it hangs on."""
    parents = {key: row._meta.get_field(key) for key in keys}
    return {
        key: new[field.related_model][getattr(row, field.attname)][n]
        for key, field in parents.items()
    }


def _anew(row: Model) -> dict:
    """What is not as in the old row. A revision is fixed once its stages are there."""
    return {"fixed_at": None} if isinstance(row, Revision) else {}


def _carry(chains: dict[int, list[Chain]], parts: Sequence[Sequence[Part]]) -> None:
    """The nth copy of a chain carries the nth of `parts`, at its place."""
    carried = Chain.parts.through
    carried.objects.bulk_create(
        carried(chain=chain, part=parts[n][chain.position - 1])
        for copies in chains.values()
        for n, chain in enumerate(copies)
    )


def _write(rows: Iterable[Model]) -> list[Model]:
    rows = list(rows)
    return type(rows[0]).objects.bulk_create(rows) if rows else []
