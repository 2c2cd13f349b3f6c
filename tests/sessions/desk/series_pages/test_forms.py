import pytest

from sessions.bookings.models import Status
from sessions.bookings.series.rest.changes import Verb
from sessions.desk.series_pages.forms import RestForm


@pytest.mark.parametrize("typed", ["1.5", "1,5", "1,5 h"])
def test_hours_are_read_as_they_are_typed(typed):
    asked = {"since": "2026-06-01", "hours": typed, "direction": "later"}

    form = RestForm(asked, verb=Verb.MOVE, statuses={Status.CONFIRMED})

    assert form.is_valid(), form.errors
    assert (form.change.move.days, form.change.move.minutes) == (0, 90)
