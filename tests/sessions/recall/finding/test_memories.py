"""The demo's songs from what its people remember of them, and what each role finds there."""

from datetime import timedelta

import pytest
from django.db import transaction
from django.test import Client, override_settings
from django.urls import resolve
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.recall.finding.search import find
from sessions.songs.models import Song
from studio.access import may_open
from studio.demo.command import fill
from studio.models import User
from tests.sessions.recall.finding.memories import DAYS, MEMORIES

pytestmark = pytest.mark.django_db  # each within the one transaction that the demo was filled in

AMONG, WANTED = 3, 57
ASKED = ["ribbon brass", "rough mix", "take 3", "piran", "carols", "narration", "compressor", "end"]
ROLES = ["odile", "ulric", "piran", "kerensa"]


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, tmp_path_factory):
    """Filled once for all tests of the module, and undone after them."""
    files = override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("files"))
    with django_db_blocker.unblock(), files, transaction.atomic():
        fill()
        yield
        transaction.set_rollback(True)


def asked_in_months():
    today = timezone.localdate()
    months = {name: f"{today + timedelta(days=n):%B}".lower() for name, n in DAYS.items()}
    return [(typed.format(**months), title) for typed, title in MEMORIES]


def test_memory_leads_to_its_song(demo):
    user = User.objects.get(username="ulric")
    missed = {}
    for typed, wanted in asked_in_months():
        groups = find(typed, user).groups
        songs = [hit.title for group in groups if group.name == "Songs" for hit in group.hits]
        if wanted not in songs[:AMONG]:
            missed[typed] = (wanted, songs[:AMONG])

    assert len(MEMORIES) == 60
    assert len(MEMORIES) - len(missed) >= WANTED, missed


@pytest.mark.parametrize("username", ROLES)
def test_what_is_found_may_be_opened(demo, username):
    """Every address belongs to a page of the role; of each page, some are opened."""
    user = User.objects.get(username=username)
    client = Client()
    client.force_login(user)
    opened = {}
    found = [hit for typed in ASKED for group in find(typed, user).groups for hit in group.hits]
    for address in sorted({hit.address for hit in found}):
        page = resolve(address.partition("?")[0]).view_name
        assert may_open(user, page), address
        opened.setdefault(page, []).append(address)

    for addresses in opened.values():
        for address in {addresses[0], addresses[-1]}:
            assert client.get(address).status_code in (200, 202), address


def test_mix_engineer_finds_nothing_of_others_work(demo):
    kerensa = User.objects.get(username="kerensa")
    theirs = {*Song.objects.visible_to(kerensa), *RecordingSession.objects.visible_to(kerensa)}
    visible = {str(each) for each in theirs}

    typed = [*ASKED, *(memory for memory, _ in asked_in_months()[::3])]
    found = [group for each in typed for group in find(each, kerensa).groups]

    assert not {"Clients", "People", "Papers"} & {group.name for group in found}
    titles = {h.title for g in found if g.name in ("Songs", "Sessions") for h in g.hits}
    assert titles <= visible
    for typed in ("sexton", "halfpenny", "wenna", "01632", "reckoning", "work order"):
        assert find(typed, kerensa).groups == [], typed
