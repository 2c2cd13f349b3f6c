"""How long somebody stays signed in. Outside: OWASP Session Management Cheat Sheet (idle and absolute
limits are the server's, and both end the session there)."""

import sqlite3
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.db import OperationalError
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertContains

from sessions.bookings.models import Status
from sessions.editing.presses import FIELD, new_number
from sessions.rooms.models import HouseRules, Room
from studio.models import SignedIn
from studio.signed_in import SignedInQuerySet
from tests.factories import (
    CreditFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
)
from tests.studio.signing_in.conftest import PASSWORD

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)
HOME = reverse("home")
PAGE = reverse("signed_in")  # as good as any, and quickly made
NEW_ROOM = reverse("rooms:create")


@pytest.fixture
def clock():
    with time_machine.travel(datetime(2030, 5, 6, 10, tzinfo=UTC), tick=False) as clock:
        yield clock


@pytest.fixture(autouse=True)
def rules(db):
    """Out after an hour without use, and after two days in any case."""
    rules = HouseRules.current()
    rules.idle_hours, rules.signed_in_days = 1, 2
    rules.save()
    return rules


def is_in(web) -> bool:
    return web.get(PAGE).status_code == 200


def test_use_keeps_in_and_an_hour_without_it_signs_out(clock, sign_in, engineer):
    web, _ = sign_in(engineer)
    for _ in range(3):
        clock.shift(HOUR - timedelta(minutes=1))
        assert is_in(web)
    clock.shift(HOUR)
    led = web.get(reverse("songs:list"))
    page = web.get(led.url)

    assert led.url == f"{reverse('login')}?next={reverse('songs:list')}"
    assertContains(page, "as nothing was done here for 1 hour.")
    assert not SignedIn.objects.exclude(user=None).exists()
    assert sign_in(engineer, web=web, typed={"next": reverse("songs:list")})[1].url == reverse(
        "songs:list"
    )


def test_longest_time_ends_it_in_use_or_not(clock, sign_in, engineer, rules):
    rules.idle_hours = 16
    rules.save()
    web, _ = sign_in(engineer)
    for hours in (15, 15, 15, 2.9):
        clock.shift(hours * HOUR)
        assert is_in(web)
    clock.shift(HOUR / 2)
    led = web.get(HOME)

    assert led.status_code == 302
    assertContains(web.get(led.url), "as you signed in 2 days ago.")


def test_nought_is_no_limit(clock, sign_in, engineer, rules):
    rules.idle_hours = rules.signed_in_days = 0
    rules.save()
    web, _ = sign_in(engineer)
    clock.shift(timedelta(days=300))

    assert is_in(web)


def test_clock_set_back_signs_nobody_out(clock, sign_in, engineer):
    web, _ = sign_in(engineer)
    clock.shift(-24 * HOUR)

    assert is_in(web)


@pytest.mark.parametrize("how", ["page of its own", "header", "paper that is waited for"])
def test_what_a_page_asks_by_itself_is_no_use(clock, client_of, engineer, how):
    session = RecordingSessionFactory()
    web = client_of(engineer)
    for _ in range(6):
        clock.shift(HOUR / 6)
        if how == "header":
            web.get(PAGE, headers={"By-Itself": "yes"})
        elif how == "paper that is waited for":
            web.get(PAGE, {"asked": "1790000000.000"})
        else:
            web.get(reverse("takes:live", args=[session.pk]))

    assert not is_in(web)


@pytest.mark.parametrize("as_who", ["booked", "credited", "a stranger to it"])
def test_no_idle_sign_out_during_a_session_under_way_of_theirs(clock, client_of, engineer, as_who):
    person = PersonFactory(user=engineer, bookable=True)
    session = RecordingSessionFactory(status=Status.UNDER_WAY)
    if as_who == "booked":
        ReservationFactory(session=session, room=None, person=person)
    elif as_who == "credited":
        CreditFactory(session=session, person=person)
    web = client_of(engineer)
    clock.shift(5 * HOUR)

    assert is_in(web) == (as_who != "a stranger to it")


def test_idle_time_counts_from_the_end_of_the_session(clock, client_of, engineer):
    session = RecordingSessionFactory(status=Status.UNDER_WAY)
    CreditFactory(session=session, person=PersonFactory(user=engineer))
    web, live = client_of(engineer), reverse("takes:live", args=[session.pk])
    clock.shift(5 * HOUR)
    web.get(live)
    session.status = Status.WRAPPED
    session.save()
    clock.shift(HOUR / 2)

    assert web.get(live).status_code == 200
    assert is_in(web)


def test_use_is_written_once_a_minute(clock, client_of, engineer, django_assert_num_queries):
    web = client_of(engineer)
    written = []
    for seconds in (20, 30, 9, 1, 59):
        clock.shift(timedelta(seconds=seconds))
        web.get(reverse("signed_in"), headers={"User-Agent": "Firefox on Linux"})
        written.append(SignedIn.objects.get(user=engineer).used_at.minute)

    assert written == [0, 0, 0, 1, 1]
    assert SignedIn.objects.get(user=engineer).browser == "Firefox on Linux"


def test_page_does_not_fail_where_use_cannot_be_written(clock, client_of, engineer, monkeypatch):
    web = client_of(engineer)
    clock.shift(HOUR / 2)

    def held(*_, **__):
        busy = sqlite3.OperationalError("database is locked")
        busy.sqlite_errorcode = sqlite3.SQLITE_BUSY
        raise OperationalError(*busy.args) from busy

    with monkeypatch.context() as others_write:
        others_write.setattr(SignedInQuerySet, "update", held)
        assert is_in(web)
        assert SignedIn.objects.get(user=engineer).used_at == timezone.now() - HOUR / 2
    assert is_in(web)
    assert SignedIn.objects.get(user=engineer).used_at == timezone.now()


def test_form_posted_too_late_is_seen_again_and_happens_once(clock, sign_in, manager):
    web, _ = sign_in(manager)
    typed = {"name": "Net Loft", "note": "Under the <b>eaves</b>\nnorth side", FIELD: new_number()}
    clock.shift(2 * HOUR)

    led = web.post(NEW_ROOM, typed)
    back = sign_in(manager, web=web, typed={"next": reverse("not_sent")})[1]
    page = web.get(back.url)
    form = dict(page.context["form"]["fields"])
    first, second = web.post(NEW_ROOM, form), web.post(NEW_ROOM, form)

    assert led.url == f"{reverse('login')}?next={reverse('not_sent')}"
    assertContains(page, "Under the &lt;b&gt;eaves&lt;/b&gt;")
    assertContains(page, f'action="{NEW_ROOM}"')
    assert form == typed
    assert first.url == second.url
    assert Room.objects.get().note == typed["note"]
    assertContains(web.get(reverse("not_sent")), "Nothing waits to be sent")


def test_form_is_shown_to_nobody_else(clock, sign_in, manager, engineer):
    web, _ = sign_in(manager)
    clock.shift(2 * HOUR)
    web.post(NEW_ROOM, {"name": "Net Loft"})
    sign_in(engineer, web=web)

    page = web.get(reverse("not_sent"))

    assert page.context["form"] is None
    assert "form_not_sent" not in web.session


def test_kept_form_can_be_discarded(clock, sign_in, manager):
    web, _ = sign_in(manager)
    clock.shift(2 * HOUR)
    web.post(NEW_ROOM, {"name": "Net Loft"})
    sign_in(manager, web=web)

    web.post(reverse("not_sent"))

    assert web.get(reverse("not_sent")).context["form"] is None


def test_passwords_are_kept_nowhere(clock, sign_in, manager):
    web, _ = sign_in(manager)
    clock.shift(2 * HOUR)

    led = web.post(reverse("password"), {"old_password": PASSWORD, "new_password1": "x" * 20})

    assert led.url == f"{reverse('login')}?next={HOME}"
    assert "form_not_sent" not in web.session


def test_form_of_another_site_is_not_kept(clock, manager):
    web = Client(enforce_csrf_checks=True)
    web.force_login(manager, backend="studio.backends.RoleBackend")
    clock.shift(2 * HOUR)

    led = web.post(NEW_ROOM, {"name": "Net Loft"})

    assert led.url == f"{reverse('login')}?next={HOME}"
    assert "form_not_sent" not in web.session


def test_whoever_wants_to_sign_out_is_signed_out_and_nothing_waits(clock, sign_in, engineer):
    web, _ = sign_in(engineer)
    clock.shift(2 * HOUR)

    answers = [web.post(reverse("logout")).url for _ in range(2)]

    assert answers == [reverse("login")] * 2
    assert not web.session.session_key


def test_script_is_told_and_the_page_stays_as_it_is(clock, client_of, manager):
    web = client_of(manager)
    clock.shift(2 * HOUR)

    answer = web.post(NEW_ROOM, {"name": "Net Loft"}, headers={"HX-Request": "true"})

    assert answer.status_code == 401
    assert "WWW-Authenticate" in answer  # RFC 9110, 15.5.2
    assert not Room.objects.exists()
