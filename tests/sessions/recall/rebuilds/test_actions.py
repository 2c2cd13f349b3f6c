"""A rebuild from its start to the setup that it becomes."""

from decimal import Decimal

import pytest

from gear.editing.versions import EditedMeanwhile
from gear.equipment.cautions import PHANTOM_CLASH
from gear.equipment.models import UnitState
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.actions import (
    RebuildRefused,
    choose_unit,
    finish_rebuild,
    read_tone,
    set_in_place,
    tick_control,
)
from sessions.recall.rebuilds.cautions import cautions_of
from sessions.recall.rebuilds.checklist import checklist_of, stage_line
from sessions.recall.rebuilds.report import rebuild_report
from sessions.setups.chains.actions import Seen, remove_stage
from tests.factories import (
    ChainFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PartFactory,
    PatchPointFactory,
    RecordingSessionFactory,
    RevisionFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.rebuilds.vocal import (
    preamplifier_model,
    recorded_vocal,
    started,
    step_at,
)
from tests.sessions.recall.recorded import record

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(vocal):
    return RecordingSessionFactory(project=vocal.chain.parts.get().song.project, title="Mixing")


def tick(step, key, value, *, by, seen=0):
    return tick_control(step, key=key, value=value, seen=seen, by=by)


def test_rebuild_starts_with_the_units_themselves(rebuild):
    assert [step.unit.asset_tag for step in rebuild.steps.all()] == ["M-01", "P-01"]
    assert [chain.wanted.source for chain in checklist_of(rebuild).chains] == ["Alto voice"]


def test_unit_on_the_bench_is_stood_in_for_by_another_of_its_model(vocal, engineer):
    preamplifier = vocal.stages.get(position=2).unit
    UnitFactory(model=preamplifier.model, asset_tag="P-02")
    preamplifier.state = UnitState.ON_THE_BENCH
    preamplifier.save()

    rebuild = started(vocal, engineer)

    assert step_at(rebuild, 2).unit.asset_tag == "P-02"
    assert checklist_of(rebuild).stages[1].stands_in


def test_retired_unit_without_another_of_its_model_is_left_to_be_chosen(vocal, engineer):
    preamplifier = vocal.stages.get(position=2).unit
    UnitFactory(model=preamplifier_model(name="Ford 2"))
    preamplifier.state = UnitState.RETIRED
    preamplifier.save()

    assert step_at(started(vocal, engineer), 2).unit is None


def test_two_people_tick_two_controls_of_one_stage(rebuild, engineer, assistant):
    step = step_at(rebuild, 2)

    tick(step, "gain", 35, by=engineer)
    tick(step, "48-v", 1, by=assistant)

    line = stage_line(step)
    assert (line.set_so_far, line.to_set) == (2, 2)
    assert {each.tick.ticked_by for each in line.controls} == {engineer, assistant}


def test_second_to_tick_one_control_otherwise_gets_the_first_ones_value(
    rebuild, engineer, assistant
):
    step = step_at(rebuild, 2)
    tick(step, "gain", 35, by=engineer)

    with pytest.raises(EditedMeanwhile) as meanwhile:
        tick(step, "gain", 40, by=assistant)

    assert (meanwhile.value.current.value, meanwhile.value.current.ticked_by) == (35, engineer)
    assert tick(step, "gain", 35, by=assistant).ticked_by == engineer  # the same: no conflict
    over = tick(step, "gain", 40, by=assistant, seen=meanwhile.value.current.version)
    assert (over.value, over.ticked_by) == (40, assistant)
    assert [entry.value for entry in over.history.all()] == [40, 35]


def test_tick_is_taken_back(rebuild, engineer):
    step = step_at(rebuild, 2)
    made = tick(step, "gain", 35, by=engineer)

    tick(step, "gain", None, by=engineer, seen=made.version)

    assert stage_line(step).set_so_far == 0


def test_other_unit_on_another_panel_starts_without_ticks(rebuild, engineer):
    step = step_at(rebuild, 2)
    set_in_place(step, in_place=True, by=engineer)
    tick(step, "gain", 35, by=engineer)
    other = UnitFactory(model=preamplifier_model(name="Ford 2"))

    choose_unit(step, unit=other, seen=step.version, by=engineer)

    line = stage_line(step)
    assert (line.unit, line.step.is_in_place, line.set_so_far) == (other, False, 0)


def test_units_chosen_by_two_people_are_not_overwritten_unseen(rebuild, engineer):
    step = step_at(rebuild, 2)
    one, two = (UnitFactory(model=step.unit.model) for _ in range(2))
    choose_unit(step, unit=one, seen=step.version, by=engineer)

    with pytest.raises(EditedMeanwhile):
        choose_unit(step, unit=two, seen=step.version, by=engineer)


def test_patching_goes_by_the_points_of_the_unit_in_use(rebuild, engineer):
    step = step_at(rebuild, 2)
    other = UnitFactory(model=step.unit.model, asset_tag="P-02")
    point = PatchPointFactory(unit=other, side="return", label="Pre 2 in")
    choose_unit(step, unit=other, seen=step.version, by=engineer)

    (chain,) = checklist_of(rebuild).chains

    assert [
        (made.source.unit.asset_tag, made.in_at and made.in_at.pk) for made in chain.connections
    ] == [
        ("M-01", point.pk),
        ("P-02", None),
    ]
    assert chain.connections[-1].destination_input == "Input 1"


def test_phantom_power_is_warned_of_where_a_ribbon_stands_in(rebuild, engineer):
    step = step_at(rebuild, 1)
    ribbon = UnitFactory(model=MicrophoneModelFactory(phantom="harmful", transducer="ribbon"))
    choose_unit(step, unit=ribbon, seen=step.version, by=engineer)

    assert PHANTOM_CLASH in [each.caution for each in cautions_of(checklist_of(rebuild))]


def test_tone_read_by_two_people_is_not_overwritten_unseen(rebuild, engineer):
    step = step_at(rebuild, 2)
    read_tone(step, reading=Decimal("-5.2"), seen=1, by=engineer)

    with pytest.raises(EditedMeanwhile):
        read_tone(step, reading=Decimal("-6"), seen=1, by=engineer)

    (chain,) = checklist_of(rebuild).chains
    assert chain.tone.at(2).deviation_db == -0.2
    assert chain.first_out is None


@pytest.mark.parametrize("value", [36, None])
def test_reading_is_to_be_read_again_once_a_control_was_set_or_a_tick_taken_back(
    rebuild, engineer, value
):
    step = step_at(rebuild, 2)
    set_first = tick(step, "gain", 35, by=engineer)
    read_tone(step, reading=Decimal("-5"), seen=1, by=engineer)
    assert checklist_of(rebuild).to_read_again == 0

    tick(step, "gain", value, by=engineer, seen=set_first.version)

    assert checklist_of(rebuild).to_read_again == 1
    read_tone(step, reading=Decimal("-5"), seen=1, by=engineer)  # it reads so still
    assert checklist_of(rebuild).to_read_again == 0


def test_reading_goes_with_its_unit_and_what_stands_in_counts_as_a_change(rebuild, engineer):
    read_tone(step_at(rebuild, 2), reading=Decimal("-5"), seen=1, by=engineer)
    twin = UnitFactory(model=step_at(rebuild, 2).unit.model, asset_tag="P-02")
    choose_unit(step_at(rebuild, 2), unit=twin, seen=2, by=engineer)

    assert step_at(rebuild, 2).tone_reading_dbu is None
    (chain,) = checklist_of(rebuild).chains
    assert chain.stages[1].read_now.changed_at is not None


def test_reading_that_something_was_set_after_is_not_kept_in_the_setup(rebuild, engineer, today):
    read_tone(step_at(rebuild, 2), reading=Decimal("-4"), seen=1, by=engineer)
    tick(step_at(rebuild, 2), "gain", 36, by=engineer)

    setup = finish_rebuild(rebuild, session=today, by=engineer)

    revision = setup.chains.get().newest_revision()
    assert revision.tone_dbu is None
    assert revision.stages.all()[1].tone_reading_dbu is None
    assert step_at(rebuild, 2).tone_reading_dbu == Decimal("-4")


def test_usual_tone_is_kept_with_the_readings_where_none_was_logged(engineer):
    rebuild = started(recorded_vocal(tone=False), engineer)
    today = RecordingSessionFactory(project=rebuild.song.project)
    read_tone(step_at(rebuild, 2), reading=Decimal("-5.3"), seen=1, by=engineer)

    (chain,) = checklist_of(rebuild).chains
    setup = finish_rebuild(rebuild, session=today, by=engineer)

    assert chain.tone.at(2).deviation_db == -0.3  # -40 dBu and 35 dB of gain
    revision = setup.chains.get().newest_revision()
    assert (revision.tone_hz, revision.tone_dbu) == (1000, -40)


def test_finished_rebuild_is_a_chain_in_a_setup_of_the_session(rebuild, vocal, engineer, today):
    step = step_at(rebuild, 2)
    tick(step, "gain", 36, by=engineer)
    read_tone(step, reading=Decimal("-4"), seen=1, by=engineer)

    setup = finish_rebuild(rebuild, session=today, by=engineer, note="For the mix")

    chain = setup.chains.get()
    revision = chain.newest_revision()
    assert (setup.session, setup.name, setup.note) == (
        today,
        "Rebuild of Slow the Lantern",
        "For the mix",
    )
    assert (chain.source.name, chain.track) == ("Alto voice", "Ld Vox")
    assert chain.parts.get() == vocal.chain.parts.get()
    assert [stage.unit.asset_tag for stage in revision.stages.all()] == ["M-01", "P-01"]
    assert revision.stages.all()[1].settings == {"gain": 36}
    assert revision.stages.all()[1].tone_reading_dbu == Decimal("-4")
    assert (revision.tone_hz, revision.tone_dbu) == (1000, -40)
    assert revision.placement.note == "From slightly above"
    assert vocal.stages.get(position=2).settings == {"48-v": 1, "gain": 35}
    assert step_at(rebuild, 2).rebuilt.revision == revision


def test_stage_of_the_finished_setup_can_be_removed_again(rebuild, engineer, today):
    revision = finish_rebuild(rebuild, session=today, by=engineer).chains.get().newest_revision()
    second = revision.stages.get(position=2)

    remove_stage(second, seen=Seen.of(revision), by=engineer)

    assert step_at(rebuild, 2).rebuilt is None
    assert step_at(rebuild, 1).rebuilt.revision == revision


def test_report_says_what_differs_from_what_was_logged(rebuild, engineer, today):
    tick(step_at(rebuild, 2), "gain", 38, by=engineer)
    finish_rebuild(rebuild, session=today, by=engineer)

    report = rebuild_report(checklist_of(Rebuild.objects.get(pk=rebuild.pk)))

    microphone, preamplifier = report.chains[0].stages
    assert microphone.alike
    assert [
        (each.label, each.logged, each.set_to, each.words, each.within)
        for each in preamplifier.differences
    ] == [
        ("48 V", "on", "not set", "not set", False),
        ("Gain", "35 dB", "38 dB", "15°, +3 dB", False),
    ]
    assert dict(report.summary)["Controls set"] == "1 of 2 that were logged"
    assert report.chains[0].rebuilt.chain.setup.session == today


def test_finished_rebuild_can_not_be_changed(rebuild, engineer, today):
    finish_rebuild(rebuild, session=today, by=engineer)
    step = step_at(rebuild, 2)

    for change in (
        lambda: tick(step, "gain", 35, by=engineer),
        lambda: set_in_place(step, in_place=True, by=engineer),
        lambda: read_tone(step, reading=None, seen=1, by=engineer),
        lambda: choose_unit(step, unit=None, seen=1, by=engineer),
        lambda: finish_rebuild(rebuild, session=today, by=engineer),
    ):
        with pytest.raises(RebuildRefused):
            change()


def test_rebuild_without_any_unit_is_not_finished(rebuild, engineer, today):
    RebuildStep.objects.update(unit=None, is_left_out=True)

    with pytest.raises(RebuildRefused, match="choose the units first"):
        finish_rebuild(rebuild, session=today, by=engineer)


def test_second_rebuild_in_one_session_gets_a_name_of_its_own(vocal, engineer, today):
    names = [
        finish_rebuild(started(vocal, engineer), session=today, by=engineer).name for _ in range(2)
    ]

    assert names == ["Rebuild of Slow the Lantern", "Rebuild of Slow the Lantern, 2"]


@pytest.mark.parametrize("chains", [1, 3])
def test_work_costs_the_same_queries_for_any_number_of_chains(
    engineer, chains, django_assert_num_queries
):
    song = None
    for number in range(chains):
        vocal = _vocal_in(song, number)
        song = vocal.chain.parts.get().song
    rebuild = started(vocal, engineer)

    with django_assert_num_queries(13):
        checklist = checklist_of(rebuild)

    assert len(checklist.chains) == chains


def _vocal_in(song, number):
    part = PartFactory(**({"song": song} if song else {}), name=f"Part {number}")
    take = TakeFactory(part=part, circled=True)
    revision = RevisionFactory(chain=ChainFactory(part=part, setup__session=take.session))
    unit = UnitFactory(model=preamplifier_model(name=f"Stile {number}"))
    StageFactory(
        revision=revision,
        unit=unit,
        panel=unit.model.current_panel(),
        settings={"gain": 20},
    )
    record(take, revision)
    return revision


def test_model_without_panel_has_nothing_to_set(rebuild, engineer):
    step = step_at(rebuild, 2)
    bare = UnitFactory(model=GearModelFactory())
    choose_unit(step, unit=bare, seen=step.version, by=engineer)

    line = stage_line(step)

    assert line.controls == ()
    assert line.unmatched == (
        "48 V on: it has no such control.",
        "Gain 35 dB: it has no such control.",
    )
