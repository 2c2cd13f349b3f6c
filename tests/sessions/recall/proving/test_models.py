"""What was measured stays as it was measured: the database keeps it, also from plain saves."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from sessions.recall.proving.models import Measurement
from studio.roles import Role
from tests.factories import (
    MeasurementFactory,
    PersonFactory,
    ProjectFactory,
    RebuildFactory,
    UnitFactory,
    UserFactory,
    result_of,
    three_tones,
)

pytestmark = pytest.mark.django_db


def of_something_else(**facts):
    return MeasurementFactory(revision=None, **facts)


def test_result_comes_back_as_it_was_kept():
    measurement = Measurement.objects.get(pk=MeasurementFactory().pk)

    assert measurement.found == result_of()
    assert measurement.file_plan.rate_hz == 48_000


def test_levels_are_told_in_dbu():
    """0 dBFS is +18 dBu; a file with its ceiling at -10 dBFS, by a pad of 20 dB, comes to -12 dBu: its
    full scale is -2 dBu there."""
    found = MeasurementFactory().found_in_dbu

    assert found.gain_db == 22
    assert found.curve[0] == (-52, -30)
    assert found.noise_dbfs == -72


def test_tones_come_back_as_they_were_kept():
    measurement = Measurement.objects.get(pk=MeasurementFactory(of_tones=True).pk)

    assert [tone.gain_db for tone in measurement.tones_read] == [20, 20, 20]
    assert measurement.file_plan.hertz == (80, 1000, 10_000)
    assert measurement.full_scale_dbu == 18


@pytest.mark.parametrize(
    "changed",
    [
        {"result": result_of(gain_db=2.5).as_json()},
        {"pad_db": 40},
        {"up_to": 2},
        {"note": "EQ in"},
        {"state": "failed"},
    ],
)
def test_what_was_measured_stays(changed):
    measurement = MeasurementFactory()

    with pytest.raises(IntegrityError, match="measurement_kept"):
        Measurement.objects.filter(pk=measurement.pk).update(**changed)


def test_nothing_measured_is_deleted():
    with pytest.raises(IntegrityError, match="measurement_kept"):
        MeasurementFactory(state="begun", result=None).delete()


def test_one_is_undone_once_and_for_good():
    measurement = MeasurementFactory()
    measurement.undone_by, measurement.undone_at = UserFactory(), timezone.now()
    measurement.save()

    with pytest.raises(IntegrityError, match="measurement_kept"), transaction.atomic():
        Measurement.objects.filter(pk=measurement.pk).update(undone_by=None, undone_at=None)
    assert not Measurement.objects.standing().exists()


def test_its_recording_may_go():
    measurement = MeasurementFactory(recording="measurements/x.wav")
    measurement.recording = ""
    measurement.save()

    assert Measurement.objects.get().found == result_of()


def test_until_it_is_done_it_goes_on():
    measurement = MeasurementFactory(state="failed", result=None, refusal="It is silent.")
    measurement.state, measurement.refusal = "waiting", ""
    measurement.save()


@pytest.mark.parametrize(
    "wrong",
    [
        {"is_cable": True},
        {"revision": None},
        {"chain_number": 1},
        {"plan": None},
        {"tones": three_tones()},
        {"of_tones": True, "tones": None},
        {"of_tones": True, "result": result_of().as_json()},
        {"measured_at": None},
        {"undone_at": timezone.now()},
    ],
)
def test_what_contradicts_itself_is_refused(wrong):
    with pytest.raises(IntegrityError, match="(?i)check"):
        MeasurementFactory(**wrong)


def test_mix_engineer_sees_those_of_their_projects(role_of_project):
    project, mix_engineer = role_of_project
    of_chain = MeasurementFactory(revision__chain__setup__session__project=project)
    of_rebuild = of_something_else(rebuild=RebuildFactory(song__project=project), chain_number=1)
    others = [MeasurementFactory(), of_something_else(unit=UnitFactory())]
    others.append(of_something_else(is_cable=True))

    assert {*Measurement.objects.visible_to(mix_engineer)} == {of_chain, of_rebuild}
    everything = {of_chain, of_rebuild, *others}
    assert {*Measurement.objects.visible_to(UserFactory(role=Role.ASSISTANT))} == everything


@pytest.fixture
def role_of_project(db):
    project, mix_engineer = ProjectFactory(), UserFactory(role=Role.MIX_ENGINEER)
    project.mix_engineers.add(PersonFactory(user=mix_engineer))
    return project, mix_engineer
