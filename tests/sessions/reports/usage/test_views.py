import csv
from datetime import timedelta
from io import StringIO

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.reports.usage.hours import Use
from sessions.reports.usage.plot import LONGEST, TALLEST, plot_use, rows_of, tallest_of
from tests.factories import (
    TEN_O_CLOCK,
    MoneyPaperFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def room():
    room = RoomFactory(name="Rope Floor")
    ReservationFactory(room=room)
    return room


def test_months_are_drawn_and_written(client_of, manager, room):
    page = client_of(manager).get(reverse("usage:months"), {"year": "2026"}).content.decode()

    assert "Usage by month, 2026" in page
    assert "Rope Floor: Jan 0.00 h" in page
    assert "Jun 4.00 h" in page
    assert '<td class="num mono">4.00</td>' in page


@pytest.mark.parametrize("year", ["", "x", "1949", "2150", "٢٠٢٦", "9" * 5000, "-1", "2026.5"])
def test_year_that_is_none_is_this_one(client_of, manager, year):
    with time_machine.travel(TEN_O_CLOCK):
        page = client_of(manager).get(reverse("usage:months"), {"year": year})

    assert page.status_code == 200
    assert page.context["year"] == 2026


def test_csv_has_a_line_for_each_month(client_of, manager, room):
    RoomFactory(name="=1+1")

    answer = client_of(manager).get(reverse("usage:csv"), {"year": "2026"})

    lines = list(csv.DictReader(StringIO(answer.getvalue().decode("utf-8-sig"))))
    assert len(lines) == 24
    line = {"kind": "room", "name": "Rope Floor", "month": "2026-06", "hours": "4.00"}
    assert line | {"open hours": "", "of these reserved": "", "per cent": ""} in lines
    assert {line["name"] for line in lines} == {"Rope Floor", "'=1+1"}
    assert answer["Content-Disposition"] == 'attachment; filename="usage-2026.csv"'


def test_bars_stand_in_proportion_on_one_scale():
    hours = [HOUR * number for number in range(12)]

    drawn = plot_use(Use("Rope Floor", tuple(hours)), tallest=22 * HOUR)

    assert [bar.height for bar in drawn.bars] == [
        pytest.approx(TALLEST * number / 22, abs=0.06) for number in range(12)
    ]
    assert all(bar.y + bar.height == pytest.approx(120) for bar in drawn.bars)
    assert drawn.total == "66.00 h"


def test_year_without_use_is_drawn_flat():
    drawn = plot_use(Use("Rope Floor", (0 * HOUR,) * 12), tallest=0 * HOUR)

    assert {(bar.height, bar.label) for bar in drawn.bars} == {(0, "")}


def test_bar_stands_in_the_outline_of_the_open_hours_and_says_their_share():
    use = Use("Rope Floor", (6 * HOUR,) * 12, (8 * HOUR,) * 12, (4 * HOUR,) * 12)

    drawn = plot_use(use, tallest=tallest_of([use]))

    assert (drawn.bars[0].height, drawn.bars[0].outline) == (75, TALLEST)
    assert drawn.bars[0].label == "50 %"
    assert "Jan 6.00 h, 50 % of open hours" in drawn.in_words


def test_people_stand_by_their_share_whoever_worked_most_first():
    less, more = (
        Use(name, (hours * HOUR,) * 12, (8 * HOUR,) * 12, (hours * HOUR,) * 12)
        for name, hours in (("Piran Tolle", 2), ("Ulric Yarrell", 6))
    )

    drawn = rows_of([less, more, Use("Casual", (HOUR,) * 12)])

    assert [(row.name, row.percent) for row in drawn.rows] == [
        ("Ulric Yarrell", 75),
        ("Piran Tolle", 25),
    ]
    assert [row.length for row in drawn.rows] == [0.75 * LONGEST, 0.25 * LONGEST]


def test_lapsed_holds_are_listed(client_of, manager):
    RecordingSessionFactory(title="Lapsed", status=Status.CANCELLED, lapsed_at=TEN_O_CLOCK)
    RecordingSessionFactory(title="Called off", status=Status.CANCELLED)

    page = client_of(manager).get(reverse("usage:lapsed")).content.decode()

    assert "Lapsed</a>" in page
    assert "Mon 1 Jun 2026, 11:00" in page
    assert "Called off" not in page


def test_wrapped_sessions_without_a_work_order_are_unbilled(client_of, manager):
    billed = RecordingSessionFactory(title="Billed", status=Status.WRAPPED)
    quoted = RecordingSessionFactory(title="Quoted only", status=Status.WRAPPED)
    now = timezone.now()
    RecordingSessionFactory(
        title="Not over", status=Status.UNDER_WAY, starts_at=now, ends_at=now + timedelta(hours=4)
    )
    MoneyPaperFactory(session=billed, kind="work_order")
    MoneyPaperFactory(session=billed, kind="quote")
    MoneyPaperFactory(session=quoted, kind="quote", number=2)

    page = client_of(manager).get(reverse("usage:unbilled")).content.decode()

    assert "Quoted only" in page
    assert "Billed</a>" not in page
    assert "Not over" not in page


@pytest.mark.parametrize("rows", [1, 3])
@pytest.mark.parametrize(("page", "queries"), [("usage:lapsed", 4), ("usage:unbilled", 5)])
def test_lists_cost_the_same_queries_for_any_number_of_rows(
    client_of, manager, rows, page, queries, django_assert_num_queries
):
    client = client_of(manager)
    for _ in range(rows):
        RecordingSessionFactory(status=Status.CANCELLED, lapsed_at=TEN_O_CLOCK)
        RecordingSessionFactory(status=Status.WRAPPED)

    with django_assert_num_queries(queries):
        client.get(reverse(page))
