"""The engineer's side, page by page: nothing is offered before every caution is confirmed."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from sessions.recall.proving.feeding import feed_of
from sessions.recall.proving.models import Measurement, MeasurementState
from sessions.setups.models import Revision
from studio.roles import Role
from tests.factories import (
    MeasurementFactory,
    PatchPointFactory,
    PersonFactory,
    RebuildFactory,
    RevisionFactory,
    UnitFactory,
    UserFactory,
    result_of,
)
from tests.sessions.setups.building import loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db

TICKED = dict.fromkeys(["monitors", "headphones", "phantom", "path", "loop"], "on")


@pytest.fixture
def revision():
    """[condenser] -- [pre +42, 48 V on], 0 dBFS is +18 dBu: -24 dBu there is full scale."""
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, preamplifier(), settings={"gain": 42, "p48": 1})
    return loaded(revision)


@pytest.fixture
def page(revision):
    return reverse("proving:chain", args=[revision.chain_id])


def typed(revision, **facts):
    return {"fed_dbu": "-27", "pad_db": "40", "seen": feed_of(revision).digest} | TICKED | facts


def begun(**facts):
    nothing = {"result": None, "measured_at": None, "measured_by": None}
    return MeasurementFactory(**nothing | {"state": "begun", "cautions_at": timezone.now()} | facts)


def test_plan_says_where_how_loud_and_by_which_pad(client_of, engineer, page):
    shown = client_of(engineer).get(page).text

    assert "fed in here" in shown
    assert "pad, 40 dB" in shown
    assert "−27.0 dBu" in shown
    assert "microphone, placement and room are not covered" in shown
    assert "Logged as on at" in shown


def test_confirmed_plan_makes_a_test_file(client_of, engineer, page, revision):
    """-27 dBu behind 40 dB of pad is +13 dBu at the output, 5 dB below its full scale."""
    answer = client_of(engineer).post(page, typed(revision))

    made = Measurement.objects.get()
    assert answer.url == made.get_absolute_url()
    assert (made.revision, made.state) == (revision, MeasurementState.BEGUN)
    assert (made.pad_db, made.fed_dbu) == (40, Decimal(-27))
    assert (made.file_plan.ceiling_dbfs, made.file_plan.rate_hz) == (-5, 48_000)
    assert made.cautions_by == engineer
    assert made.settings_digest == feed_of(revision).digest


@pytest.mark.parametrize("left", TICKED)
def test_no_file_before_each_caution_is_confirmed(client_of, engineer, page, revision, left):
    sent = typed(revision)
    del sent[left]

    answer = client_of(engineer).post(page, sent)

    assert answer.status_code == 422
    assert "See to this first, then tick it." in answer.text
    assert 'value="-27"' in answer.text
    assert not Measurement.objects.exists()


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"fed_dbu": "-20"}, "the converter clips at −24.0 dBu here: enter less."),
        ({"pad_db": "60"}, "Behind this pad the output gives no more than −42.0 dBu"),
        ({"fed_dbu": "-60", "pad_db": "0"}, "too close to the converter’s noise"),
        ({"fed_dbu": "loud"}, "is not understood here"),
        ({"fed_dbu": ""}, "This field is required."),
        ({"pad_db": "some"}, "Enter a number."),
    ],
)
def test_level_that_cannot_be_is_said_beside_its_field(
    client_of, engineer, page, revision, facts, said
):
    answer = client_of(engineer).post(page, typed(revision, **facts))

    assert answer.status_code == 422
    assert said in answer.text
    assert not Measurement.objects.exists()


def test_settings_that_somebody_changed_meanwhile_are_shown_first(
    client_of, engineer, page, revision
):
    sent = typed(revision)
    pre = revision.stages.get(position=2)
    pre.settings = {"gain": 30, "p48": 1}
    pre.save()

    answer = client_of(engineer).post(page, sent)

    assert answer.status_code == 409
    assert "Its settings were changed meanwhile: look at the plan again." in answer.text
    assert feed_of(loaded(revision)).digest in answer.text
    assert not Measurement.objects.exists()


def test_gain_that_is_not_logged_is_asked_for(client_of, engineer):
    revision = RevisionFactory()
    stage(revision, preamplifier())

    shown = client_of(engineer).get(reverse("proving:chain", args=[revision.chain_id])).text

    assert "Not logged at" in shown
    assert "find the level at which nothing clips yet" in shown


def test_chain_of_a_microphone_alone_has_no_place_to_feed_a_file(client_of, engineer):
    revision = RevisionFactory()
    stage(revision, microphone())

    shown = client_of(engineer).get(reverse("proving:chain", args=[revision.chain_id])).text

    assert "no unit behind its microphone" in shown
    assert "Make the test file" not in shown


def test_chain_is_measured_up_to_a_jack_of_a_bay(client_of, engineer, revision, page):
    stage(revision, preamplifier(), settings={"gain": 0, "p48": 0})
    first = revision.stages.get(position=2)
    first.patch_out = PatchPointFactory()
    first.save()
    feed = feed_of(loaded(revision), up_to=2)

    client_of(engineer).post(f"{page}?up_to=2", typed(revision, seen=feed.digest))

    assert Measurement.objects.get().up_to == 2


def test_test_file_is_offered_for_an_hour(client_of, engineer, revision):
    """A WAV file (RIFF) of one channel, 24 bit, at 48 kHz."""
    web, fresh = client_of(engineer), begun(revision=revision)
    file = b"".join(web.get(reverse("proving:test_file", args=[fresh.pk])).streaming_content)
    old = begun(revision=revision, cautions_at=timezone.now() - timedelta(minutes=61))
    refused = web.get(reverse("proving:test_file", args=[old.pk]))

    assert file[:4] == b"RIFF"
    seconds = (len(file) - 44) / 3 / 48_000
    assert seconds == pytest.approx(fresh.file_plan.length_s, abs=0.001)
    assert 65 < seconds < 70
    assert refused.url == old.get_absolute_url()
    assert "Confirm them for a new test file" in web.get(old.get_absolute_url()).text


def test_nothing_is_offered_once_it_is_measured(client_of, engineer):
    done = MeasurementFactory(cautions_at=timezone.now())

    assert client_of(engineer).get(reverse("proving:test_file", args=[done.pk])).status_code == 302


def upload(web, measurement, content=b"RIFF", **facts):
    file = SimpleUploadedFile("Return, take 2.wav", content)
    return web.post(
        reverse("proving:take_return", args=[measurement.pk]), {"recording": file} | facts
    )


def test_return_waits_for_the_worker(client_of, engineer, revision):
    measurement = begun(revision=revision)

    answer = upload(client_of(engineer), measurement, keep="on")

    measurement.refresh_from_db()
    assert answer.url == measurement.get_absolute_url()
    assert measurement.state == MeasurementState.WAITING
    assert measurement.original_name == "Return, take 2.wav"
    assert measurement.is_recording_kept
    assert measurement.measured_by == engineer
    assert measurement.recording.name.startswith("measurements/")


def test_page_that_looked_again_is_drawn_anew_once_it_is_read(client_of, engineer, revision):
    """Its head says “waiting” until then, and has no button that undoes it."""
    web = client_of(engineer)
    for state, anew in (("running", False), ("done", True)):
        of = MeasurementFactory(revision=revision, state=state)
        answer = web.get(of.get_absolute_url(), headers={"HX-Request": "true"})
        assert ("HX-Refresh" in answer) is anew


def test_return_that_could_not_be_read_takes_another(client_of, engineer, revision):
    failed = begun(revision=revision, state="failed", refusal="It is silent.")
    web = client_of(engineer)

    assert "It is silent." in web.get(failed.get_absolute_url()).text
    upload(web, failed)

    failed.refresh_from_db()
    assert (failed.state, failed.refusal) == (MeasurementState.WAITING, "")


def test_second_of_two_returns_is_told_of_the_first(client_of, engineer, revision):
    measurement = begun(revision=revision)
    web = client_of(engineer)
    upload(web, measurement)

    answer = upload(web, measurement, b"another")

    assert "A return of it was uploaded meanwhile." in web.get(answer.url).text


def test_empty_recording_is_refused_beside_its_field(client_of, engineer, revision):
    answer = upload(client_of(engineer), begun(revision=revision), b"")

    assert answer.status_code == 422
    assert "The recording is empty: export it again." in answer.text


def test_cable_is_measured_by_itself(client_of, engineer):
    sent = {"rate_hz": "96000", "full_scale_dbu": "18"} | TICKED

    client_of(engineer).post(reverse("proving:cables"), sent)

    cable = Measurement.objects.get()
    assert (cable.is_cable, cable.fed_dbu, cable.full_scale_dbu) == (True, 17, 18)
    assert (cable.file_plan.rate_hz, cable.file_plan.ceiling_dbfs) == (96_000, -1)


def test_result_is_shown_in_words_and_struck_out_when_undone(client_of, engineer, revision):
    measurement = MeasurementFactory(revision=revision)
    web = client_of(engineer)
    before = web.get(measurement.get_absolute_url()).text

    undo = reverse("proving:undo", args=[measurement.pk])
    asked = web.get(undo).text
    web.post(undo)

    assert "Undo this measurement?" in asked
    assert "+22.0 dB" in before
    assert "The curve bends by less than 3 dB." in before
    assert "Undone by" in web.get(measurement.get_absolute_url()).text
    assert "<s>" in web.get(revision.chain.get_absolute_url()).text


def test_response_that_depends_on_the_level_says_so(client_of, engineer, revision):
    of = MeasurementFactory(revision=revision, result=result_of(response_level_db=None).as_json())

    shown = client_of(engineer).get(of.get_absolute_url()).text

    assert "The response depends on the level" in shown


def test_chain_page_says_when_settings_were_changed_since(client_of, engineer, revision):
    MeasurementFactory(revision=revision, settings_digest=feed_of(revision).digest)
    web = client_of(engineer)
    page = revision.chain.get_absolute_url()
    before = web.get(page).text
    Revision.objects.get().stages.filter(position=2).update(settings={"gain": 12})

    assert "Settings were changed since." not in before
    assert "Settings were changed since." in web.get(page).text


def test_chain_page_costs_one_query_more_however_often_it_was_measured(
    client_of, engineer, revision, django_assert_num_queries
):
    web, page = client_of(engineer), revision.chain.get_absolute_url()
    MeasurementFactory(revision=revision)
    web.get(page)
    with CaptureQueriesContext(connection) as once:
        web.get(page)
    MeasurementFactory.create_batch(2, revision=revision)
    with django_assert_num_queries(len(once)):
        web.get(page)


@pytest.mark.parametrize("count", [1, 3])
def test_plan_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    revision = RevisionFactory()
    for _ in range(count):
        stage(revision, preamplifier(), settings={"gain": 10, "p48": 0})
        MeasurementFactory(revision=None, is_cable=True)
    web, page = client_of(engineer), reverse("proving:chain", args=[revision.chain_id])
    web.get(page)

    with django_assert_num_queries(11):
        assert web.get(page).status_code == 200


@pytest.fixture
def mix_engineer(revision):
    user = UserFactory(role=Role.MIX_ENGINEER)
    revision.chain.setup.session.project.mix_engineers.add(PersonFactory(user=user))
    return user


def test_mix_engineer_reads_what_the_house_measured(client_of, mix_engineer, revision):
    measurement = MeasurementFactory(revision=revision)
    web = client_of(mix_engineer)

    assert "+22.0 dB" in web.get(measurement.get_absolute_url()).text
    told = web.post(reverse("proving:undo", args=[measurement.pk]), follow=True)
    assert "The studio’s own people do that" in told.text
    assert Measurement.objects.get(pk=measurement.pk).undone_at is None
    assert web.get(reverse("proving:chain", args=[revision.chain_id])).status_code == 403
    upload(web, theirs := begun(revision=revision))
    assert Measurement.objects.get(pk=theirs.pk).state == MeasurementState.BEGUN
    assert web.get(reverse("proving:test_file", args=[theirs.pk])).url == theirs.get_absolute_url()
    other = MeasurementFactory(revision=None, unit=UnitFactory())
    assert web.get(other.get_absolute_url()).status_code == 404


def test_mix_engineer_measures_what_they_rebuild(client_of, mix_engineer, revision):
    rebuild = RebuildFactory(song__project=revision.chain.setup.session.project)
    measurement = begun(revision=None, rebuild=rebuild, chain_number=1)
    web = client_of(mix_engineer)

    assert "Test file" in web.get(measurement.get_absolute_url()).text
    assert upload(web, measurement).status_code == 302
