from datetime import time

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from gear.acting import action
from sessions.bookings.models import Reservation, Series
from sessions.clients.models import Person
from sessions.deliverables.listening.models import MixNote
from sessions.deliverables.models import DeliverableFile
from sessions.recall.models import RebuildStep, Tick
from sessions.rooms.models import WeeklyHours
from sessions.setups.chains.actions import Seen, change_stage
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from studio.access import may_open
from studio.changes.entries import Place, noted_in, noted_of
from studio.changes.kinds import KINDS
from studio.changes.reading import changes
from studio.changes.words import label_of
from tests.factories import (
    BlockFactory,
    ClientFactory,
    ControlFactory,
    LyricLineFactory,
    PersonFactory,
    ProjectFactory,
    RebuildStepFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    SongFactory,
    StageFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def changed(thing, **facts):
    for name, value in facts.items():
        setattr(thing, name, value)
    thing.save()


def told(kind, thing, user, **more):
    noted = [*noted_in(KINDS[kind], thing, user, may_open)]
    return changes(noted, user, **{"limit": 20, "about": thing} | more)[0]


def facts(kind, thing, user):
    return [change.facts for change in told(kind, thing, user)]


def test_change_names_the_person_and_the_fields_with_old_and_new(client_of, engineer):
    song = SongFactory(title="Salt on the Sill", key="D minor")
    client_of(engineer).post(
        reverse("songs:edit", args=[song.pk]),
        {"title": "Salt on the Sill", "key": "E minor", "meter": "6/8", "seen": song.version},
    )

    latest, first = told("song", song, engineer)

    assert (latest.who, latest.what, latest.thing) == ("Ulric Yarrell", "", "")
    assert latest.facts == ["Key: D minor → E minor", "Time signature: empty → 6/8"]
    assert latest.when > first.when
    assert (first.who, first.what) == ("The studio", "created")
    assert first.facts[-2:] == ["Title: Salt on the Sill", "Key: D minor"]


def test_changes_are_in_the_words_of_the_page(manager):
    project = ProjectFactory(full_scale_dbu=18)
    changed(project, sample_rate=96_000, retired=True, full_scale_dbu=24)
    changed(project, delivery_rules={"for_each_song": ["stems"], "true_peak_ceiling_dbtp": -1.0})
    song = SongFactory()
    changed(song, tempo_map=[{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 104}])

    rules, formats, _ = facts("project", project, manager)

    assert rules == ["Delivery rules: Rough mix → Stems; true peak up to −1.0 dBTP"]
    assert formats == [
        "Sample rate: 48 kHz → 96 kHz",
        "Analogue level of full scale: +18.0 dBu → +24.0 dBu",
        "Retired: no → yes",
    ]
    assert facts("song", song, manager)[0] == ["Tempo map: empty → 1: 96, 33: 104"]


def test_times_are_told_by_the_studio_s_clock_also_where_it_comes_twice(manager, settings):
    settings.TIME_ZONE = "Europe/London"
    with timezone.override("Europe/London"):
        session = RecordingSessionFactory(
            starts_at=timezone.datetime.fromisoformat("2026-07-01T09:00Z"),
            ends_at=timezone.datetime.fromisoformat("2026-07-01T10:00Z"),
        )
        changed(session, ends_at=timezone.datetime.fromisoformat("2026-10-25T01:30Z"))

        [moved, _] = facts("session", session, manager)

    assert moved == ["Ends: Wed 1 Jul 2026, 11:00 → Sun 25 Oct 2026, 01:30 GMT"]


def test_long_text_is_told_by_the_words_that_differ(manager):
    before = "Sung low " * 20
    song = SongFactory(note=f"{before}by the ribbon microphone {before}")
    changed(song, note=f"{before}by two condensers {before}")

    [[said], _] = facts("song", song, manager)

    assert said == (
        "Note: … Sung low by the ribbon microphone Sung low Sung … → "
        "… Sung low by two condensers Sung low Sung …"
    )


def test_relation_is_told_by_name_also_of_what_is_no_more(manager):
    person, first = PersonFactory(), ClientFactory(name="Oakum Hall")
    changed(person, client=first)
    changed(person, client=ClientFactory(name="Bollard Arts"))
    first.delete()

    assert facts("person", person, manager)[:2] == [
        ["Client: Oakum Hall → Bollard Arts"],
        ["Client: empty → Oakum Hall"],
    ]


def test_many_to_many_is_told_in_names(manager):
    project, kerensa = ProjectFactory(), PersonFactory(name="Kerensa Graith")
    project.mix_engineers.add(kerensa)
    project.mix_engineers.set([PersonFactory(name="Piran Tolle"), kerensa])

    assert facts("project", project, manager)[:2] == [
        ["Mix engineers: Kerensa Graith → Kerensa Graith, Piran Tolle"],
        ["Mix engineers: empty → Kerensa Graith"],
    ]


def test_settings_are_told_control_by_control_as_they_are_engraved(manager, engineer):
    stage = StageFactory(settings={"gain": 30.0})
    ControlFactory(panel=stage.panel, key="gain", label="Input gain", unit="dB")
    chain = stage.revision.chain
    change_stage(
        stage,
        seen=Seen.of(stage.revision),
        by=engineer,
        settings={"gain": 36.0},
        note="For the loud verse",
    )

    change = told("chain", chain, manager)[0]

    assert change.facts == ["Input gain: 30 dB → 36 dB", "Note: empty → For the loud verse"]
    assert (change.who, change.thing) == ("Ulric Yarrell", f"Unit {stage.position}. {stage.unit}")


def test_ticks_of_a_rebuild_are_told_as_the_control_is_engraved(manager):
    control = ControlFactory(key="input-gain", label="Input gain", unit="dB")
    step = RebuildStepFactory(panel=control.panel, tone_reading_dbu="-13.8")
    Tick.objects.create(step=step, key="input-gain", value=30, ticked_by=manager)

    change = next(each for each in told("rebuild", step.rebuild, manager) if "icked" in each.kind)

    assert (change.name, change.facts[0]) == ("Input gain", "Value: 30 dB")


def test_units_of_columns_and_places_are_told_as_units():
    labels = {
        field.name: label_of(field)
        for model in (RebuildStep, DeliverableFile, MixNote)
        for field in model._meta.fields
    }

    assert labels["tone_reading_dbu"] == "Tone reading"
    assert labels["true_peak_dbtp"] == "True peak"
    assert labels["seconds"] == "At"


def test_sessions_of_one_name_are_told_apart_by_their_day(manager):
    series = Series.objects.create(rule="FREQ=WEEKLY;COUNT=2", made_by=manager)
    session = RecordingSessionFactory(series=series, title="Strings")

    [change] = told("series", series, manager)[:1]

    assert change.name == f"Strings, {date_format(timezone.localdate(session.starts_at))}"


def test_parts_of_a_thing_are_told_on_its_page(manager):
    line = LyricLineFactory(
        text="The carts are on the hill", position=1, section__name="Verse 1", section__position=1
    )
    song = line.section.song
    written = read_lyrics("[Verse 1]\nThe carts are on the mill\nUp the lane")
    action(lambda by: write_lyrics(song, version=song.version, written=written))(by=manager)

    said = [(each.thing, each.what, each.facts) for each in told("song", song, manager)]

    assert ("", "Lyrics written", []) in said
    assert (
        "Lyric line “The carts are on the mill”",
        "",
        ["Text: The carts are on the hill → The carts are on the mill"],
    ) in said
    assert ("Lyric line “Up the lane”", "created", ["Text: Up the lane"]) in said


def test_part_that_was_removed_is_still_told(manager):
    reservation = ReservationFactory(room__name="Sail Loft")
    session = reservation.session
    reservation.delete()

    removed, made = told("session", session, manager)[:2]

    assert (removed.thing, removed.what) == ("Reservation Sail Loft", "removed")
    assert made.what == "created"
    assert "Rank: has the time" in made.facts


def test_row_says_which_of_two_things_it_is_a_part_of(manager):
    """Hours of a room or of a person, and what a session or a block takes."""
    loft, block = RoomFactory(name="Sail Loft"), BlockFactory(title="Piano tuned")
    WeeklyHours.objects.create(room=loft, weekday=0, opens=time(9), closes=time(12))
    WeeklyHours.objects.create(
        person=PersonFactory(name="Piran Tolle"), weekday=0, opens=time(9), closes=time(12)
    )
    times = {"starts_at": block.starts_at, "ends_at": block.ends_at}
    ReservationFactory(session=None, block=block, room=loft, **times)
    noted = [noted_of(WeeklyHours), noted_of(Reservation)]

    told, _ = changes(noted, manager, limit=3)

    assert {(each.of, each.address) for each in told} == {
        ("Sail Loft", reverse("rooms:edit", args=[loft.pk])),
        ("Piran Tolle", reverse("clients:person_detail", args=[Person.objects.get().pk])),
        ("Piano tuned", reverse("blocks:edit", args=[block.pk])),
    }


def test_save_that_changed_nothing_is_left_out_and_a_reason_is_told(manager):
    song = SongFactory()
    song.save()
    assert [change.what for change in told("song", song, manager)] == ["created"]

    song._change_reason = "Lyrics written"
    song.save()
    assert told("song", song, manager)[0].what == "Lyrics written"


@pytest.mark.parametrize(("role", "sees"), [("manager", True), ("engineer", False)])
def test_discount_of_a_session_is_a_manager_s_to_read(client_of, request, role, sees):
    session = RecordingSessionFactory()
    changed(session, discount_percent=15)
    changed(session, title="Brass")

    page = client_of(request.getfixturevalue(role)).get(
        reverse("changes:of", args=["session", session.pk])
    )

    assert "→ Brass" in page.text
    assert ("Discount: 0 % → 15 %" in page.text) == sees


@pytest.mark.parametrize("rows", [1, 3])
def test_changes_cost_the_same_at_any_length(rows, manager, django_assert_num_queries):
    project = ProjectFactory()
    for number in range(rows):
        changed(project, artist=f"The Windlass {number}", client=ClientFactory())
        project.mix_engineers.add(PersonFactory())
    manager.has_perm("studio_sessions.see_money")

    # The newest, entries, those before them, links, and the clients, people and project they name.
    with django_assert_num_queries(7):
        found = told("project", project, manager, limit=2 * rows)

    assert len(found) == 2 * rows


def test_older_changes_follow_without_a_gap_or_a_double():
    song, user = SongFactory(key="0"), UserFactory(role="manager")
    for number in range(1, 6):
        changed(song, key=str(number))
        LyricLineFactory(section__song=song)
    noted = [*noted_in(KINDS["song"], song, user, may_open)]
    whole, _ = changes(noted, user, limit=100)

    seen, behind = [], None
    while True:
        told_now, behind = changes(noted, user, limit=3, behind=behind)
        seen += told_now
        if behind is None:
            break
        behind = Place.read(str(behind))  # as an address has it

    assert len(whole) == 16  # the song and five keys, five sections, five lines
    assert [each.place for each in seen] == [each.place for each in whole]


@pytest.mark.parametrize(
    "text", ["", "x", "2026-01-01", "2026-01-01T10:00,1,2", "2026-01-01T10:00+00:00,1,9" + "9" * 20]
)
def test_place_that_is_none_is_the_beginning(text):
    assert Place.read(text) is None
