"""What was measured of a chain stands on its sheet, on paper and in the sheet's data."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from sessions.recall.proving.feeding import digest_through
from sessions.recall.sheet.data import recall_data
from sessions.recall.sound.told import CHANGED, NOT_COVERED
from tests.factories import MeasurementFactory, UserFactory
from tests.printed import page_texts, text_of
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.said import pdf_of
from tests.sessions.recall.sound.measurements import AT, TONES, found

pytestmark = pytest.mark.django_db

FIGURES = [
    "+15.8 dB",
    "polarity reversed",
    "2.5:1 above −34.0 dBu in",
    "20 ms, 251 ms",
    "2nd −62.1 dB, 3rd −94.0 dB",
    "A-weighted −68.9 dBu",
    "64.0 samples at 48 kHz",
]


@pytest.fixture
def take():
    return patched_vocal()


@pytest.fixture
def revision(take):
    return take.revisions.get()


def measured(revision, **facts):
    plain = {"revision": revision, "result": found().as_json(), "measured_at": AT}
    return MeasurementFactory(**plain | facts)


def by_tones(revision, **facts):
    return measured(revision, of_tones=True, tones=TONES, result=None, **facts)


def block_of(take) -> dict | None:
    [chain] = recall_data(sheet_of(take), studio="", address="")["chains"]
    return chain.get("measurements")


def test_page_and_paper_tell_the_same_six_figures_and_what_is_not_covered(
    client_of, engineer, take, revision
):
    measured(revision, measured_by=UserFactory(first_name="Ulric", last_name="Yarrell"))
    by_tones(revision, note="Through the spare cord.")
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[take.song_id])).content.decode()
    paper = text_of(pdf_of(client, take.song).getvalue())

    for told in (page, paper):
        assert [figure for figure in FIGURES if figure not in told] == []
        assert "+34.8 dB" in told
        assert told.count(NOT_COVERED) == 2
        assert "by Ulric Yarrell, Mon 1 Jun 2026, 10:30" in told
        assert "Hum stands out of the noise." in told
        assert "Through the spare cord." in told
    assert "<title>Measured response of Alto voice →\xa0Ld Vox against 1 kHz: +1.3 dB" in page


def test_chain_that_was_not_measured_has_no_block(client_of, engineer, take):
    page = client_of(engineer).get(reverse("recall:song", args=[take.song_id])).content.decode()

    assert "Sound as measured" not in page
    assert block_of(take) is None


def test_newest_that_stands_is_told_and_none_that_was_undone_or_failed(take, revision):
    measured(revision, result=found(gain_db=1.0).as_json())
    measured(revision, result=found(gain_db=2.0).as_json(), measured_at=AT + timedelta(minutes=5))
    late = AT + timedelta(hours=1)
    undone = {"undone_by": UserFactory(), "undone_at": late, "measured_at": late}
    measured(revision, result=found(gain_db=3.0).as_json(), **undone)
    measured(revision, result=None, state="failed", refusal="Silent.", measured_at=None)
    measured(revision, result=None, state="begun", measured_by=None, measured_at=None)

    [full] = block_of(take)["full"]

    assert full["result"]["gain_db"] == 2.0


def test_figures_are_written_to_a_ten_thousandth(take, revision):
    result = found(gain_db=1.23456789, curve=((-50.00001, -48.123456),))
    measured(revision, result=result.as_json())

    [full] = block_of(take)["full"]

    assert full["result"]["gain_db"] == 1.2346
    assert full["result"]["curve"] == [{"in_dbfs": -50.0, "out_dbfs": -48.1235}]


def test_what_was_measured_up_to_a_unit_is_in_the_data_and_not_on_paper(take, revision):
    measured(revision)
    measured(revision, up_to=2, result=found(gain_db=11.0).as_json())

    assert [each["through_stage"] for each in block_of(take)["full"]] == [None, 2]
    [chain] = sheet_of(take).chains
    assert [sound.measured.through for sound in chain.sounds] == [None]


def test_measurement_older_than_a_change_in_place_says_so(take, revision):
    measured(revision, settings_digest=digest_through(revision))
    by_tones(revision, settings_digest="0" * 64)

    [chain] = sheet_of(take).chains

    assert [CHANGED in sound.notes for sound in chain.sounds] == [False, True]
    assert [block_of(take)[depth][0]["changed_since"] for depth in ("full", "tones")] == [
        False,
        True,
    ]


def test_measurement_of_another_layout_of_the_test_file_is_still_told(take, revision):
    """The program may have learned a newer one since."""
    measured(revision, plan={"version": 99, "rate_hz": 48_000, "ceiling_dbfs": -10.0})

    [chain] = sheet_of(take).chains

    assert chain.sounds[0].figures[0].value == "+15.8 dB"


def test_sheet_stays_as_many_pages_and_keeps_the_block_together(
    client_of, engineer, take, revision
):
    client = client_of(engineer)
    before = page_texts(pdf_of(client, take.song).getvalue())
    measured(revision)

    after = page_texts(pdf_of(client, take.song).getvalue())

    assert len(after) == len(before)
    [page] = [page for page in after if "Sound as measured" in page]
    assert NOT_COVERED in page


def test_sheet_costs_the_same_queries_for_one_measurement_and_three(
    take, revision, django_assert_num_queries
):
    measured(revision)
    with CaptureQueriesContext(connection) as one:
        sheet_of(take)
    for number in (1, 2):
        measured(revision, measured_by=UserFactory(), up_to=number)

    with django_assert_num_queries(len(one)):
        sheet_of(take)
