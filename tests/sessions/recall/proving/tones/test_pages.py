"""Three tones of a chain: begun, read off a meter, held against the last time."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.recall.proving.feeding import feed_of
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from sessions.rooms.models import HouseRules
from tests.factories import MeasurementFactory, RevisionFactory, three_tones
from tests.sessions.setups.building import loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db

TICKED = dict.fromkeys(["monitors", "headphones", "phantom", "path", "loop"], "on")


@pytest.fixture
def revision():
    """[condenser] -- [pre +42, 48 V on], 0 dBFS is +18 dBu: the usual -40 dBu comes to +2 dBu."""
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, preamplifier(), settings={"gain": 42, "p48": 1})
    return loaded(revision)


@pytest.fixture
def page(revision):
    return reverse("proving:tones", args=[revision.chain_id])


def begun(revision, **facts):
    nothing = {"state": "begun", "measured_at": None, "measured_by": None, "progress": 0}
    asked = [tone | {"read_dbu": None} for tone in three_tones()]
    facts = {"tones": asked, "cautions_at": timezone.now()} | facts
    return MeasurementFactory(of_tones=True, revision=revision, **nothing | facts)


def readings(client, measurement, *typed):
    names = ("at_80_hz", "at_1000_hz", "at_10000_hz")
    address = reverse("proving:readings", args=[measurement.pk])
    return client.post(address, dict(zip(names, typed, strict=True)))


def test_page_proposes_the_usual_level_and_a_pad(client_of, engineer, page):
    shown = client_of(engineer).get(page)

    assert "80 Hz, 1 kHz, 10 kHz are sent in one after the other" in shown.text
    assert (shown.context["form"].fed, shown.context["form"].pad) == (Decimal("-40.0"), 40)
    assert "Steady tones can harm ears and loudspeakers" in shown.text
    assert "Logged as on at" in shown.text
    assert "microphone, placement and room are not covered" in shown.text


def test_logged_tone_is_proposed(client_of, engineer, page, revision):
    revision.tone_dbu = Decimal("-50")
    revision.save()

    assert client_of(engineer).get(page).context["form"].fed == Decimal("-50.0")


def test_confirmed_page_begins_with_the_tones_of_the_house(client_of, engineer, page, revision):
    """-40 dBu behind 40 dB of pad is 0 dBu at the output: 18 dB below its full scale."""
    HouseRules.objects.update_or_create(pk=1, defaults={"tones_bottom_hz": 63})
    typed = {"fed_dbu": "-40", "pad_db": "40", "seen": feed_of(revision).digest} | TICKED

    client_of(engineer).post(page, typed)

    made = Measurement.objects.get()
    assert (made.depth, made.state) == (Depth.TONES, MeasurementState.BEGUN)
    assert [tone.hertz for tone in made.tones_read] == [63, 1000, 10_000]
    assert {tone.sent_dbu for tone in made.tones_read} == {-40}
    assert made.file_plan.ceiling_dbfs == -18
    assert made.settings_digest == feed_of(revision).digest


def test_nothing_is_begun_before_each_caution_is_confirmed(client_of, engineer, page, revision):
    typed = {"fed_dbu": "-40", "pad_db": "40", "seen": feed_of(revision).digest} | TICKED
    del typed["phantom"]

    assert client_of(engineer).post(page, typed).status_code == 422
    assert not Measurement.objects.exists()


def test_readings_in_whatever_unit_the_meter_has(client_of, engineer, revision):
    """0 dBFS at +18 dBu: -18 dBFS is 0 dBu; 1 V is +2.22 dBu."""
    measurement = begun(revision)

    readings(client_of(engineer), measurement, "-18 dBFS", "0.5", "1 V")

    measurement.refresh_from_db()
    assert measurement.is_done
    assert measurement.measured_by == engineer
    read = [tone.read_dbu for tone in Measurement.objects.get().tones_read]
    assert read == pytest.approx([0, 0.5, 2.22], abs=0.005)


def test_tone_that_cannot_be_read_is_left_out(client_of, engineer, revision):
    client = client_of(engineer)
    measurement = begun(revision)

    readings(client, measurement, "", "+1", "0")

    shown = client.get(measurement.get_absolute_url()).text
    assert "not read" in shown
    assert "−1.0 dB" in shown  # 10 kHz against 1 kHz


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("", "", ""), "Type what the meter reads of one tone at least."),
        (("loud", "0", "0"), "is not understood here"),
        (("0", "+90", "0"), "Enter a level from"),
    ],
)
def test_readings_that_say_nothing_are_refused(client_of, engineer, revision, typed, said):
    measurement = begun(revision)

    answer = readings(client_of(engineer), measurement, *typed)

    assert answer.status_code == 422
    assert said in answer.text
    assert all(f'value="{each}"' in answer.text for each in typed if each)
    assert Measurement.objects.get().state == MeasurementState.BEGUN


def test_readings_are_saved_once(client_of, engineer, revision):
    client, measurement = client_of(engineer), begun(revision)
    readings(client, measurement, "0", "0", "0")

    readings(client, measurement, "9", "9", "9")

    assert {tone.read_dbu for tone in Measurement.objects.get().tones_read} == {0}


def test_full_measurement_takes_no_readings(client_of, engineer, revision):
    full = MeasurementFactory(revision=revision)

    assert readings(client_of(engineer), full, "0", "0", "0").status_code == 404


def test_second_time_is_held_against_the_first(client_of, engineer, revision):
    """A decibel and a half less, and 2 dB less besides at the top: by the house's half a decibel."""
    first = MeasurementFactory(of_tones=True, revision=revision)
    client, second = client_of(engineer), begun(revision)

    readings(client, second, "-1.5", "-1.5", "-3.5")

    shown = client.get(second.get_absolute_url()).text
    assert "1.5 dB low; at 10 kHz 2 dB less." in shown
    assert first.get_absolute_url() in shown
    assert "Since the last time" not in client.get(first.get_absolute_url()).text


def test_file_of_the_tones_is_half_a_minute(client_of, engineer, revision):
    measurement = begun(revision)

    answer = client_of(engineer).get(reverse("proving:test_file", args=[measurement.pk]))

    assert len(b"".join(answer.streaming_content)) == 44 + 3 * 29 * 48_000


def test_mix_engineer_reads_what_was_measured_but_saves_nothing(client_of, mix_engineer, revision):
    project = revision.chain.setup.session.project
    project.mix_engineers.add(mix_engineer.person)

    measurement = begun(revision)
    answer = readings(client_of(mix_engineer), measurement, "0", "0", "0")

    assert answer.url == measurement.get_absolute_url()
    assert not Measurement.objects.get(pk=measurement.pk).is_done
