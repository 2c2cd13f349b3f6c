"""Takes as CSV: a row for each part, as it was marked."""

from datetime import timedelta

import pytest
from django.urls import reverse

from sessions.takes.models import Mark, Take
from sessions.takes.take_csv import csv_rows
from tests.factories import TEN_O_CLOCK, PartFactory, SongFactory, TakeFactory
from tests.sessions.bookings.test_session_csv import rows_of

pytestmark = pytest.mark.django_db


def test_row_tells_how_each_part_of_a_take_came_out(client_of, engineer):
    song = SongFactory(title="Slow the Lantern")
    bass, horn = (PartFactory(song=song, name=name) for name in ("Bass", "Cornet"))
    take = TakeFactory(
        part=bass,
        number=3,
        note="Slower",
        started_at=TEN_O_CLOCK,
        ended_at=TEN_O_CLOCK + timedelta(minutes=4),
    )
    take.take_parts.update(mark=Mark.MASTER, grade=5, circled=True, note="=the one")
    take.take_parts.create(part=horn, mark=Mark.FALSE_START)
    TakeFactory(part=bass, session=take.session, number=4, song=song)
    web = client_of(engineer)

    of_session = rows_of(web.get(reverse("takes:session_csv", args=[take.session_id])))
    of_song = rows_of(web.get(reverse("takes:song_csv", args=[song.pk])))

    bass_row, horn_row, _ = of_session
    told = ("song", "take", "part", "mark", "grade", "circled", "note on part")
    assert [bass_row[name] for name in told] == [
        *("Slow the Lantern", "3", "Bass", "master", "5", "yes", "'=the one")
    ]
    assert [horn_row[name] for name in told[2:]] == ["Cornet", "false start", "", "no", ""]
    assert bass_row["starts"] == "2026-06-01 11:00:00"
    assert bass_row["ends"] == "2026-06-01 11:04:00"
    assert of_song == of_session


@pytest.mark.parametrize("count", [1, 3])
def test_list_costs_the_same_queries_for_any_number_of_takes(count, django_assert_num_queries):
    song = SongFactory()
    for number in range(1, count + 1):
        TakeFactory(part=PartFactory(song=song), number=number, song=song)

    with django_assert_num_queries(4):
        list(csv_rows(Take.objects.all()))
