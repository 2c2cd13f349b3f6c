"""When a file was recorded, by what its recorder wrote. London, 1 June 2026: an hour ahead of UTC."""

from datetime import UTC, date, datetime

import pytest

from sessions.takes.files.clock import recorded
from sessions.takes.models import TakeFile

RATE = 48_000
DAYS = [date(2026, 6, 1)]


def at(clock: str) -> int:
    hours, minutes, seconds = map(int, clock.split(":"))
    return ((hours * 60 + minutes) * 60 + seconds) * RATE


def file_of(*, stamp="", day="2026-06-01", written="", seconds=240, **ixml) -> TakeFile:
    samples = at(stamp) if stamp else 0
    bext = {"origination_date": day, "origination_time": written, "time_reference": samples}
    return TakeFile(
        path="a.wav",
        sample_rate=RATE,
        frames=seconds * RATE,
        time_reference=ixml.get("time_reference", samples),
        bext=bext if stamp or day or written else None,
        ixml=ixml or None,
    )


def starts_of(file) -> list[datetime]:
    return [each.astimezone(UTC) for each in recorded(file, days=DAYS).starts]


def test_time_reference_is_a_time_of_day_in_the_studios_zone():
    found = recorded(file_of(stamp="11:00:05", written="11:00:05"), days=DAYS)

    assert found.starts == [datetime(2026, 6, 1, 10, 0, 5, tzinfo=UTC)]
    assert found.words == "Time reference 11:00:05 on Mon 1 Jun 2026"
    assert (found.is_dated, found.doubt) == (True, "")


def test_file_that_was_stamped_when_it_was_closed_begins_at_its_time_reference():
    assert starts_of(file_of(stamp="11:00:00", written="11:04:01", seconds=240)) == [
        datetime(2026, 6, 1, 10, tzinfo=UTC)
    ]


def test_time_reference_of_a_timeline_gives_way_to_the_time_of_origination():
    found = recorded(file_of(stamp="01:00:00", written="11:20:00"), days=DAYS)

    assert found.starts == [datetime(2026, 6, 1, 10, 20, tzinfo=UTC)]
    assert (
        found.doubt == "its time reference, 01:00:00, is a place on a timeline, not a time of day"
    )


def test_recording_that_begins_before_midnight_is_of_the_day_before():
    """23:59:50 by its time reference, written down ten seconds later, which is the next day."""
    assert starts_of(file_of(stamp="23:59:50", day="2026-06-02", written="00:00:00")) == [
        datetime(2026, 6, 1, 22, 59, 50, tzinfo=UTC)
    ]


def test_time_stamp_that_only_ixml_has_counts_at_its_own_rate():
    file = file_of(day="", time_reference=at("11:00:00") * 2, time_reference_rate=2 * RATE)
    found = recorded(file, days=DAYS)

    assert found.starts == [datetime(2026, 6, 1, 10, tzinfo=UTC)]
    assert (found.is_dated, found.words) == (False, "Time reference 11:00:00; it gives no date")


def test_hour_that_comes_twice_may_be_either():
    assert starts_of(file_of(stamp="01:30:00", day="2026-10-25", written="01:30:00")) == [
        datetime(2026, 10, 25, 0, 30, tzinfo=UTC),
        datetime(2026, 10, 25, 1, 30, tzinfo=UTC),
    ]


@pytest.mark.parametrize(
    ("day", "written"), [("2026-06-01", ""), ("0001-01-01", "00-61-00"), ("2026-13-45", "noon")]
)
def test_header_without_a_time_of_day_gives_none(day, written):
    assert recorded(file_of(day=day, written=written), days=DAYS) is None


@pytest.mark.parametrize("sign", ["-", ":", "_", " ", "."])
def test_date_and_time_may_have_any_separator(sign):
    file = file_of(day=f"2026{sign}06{sign}01", written=f"11{sign}00{sign}05")

    assert starts_of(file) == [datetime(2026, 6, 1, 10, 0, 5, tzinfo=UTC)]
