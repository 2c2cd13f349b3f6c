import pytest

from sessions.setups.chains.actions import fix_revision
from sessions.setups.copying.actions import copy_setup, copy_stage
from sessions.setups.models import ChainGroup
from tests.factories import (
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    PlacementFactory,
    RecordingSessionFactory,
    SetupFactory,
    StageFactory,
)
from tests.sessions.setups.building import microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def setup():
    """A vocal chain and a room chain, the first recorded through, with what the singer hears."""
    setup = SetupFactory(name="Lead vocal, morning", buffer_samples=128)
    part = PartFactory(song__project=setup.session.project)
    vocal = revision_of(microphone(), preamplifier(), setup=setup, part=part, track="Ld Vox")
    vocal.stages.filter(position=2).update(settings={"gain": 35})
    PlacementFactory(revision=vocal, distance_cm=22, angle_towards="left", cable="No. 14")
    fix_revision(vocal)
    revision_of(microphone(), setup=setup, track="Rm", position=2)
    mix = HeadphoneMixFactory(setup=setup, name="Hesper", level_dba=85)
    mix.listeners.add(PersonFactory(name="Hesper"))
    HeadphoneLineFactory(mix=mix, chain=vocal.chain, source="", level="0 dB")
    HeadphoneLineFactory(mix=mix, source="Click", level="low")
    return setup


def test_earlier_setup_is_copied_whole_as_first_revisions(setup, engineer):
    later = RecordingSessionFactory(project=setup.session.project)
    SetupFactory(session=later, position=1)

    copy = copy_setup(setup, to=later, name="Second day", by=engineer).copy

    assert (copy.session, copy.position, copy.buffer_samples) == (later, 2, 128)
    assert [chain.track for chain in copy.chains.all()] == ["Ld Vox", "Rm"]
    vocal = copy.chains.first().revisions.get()
    assert (vocal.number, vocal.is_fixed, vocal.created_by) == (1, False, engineer)
    assert [stage.settings for stage in vocal.stages.all()] == [{}, {"gain": 35}]
    placed = vocal.placement
    assert (placed.distance_cm, placed.angle_towards, placed.cable) == (22, "left", "No. 14")
    assert vocal.chain.parts.get() == setup.chains.first().parts.get()


def test_headphone_mixes_come_with_it_on_the_copied_chains(setup, engineer):
    copy = copy_setup(setup, to=setup.session, name="Again", by=engineer).copy

    mix = copy.headphone_mixes.get()
    assert [person.name for person in mix.listeners.all()] == ["Hesper"]
    assert [(line.chain, line.source, line.level) for line in mix.lines.all()] == [
        (copy.chains.first(), "", "0 dB"),
        (None, "Click", "low"),
    ]
    assert setup.headphone_mixes.get().lines.count() == 2


def test_pair_is_a_pair_of_the_copied_chains(setup, engineer):
    group = ChainGroup.objects.create(setup=setup, name="Main pair", spacing_cm=17)
    setup.chains.update(group=group, seat="left")

    copy = copy_setup(setup, to=setup.session, name="Again", by=engineer).copy

    copied = copy.groups.get()
    assert (copied.name, copied.spacing_cm) == ("Main pair", 17)
    assert {(chain.group, chain.seat) for chain in copy.chains.all()} == {(copied, "left")}
    assert set(group.chains.all()) == set(setup.chains.all())


def test_what_is_copied_stays_as_it_was(setup, engineer):
    copy = copy_setup(setup, to=setup.session, name="Again", by=engineer).copy
    copy.chains.first().revisions.get().stages.filter(position=2).update(settings={"gain": 50})

    original = setup.chains.first().revisions.get()
    assert original.is_fixed
    assert original.stages.get(position=2).settings == {"gain": 35}


def test_part_of_another_project_is_not_taken_along(setup, engineer):
    copy = copy_setup(setup, to=RecordingSessionFactory(), name="Elsewhere", by=engineer).copy

    assert not copy.chains.filter(parts__isnull=False).exists()


def test_stage_is_copied_with_its_settings_to_the_end_of_another_chain(setup, engineer):
    point = PatchPointFactory()
    vocal, room = setup.chains.all()
    stage = StageFactory(
        revision=revision_of(setup=setup), settings={"ratio": 4}, patch_in=point, note="left"
    )

    copy = copy_stage(stage, to=room, by=engineer).copy

    assert (copy.revision.chain, copy.position, copy.unit) == (room, 2, stage.unit)
    assert (copy.settings, copy.patch_in, copy.note) == ({"ratio": 4}, point, "left")
    assert (copy.panel, copy.not_yet_set) == (stage.panel, ["ratio"])
    assert copy_stage(stage, to=vocal, by=engineer).copy.revision.number == 2  # the first is fixed
