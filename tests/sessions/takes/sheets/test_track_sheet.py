import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.setups.chains.actions import open_revision
from sessions.setups.models import Path
from sessions.takes.models import Take
from sessions.takes.sheets.track_sheet import tracks_of_session, tracks_of_song
from tests.factories import PartFactory, PersonFactory, RecordingSessionFactory, TakeFactory
from tests.printed import accessibility_errors, collisions, text_of, words_of
from tests.sessions.bookings.test_session_csv import rows_of
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.setups.building import compressor, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Cornet", performer=PersonFactory(name="Ludo Tranter"))


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


@pytest.fixture
def chain(part, session):
    """[mic] -- [pre] -- [comp, monitor only] -> its track."""
    revision = chain_of(part, session=session, track="Cnt", destination_input="Input 9")
    revision.chain.source.name = "Horn"
    revision.chain.source.save()
    stage(revision, microphone())
    stage(revision, preamplifier())
    stage(revision, compressor(), path=Path.MONITOR_ONLY)
    return revision


def tracks(groups) -> list[tuple[str, int]]:
    return [(track.name, track.revision.number) for group in groups for track in group.tracks]


def test_song_has_the_tracks_that_it_was_recorded_to_and_those_that_wait(
    part, session, chain, engineer
):
    """The cornet was changed after its last take, a second one waits; a third was struck unused, and a
    fourth recorded a take that was withdrawn."""
    record(TakeFactory(part=part, session=session), chain)
    open_revision(chain.chain, by=engineer)
    chain_of(part, session=session, track="Cnt 2")
    struck = chain_of(part, session=session, track="Cnt 3").chain.setup
    struck.struck_at = timezone.now()
    struck.save()
    slip = chain_of(PartFactory(song__project=session.project), session=session, track="Cnt 4")
    record(TakeFactory(part=part, session=session, withdrawn=True), slip)

    assert tracks(tracks_of_song(part.song)) == [("Cnt", 1), ("Cnt 2", 1)]
    assert tracks(tracks_of_session(session)) == [
        *(("Cnt", 2), ("Cnt 2", 1), ("Cnt 3", 1), ("Cnt 4", 1))
    ]


def test_track_says_how_it_came_there_on_paper_and_as_csv(
    client_of, engineer, part, session, chain
):
    again = PartFactory(song__project=session.project, name="Cornet", performer=part.performer)
    chain.chain.parts.add(again)
    web = client_of(engineer)
    mic, pre, _ = chain.stages.all()

    pdf = web.get(reverse("sheets:session_tracks", args=[session.pk])).getvalue()
    [row] = rows_of(web.get(reverse("sheets:session_tracks_csv", args=[session.pk])))

    assert row == {
        "session": session.title,
        "setup": chain.chain.setup.name,
        "track": "Cnt",
        "parts": "Cornet",
        "performer": "Ludo Tranter",
        "source": "Horn",
        "microphone or DI box": f"{mic.facts.unit}",
        "then through": f"{pre.facts.unit}",
        "converter input": "Input 9",
        "format": f"{session.project.get_sample_rate_display()}, {session.project.get_bit_depth_display()}",
    }
    assert accessibility_errors(pdf) == []
    assert collisions(words_of(pdf)) == []
    assert "1 Cnt Cornet Ludo Tranter Horn" in text_of(pdf)


@pytest.mark.parametrize("count", [1, 3])
def test_sheet_costs_the_same_queries_for_any_number_of_chains(
    count, part, session, django_assert_num_queries
):
    for _ in range(count):
        revision = chain_of(part, session=session)
        stage(revision, microphone())
        record(TakeFactory(part=part, session=session), revision)

    with django_assert_num_queries(7):
        tracks_of_song(part.song)
    assert Take.objects.count() == count
