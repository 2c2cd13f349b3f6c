"""Listening on a deliverable's page: the player, versions, notes and verdicts."""

import pytest
from django.db import IntegrityError, transaction
from django.template.loader import render_to_string
from django.urls import reverse
from pytest_django.asserts import assertRedirects

from sessions.deliverables.listening.actions import add_note, give_verdict
from sessions.deliverables.listening.models import Choice, MixNote, Verdict
from sessions.deliverables.listening.on_page import listening_of
from sessions.deliverables.models import Deliverable
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    LightCopyFactory,
    LyricLineFactory,
    SectionFactory,
    SongFactory,
)

pytestmark = pytest.mark.django_db
LISTEN = "sessions/deliverables/listening/_listen.html"


@pytest.fixture
def song():
    song = SongFactory(meter="4/4", tempo_map=[{"bar": 1, "bpm": 60}])
    LyricLineFactory(section=SectionFactory(song=song, first_bar=3), text="Hold it low")
    return song


def mix(song, version, *, lufs=-18.0, dbtp=-4.0, light=True, **facts):
    deliverable = DeliverableFactory(song=song, version=version)
    file = DeliverableFileFactory(
        deliverable=deliverable, integrated_lufs=lufs, true_peak_dbtp=dbtp, **facts
    )
    if light:
        LightCopyFactory(source=file, integrated_lufs=lufs, true_peak_dbtp=dbtp)
    return deliverable


def url(page, row):
    return reverse(f"listening:{page}", args=[row.pk])


def player_on(web, deliverable):
    return web.get(deliverable.get_absolute_url()).context["listening"]["player"]


def test_versions_stand_newest_first_and_play_at_the_loudness_of_the_quietest(
    client_of, engineer, song
):
    first, second = mix(song, 1), mix(song, 2, lufs=-15.5)
    mix(SongFactory(), 1, lufs=-40)  # another song's

    player = player_on(client_of(engineer), first)

    gains = [
        (each.deliverable, each.light.gain_db, each.original.gain_db) for each in player.entries
    ]
    assert gains == [(second, -2.5, -2.5), (first, 0, 0)]
    assert player.first.deliverable == first
    [matched] = player.matches
    assert (matched.held_by.deliverable, matched.match.at_the_ceiling) == (first, False)


def test_the_ceiling_of_the_project_s_order_holds_all_back(client_of, engineer, song):
    song.project.delivery_rules = {"true_peak_ceiling_dbtp": -1.0}
    song.project.save()
    quiet, hot = mix(song, 1), mix(song, 2, lufs=-17, dbtp=0.5)

    [matched] = player_on(client_of(engineer), quiet).matches

    assert matched.match.at_the_ceiling
    assert matched.held_by.deliverable == hot
    assert matched.match.target_lufs == -18.5


def test_aiff_plays_by_its_light_copy_and_waits_until_there_is_one(client_of, engineer, song):
    web = client_of(engineer)
    with_one = mix(song, 1, container="aiff")
    without = mix(SongFactory(), 1, container="aiff", light=False)

    player = player_on(web, with_one)
    assert (player.first.original, player.first.source) == (None, player.first.light)
    assert player_on(web, without).first is None


def test_a_light_copy_comes_by_stretches_to_whoever_may_hear_it(
    client_of, mix_engineer, mixed_project
):
    theirs = LightCopyFactory(source__deliverable__song__project=mixed_project)
    foreign, wanted = LightCopyFactory(), LightCopyFactory(made_at=None)
    web = client_of(mix_engineer)

    answer = web.get(url("light", theirs.source), headers={"range": "bytes=2-5"})

    assert (answer.status_code, b"".join(answer.streaming_content)) == (206, b"ypM4")
    assert answer["Content-Type"] == "audio/mp4"
    for copy in (foreign, wanted):
        assert web.get(url("light", copy.source)).status_code == 404


def test_a_note_hangs_on_the_line_that_is_on_at_its_time(client_of, engineer, song):
    rough, web = mix(song, 1), client_of(engineer)

    answer = web.post(url("note", rough), {"text": "Cornet too loud", "time": "bar 4, beat 3"})

    assertRedirects(answer, f"{rough.get_absolute_url()}#notes", fetch_redirect_response=False)
    note = MixNote.objects.get()
    assert (note.seconds, str(note.line), note.said_by) == (14, "Hold it low", str(engineer))
    web.post(url("note", rough), {"text": "Warmer", "said_by": "Odile"})
    shown = web.get(rough.get_absolute_url()).context["listening"]["notes"]
    assert [(each.text, each.time, each.written_down_by) for each in shown] == [
        ("Warmer", "", engineer),
        ("Cornet too loud", "0:14", None),
    ]


def test_places_follow_where_bar_1_begins_in_the_file(client_of, engineer, song):
    rough, web = mix(song, 1), client_of(engineer)

    web.post(url("bar_one", rough), {"time": "0:02.5"})
    web.post(url("note", rough), {"text": "Early", "time": "0:10"})  # the line is on from 0:10.5
    web.post(url("note", rough), {"text": "Late", "time": "bar 3"})

    assert [
        (note.seconds, note.about and str(note.about)) for note in MixNote.objects.in_order()
    ] == [
        (10, None),
        (10.5, "Hold it low"),
    ]
    assert player_on(web, rough).first.bar_one_seconds == 2.5
    assert web.post(url("bar_one", rough), {"time": "bar 1"}).context["form"].errors["time"]


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [({"time": "late"}, "time"), ({"time": "bar 4, beat 9"}, "time"), ({"text": ""}, "text")],
)
def test_a_note_that_says_nothing_or_nowhere_comes_back_as_it_was_typed(
    client_of, engineer, song, typed, wrong
):
    sent = {"text": "Cornet too loud", "said_by": "Odile"} | typed

    form = client_of(engineer).post(url("note", mix(song, 1)), sent).context["form"]

    assert list(form.errors) == [wrong]
    assert form["said_by"].value() == "Odile"
    assert not MixNote.objects.exists()


def test_a_note_is_answered_and_done(client_of, engineer, song):
    note = add_note(mix(song, 1), text="Cornet too loud", seconds=9, by=engineer)
    web = client_of(engineer)

    sent = {"state": "done", "answer": "2 dB down", "seen": 1}
    answers = [web.post(url("answer", note), sent), web.post(url("answer", note), sent)]

    assert [answer.status_code for answer in answers] == [302, 409]  # the second saw the first
    note.refresh_from_db()
    assert (note.state, note.answer) == ("done", "2 dB down")
    assert [entry.state for entry in note.history.all()] == ["done", "open"]


def test_the_latest_verdict_counts_and_all_are_kept(client_of, engineer, song):
    rough, web = mix(song, 1), client_of(engineer)
    give_verdict(rough, choice=Choice.CHANGES_WANTED, said_by="Sabina", by=None)

    web.post(
        url("verdict", rough), {"choice": "approved", "text": "By telephone", "said_by": "Sabina"}
    )

    kept = [(each.choice, each.said_by, each.by) for each in rough.verdicts.all()]
    assert kept == [("approved", "Sabina", engineer), ("changes_wanted", "Sabina", None)]
    listed = web.get(reverse("deliverables:list", args=[song.pk])).context["deliverables"]
    assert [each.verdict.choice for each, _ in listed] == ["approved"]
    assert web.get(reverse("home")).context["verdicts"][0] == rough.verdict
    assert web.post(url("verdict", rough), {"choice": "perhaps"}).context["form"].errors["choice"]


def test_nothing_is_said_by_nobody(song, engineer):
    rough = mix(song, 1)
    for say in (
        lambda: Verdict.objects.create(deliverable=rough, choice=Choice.APPROVED, said_by=""),
        lambda: MixNote.objects.create(deliverable=rough, text="Warmer", said_by=""),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            say()


def test_a_mix_engineer_speaks_of_their_projects_mixes_only(client_of, mix_engineer, mixed_project):
    web = client_of(mix_engineer)
    theirs, foreign = mix(SongFactory(project=mixed_project), 1), mix(SongFactory(), 1)
    note = add_note(foreign, text="Warmer", seconds=None, said_by="Sabina", by=None)

    assert web.post(url("note", theirs), {"text": "Warmer"}).status_code == 302
    assert web.post(url("verdict", theirs), {"choice": "approved"}).status_code == 302
    assert web.post(url("note", foreign), {"text": "Warmer"}).status_code == 404
    assert web.post(url("verdict", foreign), {"choice": "approved"}).status_code == 404
    assert web.get(url("answer", note)).status_code == 404


@pytest.mark.parametrize("rows", [1, 3])
def test_it_costs_the_same_for_many(engineer, song, rows, django_assert_num_queries):
    rough = mix(song, 1)
    for number in range(rows):
        mix(song, number + 2)
        add_note(rough, text="Warmer", seconds=number, by=engineer)
        give_verdict(rough, choice=Choice.APPROVED, by=engineer)
    rough = Deliverable.objects.for_list().get(pk=rough.pk)

    with django_assert_num_queries(6):
        page = render_to_string(LISTEN, {"listening": listening_of(rough), "deliverable": rough})

    assert page.count("data-play=") == rows + 1
