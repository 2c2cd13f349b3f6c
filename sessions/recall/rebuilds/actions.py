"""Changes to rebuilds. Each is refused once the rebuild is finished: its setup is its record then."""

from collections.abc import Collection, Sequence
from decimal import Decimal

from django.utils import timezone

from gear.acting import action
from gear.editing.history import update_with_history
from gear.editing.versions import EditedMeanwhile, claim_version
from gear.equipment.models import Unit
from sessions.bookings.actions import book_session
from sessions.bookings.models import RecordingSession
from sessions.recall.models import ImportedSheet, Rebuild, RebuildStep, Tick
from sessions.recall.rebuilds.candidates import Stock, suggested
from sessions.recall.rebuilds.checklist import checklist_of, stage_line
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.rebuilds.pairs import RebuiltGroup, groups_of
from sessions.recall.rebuilds.taking_over import taken_of, unit_of
from sessions.recall.sheet.wanted import WantedChain
from sessions.rooms.models import Room
from sessions.setups.chains.actions import Seen, add_chain, add_stage
from sessions.setups.levels.actions import log_levels
from sessions.setups.models import Chain, ChainGroup, Setup
from sessions.setups.placement.actions import place_microphone
from sessions.songs.models import Song

#: On a chain that something from outside belongs to.
NOT_OF_THE_GEAR = "Not in the gear, so not in this chain; set as the rebuild’s report says:"


class RebuildRefused(Exception):
    """The rebuild can't be changed or finished like that; the message says why."""


class Harmful(Exception):
    """48 V would reach what it can damage; the message says whom, and what to do instead."""


@action
def start_rebuild(
    song: Song, *, chains: Sequence[WantedChain], by, imported: ImportedSheet | None = None
) -> Rebuild:
    """Begin with these chains, each stage with its own unit or one of the same model where one is
    in service. For an imported sheet the units are matched by hand."""
    if not any(chain.stages for chain in chains):
        raise RebuildRefused("Choose at least one chain that has units.")
    rebuild = Rebuild.objects.create(song=song, imported=imported, started_by=by)
    stock = Stock()
    spoken_for = {wanted.unit_id for chain in chains for wanted in chain.stages}
    for chain in chains:
        for wanted in chain.stages:
            unit = None if imported else suggested(stock.candidates(wanted), spoken_for)
            spoken_for.add(unit and unit.pk)
            RebuildStep.objects.create(
                rebuild=rebuild,
                chain_number=chain.number,
                position=wanted.position,
                stage_id=wanted.stage_id,
                unit=unit,
                channel=wanted.channel,
                panel=stock.panel_of(unit) if unit else None,
            )
    return rebuild


@action
def choose_unit(
    step: RebuildStep,
    *,
    unit: Unit | None,
    seen: int,
    by,
    outside_unit: str = "",
    is_left_out: bool = False,
) -> None:
    """Use this unit for the stage, or one from outside on the panel that the sheet has, or leave it
    out. Of what was ticked stays what is the same control of the same model.

    Raises EditedMeanwhile when somebody else changed the stage since it was seen.
    """
    refuse_finished(step.rebuild_id)
    current = RebuildStep.objects.get(pk=step.pk)
    if (current.unit_id, current.outside_unit, current.is_left_out) == (
        unit and unit.pk,
        outside_unit,
        is_left_out,
    ):
        return
    claim_version(current, seen)
    is_same = unit is None and current.unit_id is None and not is_left_out
    if not is_same:
        _keep_ticks(current, _same_controls(current, unit) if unit else frozenset())
        current.panel = unit.model.current_panel() if unit else None
        current.in_place_by = current.in_place_at = None
        current.tone_reading_dbu = current.tone_read_at = None
        if is_left_out or (unit and (current.channel or 0) > unit.model.channels):
            current.channel = None
        current.chosen_at = timezone.now()
    current.unit, current.outside_unit, current.is_left_out = unit, outside_unit, is_left_out
    current.save()


@action
def take_over(step: RebuildStep, *, asset_tag: str, serial_number: str, seen: int, by) -> Unit:
    """Take the model and the panel of a stage without a unit into the gear, with a unit of it, which
    all stages that it stood at then use: it is what stood there already, so ticks and readings stay.

    Raises EditedMeanwhile, and ValidationError where the gear has no room for what the sheet says.
    """
    refuse_finished(step.rebuild_id)
    current = RebuildStep.objects.get(pk=step.pk)
    claim_version(current, seen)
    if not current.is_from_outside:
        raise RebuildRefused("Another unit was chosen here meanwhile: nothing is taken over.")
    lines = checklist_of(current.rebuild).stages
    line = next(line for line in lines if line.step.pk == step.pk)
    places = [each for each in lines if each.is_from_outside and each.in_use == line.in_use]
    taken = taken_of(line.wanted)
    unit = unit_of(
        line.wanted,
        taken,
        channels=line.in_use.model.channels,
        asset_tag=asset_tag,
        serial_number=serial_number,
    )
    panel = unit.model.current_panel()
    for place in places:
        _keep_ticks(place.step, taken.same)
        place.step.unit, place.step.panel, place.step.outside_unit = unit, panel, ""
        if (place.step.channel or 0) > unit.model.channels:
            place.step.channel = None
        place.step.save(update_fields=["unit", "panel", "outside_unit", "channel"])
    return unit


def _same_controls(step: RebuildStep, unit: Unit) -> frozenset[str]:
    """Keys of controls that are the same on the unit as on what stood there, where it is of its model."""
    line, panel = stage_line(step), unit.model.current_panel()
    if panel is None or not line.is_of(unit.model):
        return frozenset()
    theirs = {each.key: each.facts() for each in panel.controls.all()}
    return frozenset(
        each.control.key
        for each in line.controls
        if theirs.get(each.control.key) == each.control.facts()
    )


def _keep_ticks(step: RebuildStep, keys: Collection[str]) -> None:
    """One by one, so that their history says that they went."""
    for tick in step.ticks.exclude(key__in=keys):
        tick.delete()


@action
def set_in_place(step: RebuildStep, *, in_place: bool, by) -> None:
    """The unit is there and patched, or not any more. Who says the same twice changes nothing."""
    refuse_finished(step.rebuild_id)
    current = RebuildStep.objects.select_for_update().get(pk=step.pk)
    if current.is_in_place == in_place:
        return
    current.in_place_by = by if in_place else None
    current.in_place_at = timezone.now() if in_place else None
    current.save(update_fields=["in_place_by", "in_place_at"])


@action
def tick_control(
    step: RebuildStep, *, key: str, value: float | None, seen: int, by, is_sure: bool = False
) -> Tick:
    """Write down how a control was set; no value takes the tick back.

    seen is the version of the tick that was before the person, 0 where there was none. Raises
    EditedMeanwhile with the other's tick, unless it says the same; and Harmful where phantom power is
    to be on and can damage something, unless somebody is sure that it is.
    """
    refuse_finished(step.rebuild_id)
    if value and value > 0 and not is_sure:
        _refuse_harm(step, key)
    tick, made = Tick.objects.get_or_create(
        step=step, key=key, defaults={"value": value, "ticked_by": by}
    )
    if made or tick.value == value:
        return tick
    if seen == 0 or tick.version != seen:
        raise EditedMeanwhile(tick)
    claim_version(tick, seen)
    tick.value, tick.ticked_by = value, by
    tick.save()
    return tick


@action
def read_tone(step: RebuildStep, *, reading: Decimal | None, seen: int, by) -> None:
    """Write down the tone's level at the stage's output; the same once more says that it reads so
    still. Raises EditedMeanwhile."""
    refuse_finished(step.rebuild_id)
    current = RebuildStep.objects.get(pk=step.pk)
    if current.tone_reading_dbu != reading:
        claim_version(current, seen)
    current.tone_reading_dbu = reading
    current.tone_read_at = None if reading is None else timezone.now()
    current.save(update_fields=["tone_reading_dbu", "tone_read_at", "version"])


@action
def finish_rebuild(rebuild: Rebuild, *, session: RecordingSession, by, note: str = "") -> Setup:
    """Keep what was set up as a setup of the session, with a chain for every one rebuilt. What came
    from outside is no unit of the gear, so no stage: the report keeps how it was set."""
    refuse_finished(rebuild.pk)
    checklist = checklist_of(rebuild)
    chains = [chain for chain in checklist.chains if chain.in_use]
    if not chains:
        raise RebuildRefused("Every unit is left out: choose the units first.")
    setup = Setup.objects.create(
        session=session,
        position=session.setups.count() + 1,
        name=_name_in(session, f"Rebuild of {rebuild.song}"[:70]),
        note=note,
    )
    kept = {chain.wanted.number: _keep(chain, setup, by) for chain in chains}
    for group in groups_of(chains):
        _keep_group(group, setup, kept)
    current = Rebuild.objects.get(pk=rebuild.pk)
    current.setup, current.finished_by, current.finished_at = setup, by, timezone.now()
    current.note = note
    current.save()
    return setup


@action
def finish_in_new_session(rebuild: Rebuild, *, room: Room, note: str = "", by, **booking) -> Setup:
    """The same in a session of the song’s project that is booked for it, or that is asked for as an
    enquiry, which reserves nothing. Raises as `book_session`; then nothing is finished."""
    session = book_session(
        rebuild.song.project,
        rooms=[room],
        title=f"Rebuild of {rebuild.song}"[:120],
        by=by,
        **booking,
    )
    return finish_rebuild(rebuild, session=session, note=note, by=by)


def _keep_group(group: RebuiltGroup, setup: Setup, kept: dict[int, Chain]) -> None:
    """Whose chains belong together belongs together again; a pair that was parted stays so."""
    figures = (group.facts.spacing_cm, group.facts.included_angle_deg)
    spacing, angle = (None if figure is None else Decimal(str(figure)) for figure in figures)
    taken = set(setup.groups.values_list("name", flat=True))
    together = ChainGroup.objects.create(
        setup=setup,
        name=_free_name(group.facts.name, taken),
        arrangement=group.facts.arrangement,
        spacing_cm=spacing,
        included_angle_deg=angle,
        is_matched=not group.parted,
    )
    for each in group.chains:
        chain = kept[each.wanted.number]
        chain.group, chain.seat = together, each.wanted.group.seat
        chain.save()


def _keep(checklist: ChainChecklist, setup: Setup, by) -> Chain:
    """Readings that something was set after are no facts of the chain as it stands: the report
    has them."""
    wanted = checklist.wanted
    chain = add_chain(
        setup,
        by=by,
        source=wanted.source,
        parts=wanted.parts,
        track=wanted.track,
        destination_input=wanted.destination_input,
    )
    if outside := [line.unit_in_words for line in checklist.stages if line.is_from_outside]:
        note = f"{NOT_OF_THE_GEAR} {', '.join(outside)}."
        update_with_history(chain.revisions.all(), note=note)
    readings, stale = {}, {each.position for each in checklist.tone.to_read_again}
    for line in [line for line in checklist.stages if line.unit]:
        stage = add_stage(chain, seen=_seen(chain), by=by, **_facts(line))
        update_with_history(RebuildStep.objects.filter(pk=line.step.pk), rebuilt=stage)
        if line.step.tone_reading_dbu is not None and line.wanted.position not in stale:
            readings[stage.position] = {"tone_reading_dbu": line.step.tone_reading_dbu}
    if wanted.placement:
        place_microphone(chain, seen=_seen(chain), by=by, **wanted.placement)
    if readings:
        tone = {
            "tone_hz": Decimal(str(checklist.tone.hertz)),
            "tone_dbu": Decimal(str(checklist.tone.dbu)),
        }
        log_levels(chain, seen=_seen(chain), by=by, facts=tone, stages=readings)
    return chain


def _facts(line: StageLine) -> dict:
    return {
        "unit": line.unit,
        "channel": line.step.channel,
        "panel": line.step.panel,
        "path": line.wanted.path,
        "patch_in": line.patch_in,
        "patch_out": line.patch_out,
        "settings": {
            control.control.key: control.set_to for control in line.controls if control.is_set
        },
        "note": line.step.note or line.wanted.note,
    }


def _seen(chain: Chain) -> Seen:
    return Seen.of(chain.revisions.newest().get())


def _name_in(session: RecordingSession, name: str) -> str:
    return _free_name(name, set(session.setups.values_list("name", flat=True)))


def _free_name(name: str, taken: set[str]) -> str:
    numbered = (name if n == 1 else f"{name}, {n}" for n in range(1, len(taken) + 2))
    return next(each for each in numbered if each not in taken)


def _refuse_harm(step: RebuildStep, key: str) -> None:
    line = next((each for each in stage_line(step).controls if each.control.key == key), None)
    if line and line.harmed:
        raise Harmful(
            f"{line.why_off} Nothing was saved. If it is on anyway, type that and save once more."
        )


def refuse_finished(rebuild_id: int) -> None:
    """Waits for whoever is changing the rebuild, so that nothing is ticked while it is finished."""
    rebuild = Rebuild.objects.select_for_update().get(pk=rebuild_id)
    if rebuild.is_finished:
        raise RebuildRefused("This rebuild is finished: start another to set it up once more.")
