"""Who is signed in, read with SQL of our own: nobody else comes in by it."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone

from studio.web_sessions import SessionStore

pytestmark = pytest.mark.django_db


@pytest.fixture
def held():
    store = SessionStore()
    store["part"] = "Lead vocal"
    store.create()
    return store


def test_what_was_put_into_a_session_is_found_again(held):
    assert SessionStore(held.session_key)["part"] == "Lead vocal"


def test_session_that_has_expired_is_gone(held):
    Session.objects.update(expire_date=timezone.now() - timedelta(seconds=1))

    store = SessionStore(held.session_key)

    assert "part" not in store
    assert store.session_key is None


def test_session_that_was_tampered_with_is_empty(held):
    Session.objects.update(session_data="e30:forged")

    assert "part" not in SessionStore(held.session_key)


def test_nobody_chooses_the_key_of_their_session():
    store = SessionStore("chosen" * 6)
    store["part"] = "Lead vocal"
    store.save()

    assert store.session_key != "chosen" * 6
