import csv
import io
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.factories import LyricLineFactory, RoomFactory, SongFactory

pytestmark = pytest.mark.django_db
ADDRESS = "/changes/"


def change(thing, by=None, **facts):
    for name, value in facts.items():
        setattr(thing, name, value)
    thing._history_user = by
    thing.save()


@pytest.fixture
def song(engineer):
    song = SongFactory(title="Neap and Spring", key="D")
    change(song, by=engineer, key="E")
    return song


def test_house_reads_who_changed_what_by_day(client_of, manager, song):
    page = client_of(manager).get(ADDRESS).text

    assert "Key: D → E" in page
    assert f'<a href="{song.get_absolute_url()}">Song Neap and Spring</a>' in page
    assert f'id="day-{timezone.localdate():%Y-%m-%d}"' in page


@pytest.mark.parametrize(
    ("asked", "is_there"),
    [
        ({"by": "{engineer}"}, True),
        ({"by": "{manager}"}, False),
        ({"by": "studio"}, False),
        ({"of": "studio_sessions.song"}, True),
        ({"of": "studio_sessions.room"}, False),
        ({"until": "2026-01-01", "since": "2026-01-01"}, False),
    ],
)
def test_changes_are_found_by_day_person_and_kind(
    client_of, manager, engineer, song, asked, is_there
):
    keys = {"engineer": engineer.pk, "manager": manager.pk}
    asked = {name: value.format(**keys) for name, value in asked.items()}

    assert ("Key: D → E" in client_of(manager).get(ADDRESS, asked).text) == is_there


def test_day_that_is_none_is_said_beside_the_field(client_of, manager, song):
    page = client_of(manager).get(ADDRESS, {"since": "2026-05-02", "until": "2026-05-01"}).text

    assert "This is before the first day." in page
    assert "Key: D → E" not in page


def test_changes_go_out_as_csv_all_of_them(client_of, manager, engineer, song, monkeypatch):
    monkeypatch.setattr("studio.changes.views.AT_ONCE", 2)
    for number in range(5):
        change(song, by=engineer, title=f"=Neap {number}")

    answer = client_of(manager).get(ADDRESS, {"csv": 1, "of": "studio_sessions.song"})
    text = b"".join(answer.streaming_content).decode().removeprefix("\ufeff")
    head, *lines = csv.reader(io.StringIO(text, newline=""))

    assert head == ["When", "Who", "What", "Of", "Change"]
    assert len(lines) == 7
    assert lines[0][1:] == [
        "Ulric Yarrell",
        "Song =Neap 4",
        str(song.project),
        "Title: =Neap 3 → =Neap 4",
    ]


def test_only_a_manager_reads_them(client_of, engineer):
    assert client_of(engineer).get(ADDRESS).status_code == 403


def test_older_ones_are_a_page_further(client_of, manager, monkeypatch):
    monkeypatch.setattr("studio.changes.views.OF_ALL", 3)
    for number in range(5):
        RoomFactory(name=f"Sail Loft {number}")
    client = client_of(manager)
    asked = {"of": "studio_sessions.room"}
    seen = client.get(ADDRESS, asked)

    older = client.get(ADDRESS, asked | {"before": str(seen.context["older"])})

    assert [each.thing for each in seen.context["changes"]] == [
        "Room Sail Loft 4",
        "Room Sail Loft 3",
        "Room Sail Loft 2",
    ]
    assert [each.thing for each in older.context["changes"]] == [
        "Room Sail Loft 1",
        "Room Sail Loft 0",
    ]
    assert older.context["older"] is None


@pytest.mark.parametrize("rows", [1, 3])
def test_page_costs_the_same_at_any_length(
    client_of, manager, engineer, rows, django_assert_num_queries
):
    client = client_of(manager)
    client.get(ADDRESS)
    for _ in range(rows):
        line = LyricLineFactory()
        change(line.section.song, by=engineer, key="E")

    with django_assert_num_queries(20):
        client.get(ADDRESS)


def test_page_unfolds_a_piece_and_is_a_page_without_scripts(client_of, manager, song):
    address, client = reverse("changes:of", args=["song", song.pk]), client_of(manager)

    piece = client.get(address, headers={"HX-Request": "true"}).text
    page = client.get(address).text

    assert piece.startswith("<ul")
    assert "Key: D → E" in piece
    assert "<h1>Changes</h1>" in page
    assert "Key: D → E" in page


def test_yesterday_is_asked_by_the_studio_s_day(client_of, manager, song):
    yesterday = timezone.localdate() - timedelta(days=1)
    asked = {"since": yesterday.isoformat(), "until": yesterday.isoformat()}

    assert "Nothing was changed" in client_of(manager).get(ADDRESS, asked).text
