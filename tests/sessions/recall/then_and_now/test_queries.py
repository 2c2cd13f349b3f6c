"""However many chains and rounds there are, the pages cost as many queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.sessions.recall.rebuilds.vocal import started
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    measured_now,
    measured_vocal,
    through,
)

pytestmark = pytest.mark.django_db


def test_pages_cost_the_same_for_one_chain_and_for_three(client_of, engineer):
    first = measured_vocal()
    song = first.chain.parts.get().song
    one = counted(client_of(engineer), started(first, engineer), rounds=1)
    for double in (" double", " third"):
        measured_vocal(song=song, double=double)
    rebuild = started(first, engineer)
    for chain in (2, 3):
        measured_now(rebuild, chain=chain)
    assert counted(client_of(engineer), rebuild, rounds=3) == one


def counted(browser, rebuild, *, rounds: int) -> list[int]:
    for n in range(rounds):
        measured_now(rebuild, through(GAIN_DB - n), ago=rounds - n)
    pages = [
        reverse("then_and_now:rebuild", args=[rebuild.pk]),
        reverse("then_and_now:chain", args=[rebuild.pk, 1]),
        reverse("rebuild:report", args=[rebuild.pk]),
    ]
    return [_queries(browser, page) for page in pages]


def _queries(browser, page: str) -> int:
    browser.get(page)  # what is asked once
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(page).status_code == 200
    return len(queries)
