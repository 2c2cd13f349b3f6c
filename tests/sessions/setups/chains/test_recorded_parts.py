"""One setup serves the songs of a day: a chain that was recorded gets the parts of the next song, and
what was recorded keeps its own."""

import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from sessions.setups.chains.actions import ChainRecorded, change_parts
from sessions.takes.actions import log_take
from tests.factories import PartFactory, RecordingSessionFactory, RevisionFactory, SongFactory
from tests.sessions.recall.recorded import chain_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def day():
    """Bass and cornet of the first song were recorded at once, the bass through this chain; the
    second song waits."""
    session = RecordingSessionFactory(status=Status.UNDER_WAY)
    first, second = (SongFactory(project=session.project, title=title) for title in ("One", "Two"))
    parts = [
        PartFactory(song=song, name=name)
        for song, name in ((first, "Bass"), (first, "Cornet"), (second, "Bass"), (second, "Voice"))
    ]
    chain = chain_of(parts[0], session=session).chain
    take = log_take(*parts[:2], session=session, setup=chain.setup)
    return chain, take, parts


def through(take):
    return [part.through() for part in take.take_parts.order_by("pk")]


def test_part_of_the_next_song_is_added_and_the_take_keeps_its_own(client_of, engineer, day):
    chain, take, (bass, _, next_bass, voice) = day
    before, web = through(take), client_of(engineer)
    address = reverse("setups:chain_edit", args=[chain.pk])

    offered = web.get(address).context["form"].fields["parts"].queryset
    answer = web.post(address, {"parts": [next_bass.pk]})
    web.post(address, {"parts": [voice.pk]})  # by somebody whose page did not show the first yet

    assert list(offered) == [next_bass, voice]
    assert answer.url == chain.get_absolute_url()
    assert set(chain.parts.all()) == {bass, next_bass, voice}
    assert chain.history.latest().history_user == engineer
    assert through(take) == before
    assert chain.revisions.count() == 1


def test_part_that_no_take_has_is_removed_again(client_of, engineer, day):
    chain, _, (bass, _, next_bass, _) = day
    chain.parts.add(next_bass)

    address = reverse("setups:chain_edit", args=[chain.pk])
    client_of(engineer).post(address, {"was": [next_bass.pk]})

    assert list(chain.parts.all()) == [bass]


def test_recorded_parts_are_neither_added_nor_removed(engineer, day):
    chain, _, (bass, cornet, *_) = day
    for change in ({"add": [], "remove": [bass]}, {"add": [cornet], "remove": []}):
        with pytest.raises(ChainRecorded):
            change_parts(chain, by=engineer, **change)

    assert list(chain.parts.all()) == [bass]


def test_chain_that_carries_whatever_is_recorded_goes_on_doing_so(engineer, day):
    chain, _, (_, _, next_bass, _) = day
    room = RevisionFactory(chain__setup=chain.setup).chain
    room.parts.clear()
    log_take(next_bass, session=chain.setup.session, setup=chain.setup)

    with pytest.raises(ChainRecorded):
        change_parts(room, add=[next_bass], remove=[], by=engineer)
