"""A small house: it holds by the rules, and its pages open."""

import pytest
from django.db.models import Count, F
from django.urls import NoReverseMatch, reverse

from sessions.bookings.models import RecordingSession, Reservation
from sessions.setups.models import Revision, Stage
from sessions.takes.models import Take, TakeRevision
from tests.browser.visits import VISITS
from tests.measure.fill import fill
from tests.measure.prize import gaps, overlaps

pytestmark = pytest.mark.django_db
SESSIONS, TAKES = 100, 1000


@pytest.fixture
def house():
    return fill(SESSIONS, TAKES, rooms=2)


def test_house_holds_by_the_rules(house):
    assert RecordingSession.objects.count() == SESSIONS
    assert Take.objects.count() == TAKES
    assert (overlaps(), gaps()) == (0, 0)
    assert set(Reservation.objects.values_list("rank", flat=True)) == {None, 1, 2}
    assert TakeRevision.objects.count() == TAKES
    assert not Revision.objects.filter(takes__isnull=False, fixed_at=None).exists()
    assert not Stage.objects.filter(snapshot={}).exists()
    assert Take.history.count() >= TAKES
    parts = Take.objects.values("parts").annotate(takes=Count("pk")).filter(takes__gt=1)
    assert parts.exists()
    assert not Take.objects.exclude(session__project=F("song__project")).exists()


def test_pages_of_the_house_open(house, client_of):
    client = client_of(house.manager)
    take = (
        Take.objects.filter(take_parts__circled=True).select_related("session", "song").latest("pk")
    )
    revision = take.revisions.get()
    of_take = {
        "bookings:detail": take.session,
        "clients:project_detail": take.session.project,
        "setups:session": take.session,
        "setups:chain": revision.chain,
        "setups:revision": revision,
        "takes:session": take.session,
        "songs:detail": take.song,
        "recall:song": take.song,
        "deliverables:detail": take.song.deliverables.get(),
    }

    addresses = [reverse(name, args=[thing.pk]) for name, thing in of_take.items()]
    addresses += [reverse(name) for name, who, query in VISITS if who == "odile" and is_list(name)]

    assert {address: client.get(address).status_code for address in addresses} == dict.fromkeys(
        addresses, 200
    )


def is_list(name):
    try:
        return bool(reverse(name))
    except NoReverseMatch:
        return False
