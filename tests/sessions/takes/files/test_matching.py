"""Which take a file is of, how sure that is and why.

A session in London on 1 June 2026; take 1 rolls from 11:00:00 to 11:04:00 by the studio's clock, each
further take ten minutes later.
"""

from datetime import timedelta

import pytest

from sessions.takes.files.matching import clock_ahead, matches
from sessions.takes.models import Take
from tests.factories import (
    TEN_O_CLOCK,
    ChainFactory,
    PartFactory,
    ProjectFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    TakeFactory,
    TakeFileFactory,
)
from tests.sessions.recall.recorded import record

pytestmark = pytest.mark.django_db
ELEVEN = 11 * 60 * 60
RATE = 48_000


@pytest.fixture
def session():
    project = ProjectFactory(file_naming="WF_{song}_{part}_{take}")
    return RecordingSessionFactory(project=project)


@pytest.fixture
def song(session):
    return SongFactory(project=session.project, title="Slow the Lantern")


@pytest.fixture
def horn(song):
    return PartFactory(song=song, name="Cornet")


def take_of(session, *parts, number, song=None, **facts):
    starts = TEN_O_CLOCK + timedelta(minutes=10 * (number - 1))
    times = {"started_at": starts, "ended_at": starts + timedelta(minutes=4)}
    return TakeFactory(session=session, parts=parts, number=number, **times | facts)


def file_of(session, name, *, after=None, seconds=240, **ixml):
    """A file that begins so many seconds after eleven o'clock; without that it has no time."""
    facts = {"path": name, "frames": seconds * RATE, "ixml": ixml or None}
    if after is None:
        return TakeFileFactory(session=session, time_reference=None, bext=None, **facts)
    seconds_of_day = ELEVEN + after
    clock = f"{seconds_of_day // 3600:02}:{seconds_of_day // 60 % 60:02}:{seconds_of_day % 60:02}"
    samples = seconds_of_day * RATE
    bext = {"origination_date": "2026-06-01", "origination_time": clock, "time_reference": samples}
    return TakeFileFactory(session=session, time_reference=samples, bext=bext, **facts)


def match(session, file, ahead=0):
    takes = list(Take.objects.for_list().filter(session__project=session.project))
    naming, by = session.project.file_naming, timedelta(seconds=ahead)
    [found] = matches([file], takes, naming=naming, ahead=by)
    return found


def test_file_that_begins_and_ends_with_a_take_is_chosen_beforehand(session, horn):
    for number in (1, 2, 3):
        take_of(session, horn, number=number)

    found = match(session, file_of(session, "audio.wav", after=603))

    assert (found.best.take.number, found.best.part, found.best.word) == (2, horn, "strong")
    assert found.best.reason == "it begins 3 s after the take and ends 3 s after it"


def test_name_by_the_projects_naming_is_enough_without_a_time(session, horn):
    for number in (1, 2):
        take_of(session, horn, number=number)

    found = match(session, file_of(session, "WF_SlowTheLantern_Cornet_2.wav"))

    assert (found.best.take.number, found.best.part) == (2, horn)
    assert found.best.reason == (
        "by the naming WF_{song}_{part}_{take} it is take 2, by the naming WF_{song}_{part}_{take} it is "
        "Slow the Lantern, it names Cornet"
    )


def test_time_and_number_that_disagree_choose_nothing_and_say_so(session, horn):
    for number in (1, 2):
        take_of(session, horn, number=number)

    found = match(session, file_of(session, "audio.wav", after=600, take="1"))

    assert found.best is None
    assert found.remark == "Not sure enough to be chosen beforehand."
    assert found.suggestions[0].take.number == 2
    assert found.suggestions[0].reason.endswith("; but its iXML says take 1")


@pytest.mark.parametrize("said", ["2", "002", "T2", "2A"])
def test_take_number_of_ixml_however_it_is_written(session, horn, said):
    take_of(session, horn, number=2)

    [found] = match(session, file_of(session, "audio.wav", take=said)).suggestions

    assert (found.take.number, found.reason) == (2, "its iXML says take 2")


def test_song_whose_title_has_no_words_is_not_that_of_every_file(session):
    song = SongFactory(project=session.project, title="…")
    take_of(session, PartFactory(song=song), number=1)

    assert match(session, file_of(session, "audio.wav")).suggestions == []


def test_number_alone_is_not_enough(session, horn):
    take_of(session, horn, number=7)

    found = match(session, file_of(session, "audio_T07.wav"))

    assert found.best is None
    assert (found.suggestions[0].take.number, found.suggestions[0].word) == (7, "fair")


def test_take_of_the_same_number_of_another_song_is_told_apart(session, horn):
    other = SongFactory(project=session.project, title="Neap and Spring")
    take_of(session, horn, number=7)
    take_of(session, PartFactory(song=other, name="Cornet"), number=7)

    found = match(session, file_of(session, "NeapAndSpring Cornet T7.wav"))

    assert found.suggestions[0].take.song == other
    assert found.suggestions[0].reason == (
        "its name says take 7, it names Neap and Spring, it names Cornet"
    )


def test_two_that_fit_alike_choose_nothing(session, horn):
    """A recorder that ran through both takes."""
    for number in (1, 2):
        take_of(session, horn, number=number)

    found = match(session, file_of(session, "audio.wav", after=-60, seconds=1200))

    assert found.best is None
    assert [each.take.number for each in found.suggestions] == [1, 2]
    assert found.suggestions[0].reason == "it runs through 100% of the take"


def test_nothing_that_fits_is_said(session, horn):
    take_of(session, horn, number=1)

    found = match(session, file_of(session, "talkback.wav", after=3 * 60 * 60))

    assert (found.suggestions, found.best) == ([], None)
    assert found.remark == "Nothing in its header or name fits a take."


def test_take_that_was_logged_when_it_was_over_ends_with_its_file(session, horn):
    facts = {"started_at": None, "logged_at": TEN_O_CLOCK + timedelta(minutes=5)}
    take_of(session, horn, number=1, **facts)

    found = match(session, file_of(session, "Cornet_T1.wav", after=30))

    assert found.best.take.number == 1
    assert "it ends 30 s before the take was logged" in found.best.reason


def test_part_is_that_of_the_track_that_a_chain_records_to(session, song, horn):
    voice = PartFactory(song=song, name="Lead vocal")
    chain = ChainFactory(setup=SetupFactory(session=session), part=voice, track="Ld Vox")
    record(take_of(session, horn, voice, number=1), RevisionFactory(chain=chain))

    by_name = match(session, file_of(session, "LdVox.wav", after=0))
    by_ixml = match(
        session, file_of(session, "poly.wav", after=0, track_names=["Ld Vox", "Cornet"])
    )
    unnamed = match(session, file_of(session, "poly.wav", after=0))

    assert by_name.best.part == voice
    assert by_ixml.best.part is None
    assert by_ixml.best.reason.endswith("it names Cornet and Ld Vox")
    assert unnamed.best.part is None


def test_part_of_another_take_speaks_against(session, song, horn):
    take_of(session, horn, number=1)
    take_of(session, PartFactory(song=song, name="Lead vocal"), number=2)

    found = match(session, file_of(session, "Lead vocal.wav", after=0))

    assert found.best is None
    assert found.suggestions[0].reason.endswith("but it names Lead vocal, which this take has not")


def test_clock_that_was_an_hour_ahead_is_found_and_allowed_for(session, horn):
    minutes = [0, 7, 16, 30]
    for number, minute in enumerate(minutes, 1):
        starts = TEN_O_CLOCK + timedelta(minutes=minute)
        ends = starts + timedelta(minutes=4)
        take_of(session, horn, number=number, started_at=starts, ended_at=ends)
    apart = [0, 425, 961, 1500]  # the last is no take's
    files = [file_of(session, f"{each}.wav", after=3606 + each) for each in apart]

    ahead = clock_ahead(files, Take.objects.all())

    assert str(ahead) == "1 h ahead"
    assert (ahead.takes, ahead.without) == (3, 0)
    found = match(session, files[1], ahead=ahead.by.total_seconds())
    assert found.best.take.number == 2


@pytest.mark.parametrize(
    ("count", "wrong"), [(2, 3600), (4, 3), (3, 1200)], ids=["too few", "they agree", "fits twice"]
)
def test_clock_is_left_alone(session, horn, count, wrong):
    """Four takes ten minutes apart; three recordings fit them at two differences."""
    for number in (1, 2, 3, 4):
        take_of(session, horn, number=number)
    files = [file_of(session, f"{n}.wav", after=600 * n + wrong) for n in range(count)]

    assert clock_ahead(files, Take.objects.all()) is None


def test_tracks_of_one_take_do_not_vote_for_a_clock(session, horn):
    """Eight files that begin together are one recording."""
    for number in (1, 2, 3):
        take_of(session, horn, number=number)
    files = [file_of(session, f"{track}.wav", after=3600) for track in range(8)]

    assert clock_ahead(files, Take.objects.all()) is None
