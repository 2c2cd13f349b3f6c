import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from sessions.songs.models import Section
from sessions.takes.models import Take, TakeKind
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(
        song__meter="1: 4/4, 21: 3/4", song__tempo_map=[{"bar": 1, "bpm": 120}], song__last_bar=40
    )


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)


@pytest.fixture
def whole(part, session):
    return TakeFactory(part=part, session=session, number=1)


@pytest.fixture
def log(client_of, engineer, part, session, whole):
    """Logs a punch-in as typed; returns the answer."""

    def log(**typed):
        now = {
            "song": part.song_id,
            "part": part.pk,
            "kind": "punch_in",
            "into": whole.pk,
            "what": "over",
        }
        return client_of(engineer).post(reverse("takes:press", args=[session.pk]), now | typed)

    return log


def test_punch_in_says_its_points_in_bars_and_time_and_where_it_rolls_from(log):
    """Twenty bars of 4/4 at 120 are 40 s, a bar of 3/4 is 1.5 s."""
    log(punch_in="21", punch_out="0:46", pre_roll="2")

    take = Take.objects.get(kind=TakeKind.PUNCH_IN)
    assert take.points == "bar 21 (0:40) to 0:46 (bar 25); rolls from bar 19"


def test_pre_roll_in_seconds_goes_back_across_the_change_of_meter(log):
    log(punch_in="bar 22", pre_roll="4.")
    assert not Take.objects.filter(kind=TakeKind.PUNCH_IN).exists()

    log(punch_in="bar 22", pre_roll="4 s")

    take = Take.objects.get(kind=TakeKind.PUNCH_IN)
    assert take.points == "bar 22 (0:41.5) to the end; rolls from bar 19, beat 4"


def test_song_without_a_tempo_says_how_long_before(log, part):
    part.song.tempo_map = []
    part.song.save(update_fields=["tempo_map"])

    log(punch_in="bar 21", pre_roll="1 bar")

    take = Take.objects.get(kind=TakeKind.PUNCH_IN)
    assert take.points == "bar 21 to the end; rolls from 1 bar before"


def test_punch_in_at_a_beat_that_the_song_lost_since_is_still_told(log, part):
    log(punch_in="bar 5, beat 4", pre_roll="3 s")
    part.song.meter = "3/4"
    part.song.save(update_fields=["meter"])

    take = Take.objects.get(kind=TakeKind.PUNCH_IN)
    assert take.points == "bar 5, beat 4 to the end; rolls from 3 s before"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"punch_in": ""}, "punch_in"),
        ({"punch_in": "the bridge"}, "punch_in"),
        ({"punch_in": "bar 41"}, "punch_in"),
        ({"punch_in": "bar 21", "punch_out": "bar 20"}, "punch_out"),
        ({"punch_in": "bar 21", "pre_roll": "a while"}, "pre_roll"),
        ({"punch_in": "bar 21", "into": ""}, "into"),
    ],
)
def test_punch_in_that_cannot_be_is_refused_beside_the_field(log, typed, field):
    answer = log(**typed)

    assert answer.status_code == 422
    assert list(answer.context["log_form"].errors) == [field]
    assert Take.objects.count() == 1


def test_section_that_is_tapped_gives_the_points_and_the_last_pre_roll_is_kept(
    client_of, engineer, log, part, session, whole
):
    song = part.song
    verse, chorus = (
        Section.objects.create(song=song, position=n, name=name, first_bar=bar)
        for n, name, bar in [(1, "Verse", 5), (2, "Chorus", 13)]
    )
    log(punch_in="bar 30", pre_roll="3 s")

    page = client_of(engineer).get(
        reverse("takes:session", args=[session.pk]),
        {"song": song.pk, "part": part.pk},
    )
    tapped = next(each for each in page.context["places"] if each.of == verse)
    page = client_of(engineer).get(
        f"{page.request['PATH_INFO']}?song={song.pk}&part={part.pk}&{tapped.query}"
    )

    form = page.context["log_form"]
    shown = {name: form[name].value() for name in ("kind", "into", "punch_in", "punch_out")}
    assert shown == {
        "kind": "punch_in",
        "into": whole.pk,
        "punch_in": "bar 5",
        "punch_out": "bar 13",
    }
    assert form["pre_roll"].value() == "3 s"


def test_whole_take_has_no_pre_roll_though_one_is_kept(log):
    log(kind="whole", into="", pre_roll="3 s")

    assert Take.objects.latest("pk").pre_roll == ""
