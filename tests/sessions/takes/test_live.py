"""What the tracking page asks again and again."""

from functools import cached_property

import pytest
from django.urls import reverse
from lxml import html

from sessions.bookings.models import Status
from sessions.takes.actions import log_take, mark_take
from sessions.takes.models import Mark
from sessions.takes.tracking.recording_now import RecordingNow
from tests.factories import PartFactory, SetupFactory
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


def test_take_that_ends_while_the_page_is_put_together_is_still_what_the_keys_mark(
    client_of, engineer, monkeypatch
):
    part = PartFactory()
    setup = SetupFactory(session__project=part.song.project, session__status=Status.UNDER_WAY)
    take = log_take(part, session=setup.session, setup=setup, rolling=True)
    asked = RecordingNow.rolling.func

    def ended_meanwhile(now):
        """Its takes were read, what rolls was not."""
        assert now.takes
        take.refresh_from_db()
        if take.is_rolling:
            mark_take(take, seen=seen(take), mark=Mark.COMPLETE)
        return asked(now)

    rolling = cached_property(ended_meanwhile)
    rolling.__set_name__(RecordingNow, "rolling")
    monkeypatch.setattr(RecordingNow, "rolling", rolling)
    address = reverse("takes:live", args=[setup.session_id])
    asks = {"song": part.song_id, "part": part.pk, "setup": setup.pk}

    answer = client_of(engineer).get(address, asks)

    now = html.fromstring(answer.content).get_element_by_id("tracking-now")
    assert now.get("data-take") == f"{take.pk}"
    assert now.get("data-since") is None
    again = client_of(engineer).get(address, asks, headers={"If-None-Match": answer["ETag"]})
    assert again.status_code == 304
