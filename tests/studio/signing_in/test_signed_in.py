"""Where somebody is signed in, listed and ended. Outside: OWASP Session Management Cheat Sheet (users see
their sessions and end them); Django's documentation of session engines that are extended."""

import re

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django.asserts import assertContains, assertNotContains

from studio.models import SignedIn
from studio.signed_in import device_in_words
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db

PAGE, END = reverse("signed_in"), reverse("signed_in_end")
WINDOWS = "Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0"


def test_own_devices_are_listed_with_when_and_where(sign_in, engineer, assistant):
    sign_in(engineer, headers={"User-Agent": WINDOWS}, REMOTE_ADDR="192.0.2.7")
    sign_in(assistant, headers={"User-Agent": "Safari on an iPad"}, REMOTE_ADDR="192.0.2.8")
    web, _ = sign_in(engineer)

    page = web.get(PAGE)

    assertContains(page, "Firefox on Windows")
    assertContains(page, "192.0.2.7")
    assertContains(page, "this device", count=1)
    assertNotContains(page, "iPad")


def test_no_page_shows_the_key_of_a_session(sign_in, client_of, manager, engineer):
    sign_in(engineer)
    web = client_of(manager)
    keys = list(SignedIn.objects.values_list("session_key", flat=True))

    for page in (PAGE, engineer.get_absolute_url()):
        assert not [key for key in keys if key in web.get(page).text]


def test_one_device_is_signed_out_and_then_all_others(sign_in, engineer, assistant):
    here, lost, old = (sign_in(engineer)[0] for _ in range(3))
    theirs, _ = sign_in(assistant)
    number = SignedIn.objects.get(session_key=lost.session.session_key).number

    here.post(END, {"device": number})
    after_one = [web.get(PAGE).status_code for web in (here, lost, old, theirs)]
    here.post(END)
    after_all = [web.get(PAGE).status_code for web in (here, lost, old, theirs)]

    assert after_one == [200, 302, 200, 200]
    assert after_all == [200, 302, 302, 200]


@pytest.mark.parametrize("number", ["of another", "no number"])
def test_nobody_ends_what_is_not_theirs(sign_in, engineer, assistant, number):
    here, _ = sign_in(engineer)
    theirs, _ = sign_in(assistant)
    if number == "of another":
        number = SignedIn.objects.get(user=assistant).number

    here.post(END, {"device": number})

    assert theirs.get(PAGE).status_code == here.get(PAGE).status_code == 200


def test_manager_sees_and_ends_those_of_others(sign_in, client_of, manager, engineer):
    first, second = (sign_in(engineer, headers={"User-Agent": WINDOWS})[0] for _ in range(2))
    web, end = client_of(manager), reverse("sign_in_end", args=[engineer.pk])
    number = SignedIn.objects.get(session_key=first.session.session_key).number

    assertContains(web.get(engineer.get_absolute_url()), "Firefox on Windows", count=4)
    web.post(end, {"device": number})
    assert (first.get(PAGE).status_code, second.get(PAGE).status_code) == (302, 200)
    web.post(end)
    assert second.get(PAGE).status_code == 302
    assert web.get(PAGE).status_code == 200


def test_new_password_ends_all_others_and_stays_the_same_sign_in(sign_in, engineer):
    other, _ = sign_in(engineer)
    here, _ = sign_in(engineer, headers={"User-Agent": WINDOWS})
    new = "a-heron-on-the-slipway"

    here.post(
        reverse("password"),
        {"old_password": PASSWORD, "new_password1": new, "new_password2": new},
    )

    [left] = SignedIn.objects.filter(user=engineer)
    assert (str(left), left.session_key) == ("Firefox on Windows", here.session.session_key)
    assert other.get(PAGE).status_code == 302


def test_sign_in_gives_a_new_key_and_leaves_no_row_behind(sign_in, engineer):
    """No key that somebody fixed before (OWASP, session fixation)."""
    web = Client()
    web.get(reverse("login"))
    session = web.session
    session["seen"] = True
    session.save()
    before = session.session_key

    sign_in(engineer, web=web)

    assert web.session.session_key != before
    assert [row.user for row in SignedIn.objects.all()] == [engineer]


@pytest.mark.parametrize("count", [1, 3])
def test_page_costs_the_same_for_any_number(sign_in, engineer, count, django_assert_num_queries):
    for _ in range(count):
        web, _ = sign_in(engineer)

    with django_assert_num_queries(3):  # session, user, devices
        web.get(PAGE)


@pytest.mark.parametrize(
    ("browser", "words"),
    [
        (WINDOWS, "Firefox on Windows"),
        (
            "Mozilla/5.0 (iPad; CPU OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
            "Version/18.5 Mobile/15E148 Safari/604.1",
            "Safari on an iPad",
        ),
        (
            "Mozilla/5.0 (Linux; Android 15; K) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/139.0.0.0 Mobile Safari/537.36",
            "Chrome on an Android phone",
        ),
        (
            "Mozilla/5.0 (Linux; Android 15; K) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/139.0.0.0 Safari/537.36",
            "Chrome on an Android tablet",
        ),
        (
            "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/139.0.0.0 Safari/537.36 Edg/139.0.0.0",
            "Edge on Windows",
        ),
        ("Chrome", "Chrome on an unknown system"),
        ("curl/8.5.0 (Linux)", "A browser on Linux"),
        ("", "A device that does not say what it is"),
    ],
)
def test_device_is_named_in_words(browser, words):
    """As browsers send it in 2026; common practice, no source."""
    assert device_in_words(browser) == words


@pytest.mark.parametrize("browser", ["\0" * 9, "x" * 3000, "<b>Firefox</b>", "Fjørd/1"])
def test_odd_names_of_browsers_do_no_harm(sign_in, engineer, browser):
    web, answer = sign_in(engineer, headers={"User-Agent": browser})

    page = web.get(PAGE)

    assert answer.status_code == 302
    assert not re.search("<b>Firefox", page.text)
