"""Search texts follow what they are made of."""

from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.recall.finding.models import SearchText, Sought
from sessions.recall.finding.upkeep import FOLLOWED, bring_up_to_date
from sessions.recall.finding.words import fold
from sessions.setups.models import Placement
from tests.factories import (
    CreditFactory,
    DeliverableFactory,
    PartFactory,
    PersonFactory,
    RecordingSessionFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
)
from tests.histories import date_back
from tests.sessions.recall.recorded import chain_of

NEW = "slipway"


@pytest.fixture
def recorded(db):
    """A take, and a chain that carries its part but was recorded through by none yet."""
    take = TakeFactory(part=PartFactory(name="Lead vocal"))
    part = take.parts.get()
    stage = StageFactory(revision=chain_of(part, session=take.session))
    Placement.objects.create(revision=stage.revision, note="At the door")
    CreditFactory(session=take.session, person=PersonFactory())
    DeliverableFactory(song=take.song)
    bring_up_to_date()
    date_back(*(each.model for each in FOLLOWED), to=timezone.now() - timedelta(days=1))
    return take, stage


def change(thing, **facts):
    for name, value in facts.items():
        setattr(thing, name, value)
    thing.save()


CHANGES = {
    "song": lambda take, stage: change(take.song, title=NEW),
    "part": lambda take, stage: change(take.parts.get(), note=NEW),
    "take": lambda take, stage: change(take, note=NEW),
    "outcome": lambda take, stage: change(take.take_parts.get(), note=NEW),
    "deliverable": lambda take, stage: change(take.song.deliverables.get(), note=NEW),
    "chain": lambda take, stage: change(stage.revision.chain, track=NEW),
    "source": lambda take, stage: change(stage.revision.chain.source, instrument=NEW),
    "setup": lambda take, stage: change(stage.revision.chain.setup, note=NEW),
    "revision": lambda take, stage: change(stage.revision, note=NEW),
    "stage": lambda take, stage: change(stage, note=NEW),
    "placement": lambda take, stage: change(stage.revision.placement, note=NEW),
    "session": lambda take, stage: change(take.session, note=NEW),
    "credit": lambda take, stage: change(take.session.credits.get(), instrument=NEW),
}


def text(kind, subject):
    found = SearchText.objects.get(kind=kind, subject=subject.pk)
    return f"{found.own}{found.work}{found.around}"


@pytest.mark.parametrize("changed", CHANGES)
def test_change_stands_in_the_texts_of_its_song_and_session(recorded, changed):
    take, stage = recorded

    CHANGES[changed](take, stage)
    bring_up_to_date()

    assert f" {fold(NEW)} " in text(Sought.SONG, take.song)
    if changed in (
        "chain",
        "source",
        "setup",
        "revision",
        "stage",
        "placement",
        "session",
        "credit",
    ):
        assert f" {fold(NEW)} " in text(Sought.SESSION, take.session)


def test_unit_that_was_removed_from_a_chain_is_found_in_it_no_more(recorded):
    take, stage = recorded
    ref = f" #u{stage.unit_id} "
    assert ref in text(Sought.SONG, take.song)

    stage.delete()
    bring_up_to_date()

    assert ref not in text(Sought.SONG, take.song)


def test_others_are_left_as_they_are(recorded):
    other = SongFactory(title="Neap and Spring")
    bring_up_to_date()
    date_back(type(other), to=timezone.now() - timedelta(days=1))
    before = SearchText.objects.get(kind=Sought.SONG, subject=other.pk).read_at

    change(recorded[0], note=NEW)
    bring_up_to_date()

    assert SearchText.objects.get(kind=Sought.SONG, subject=other.pk).read_at == before


def test_what_no_history_tells_of_is_read_again_in_turn(recorded):
    take, _ = recorded
    type(take).objects.filter(pk=take.pk).update(note=NEW)
    bring_up_to_date()
    assert NEW not in text(Sought.SONG, take.song)

    bring_up_to_date(read_again=10)

    assert NEW in text(Sought.SONG, take.song)


@pytest.mark.parametrize("rows", [1, 3])
def test_texts_cost_the_same_queries_for_any_number(rows, db, django_assert_num_queries):
    for _ in range(rows):
        take = TakeFactory(part=PartFactory(), session=RecordingSessionFactory())
        StageFactory(revision=chain_of(take.parts.get(), session=take.session))

    with django_assert_num_queries(47):
        bring_up_to_date()


def test_session_is_found_by_the_song_of_a_take_that_was_just_logged(recorded):
    take, _ = recorded
    song = SongFactory(title=NEW, project=take.song.project)
    bring_up_to_date()

    later = TakeFactory(part=PartFactory(song=song), session=take.session)
    bring_up_to_date()
    assert f" {fold(NEW)} " in text(Sought.SESSION, take.session)

    later.take_parts.all().delete()
    later.delete()
    bring_up_to_date()
    assert f" {fold(NEW)} " not in text(Sought.SESSION, take.session)
