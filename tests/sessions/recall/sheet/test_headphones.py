"""What was heard stands on the recall sheet as it was at the take."""

import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from sessions.recall.sheet.contents import recall_sheet
from sessions.songs.models import Song
from sessions.takes.actions import circle_parts, log_take
from tests.factories import (
    ChainFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
)
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal")


@pytest.fixture
def line(part):
    """The click in the singer's headphones, in a setup with two chains of the part."""
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)
    setup = SetupFactory(session=session)
    for _ in range(2):
        RevisionFactory(chain=ChainFactory(setup=setup, part=part))
    return HeadphoneLineFactory(mix=HeadphoneMixFactory(setup=setup, name="Singer"), level="low")


def take_through(line, part):
    setup = line.mix.setup
    take = log_take(part, session=setup.session, setup=setup)
    circle_parts(take, seen=seen(take), circled=True)
    return take


def heard_on_sheet(song):
    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    return [
        ([each.take.number for each in sheet.takes], str(sheet.mixes[0].lines[0].level))
        for sheet in recall_sheet(loaded).headphones
    ]


def test_each_take_goes_with_what_was_heard_at_it(part, line):
    take_through(line, part)
    take_through(line, part)
    line.level = "loud"
    line.save()
    take_through(line, part)
    line.level = "off"
    line.save()

    assert heard_on_sheet(part.song) == [([1, 2], "low"), ([3], "loud")]


def test_mix_that_was_made_after_the_take_was_not_heard(part, line):
    other = SetupFactory(session=line.mix.setup.session)
    RevisionFactory(chain=ChainFactory(setup=other, part=part))
    take = log_take(part, session=other.session, setup=other)
    circle_parts(take, seen=seen(take), circled=True)
    HeadphoneLineFactory(mix__setup=other)

    assert heard_on_sheet(part.song) == []


def test_page_says_what_changed_since(part, line, client_of, engineer):
    take_through(line, part)
    project = part.song.project
    project.full_scale_dbu = 24
    project.save()

    page = client_of(engineer).get(reverse("recall:song", args=[part.song_id]))

    words = " ".join(page.content.decode().split())
    assert "The project stands at 48 kHz, 24 bit, 0 dBFS at +24.0 dBu today." in words
    assert "chains 1, 2: see the levels there" in words
    assert "0 dBFS at +18.0 dBu" in words


@pytest.mark.parametrize("takes", [1, 3])
def test_mixes_of_any_number_of_takes_cost_the_same_queries(
    part, line, takes, django_assert_num_queries
):
    for number in range(takes):
        line.level = f"{number} dB"
        line.save()
        take_through(line, part)
    song = Song.objects.select_related("project__client").get(pk=part.song_id)

    with django_assert_num_queries(16):
        sheet = recall_sheet(song)

    assert len(sheet.headphones) == takes
