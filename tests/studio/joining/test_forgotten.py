"""A forgotten password, by e-mail. What is asked of it: OWASP Cheat Sheet Series, Forgot Password (a
consistent message and time, limited requests, a random link that is stored hashed, opens once and
expires; other links and nothing else end; nobody is signed in by it, nor locked out by asking)."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertContains

from sessions.letters.models import Letter
from sessions.links.models import WRONG_GUESSES
from sessions.tasks.models import Worker
from studio.joining.actions import MOST_ASKED
from studio.logs import public_path
from studio.models import User
from studio.password_links import PasswordLink
from tests.factories import PASSWORD, PersonFactory, UserFactory
from tests.studio.joining.test_invitations import CONSOLE, link_in

pytestmark = pytest.mark.django_db

NEW = "a-heron-on-the-slipway"
TYPED = {"new_password1": NEW, "new_password2": NEW}
ADDRESS = "ulric@quay-steps.example"


@pytest.fixture
def ulric(engineer):
    engineer.email = ADDRESS
    engineer.save()
    return engineer


def without_csrf(page) -> str:
    return re.sub(r'name="csrf-token" content="\w+"', "", page.text)


def ask(email: str = ADDRESS):
    return Client().post(reverse("password_forgotten"), {"email": email}, follow=True)


def test_letter_names_the_user_name_and_leads_to_a_new_password(ulric):
    ask("Ulric@Quay-Steps.example")

    answer = Client().post(link_in(0), TYPED, follow=True)

    ulric.refresh_from_db()
    assert "You sign in as ulric." in Letter.objects.get().text
    assertContains(answer, "Password changed. You sign in as ulric.")
    assert answer.redirect_chain == [(reverse("login"), 302)]
    assert ulric.check_password(NEW)


def test_answer_is_the_same_whoever_has_the_address(ulric):
    known, unknown = ask(), ask("nobody@ford.example")

    assert known.redirect_chain == unknown.redirect_chain
    assert without_csrf(known) == without_csrf(unknown)


def test_worker_does_the_rest_so_that_the_answer_takes_as_long(ulric, django_assert_num_queries):
    Worker.objects.sign("at work")
    Client().get(reverse("login"))
    counts = []
    for email in (ADDRESS, "nobody@ford.example"):
        with django_assert_num_queries(5) as asked:
            Client().post(reverse("password_forgotten"), {"email": email})
        counts.append([query["sql"][:20] for query in asked.captured_queries])

    assert counts[0] == counts[1]
    assert not Letter.objects.exists()


def test_address_under_people_counts_where_the_sign_in_has_none():
    user = UserFactory(username="jory")
    PersonFactory(user=user, email="jory@quay-steps.example")

    ask("jory@quay-steps.example")

    assert Letter.objects.get().to == "jory@quay-steps.example"


def test_whoever_may_not_sign_in_is_written_nothing(ulric):
    User.objects.filter(pk=ulric.pk).update(is_active=False)

    ask()

    assert not Letter.objects.exists()


def test_closed_meanwhile_the_link_opens_nothing(ulric):
    ask()
    User.objects.filter(pk=ulric.pk).update(is_active=False)

    assert Client().post(link_in(0), TYPED).status_code == 410
    ulric.refresh_from_db()
    assert ulric.check_password(PASSWORD)


def test_asking_changes_nothing_and_ends_no_other_link(ulric):
    ask()
    ask()

    first, second = map(link_in, (0, 1))
    assert Client().get(first).status_code == 200
    assert Client().login(request=None, username="ulric", password=PASSWORD)

    Client().post(second, TYPED)
    assert Client().get(first).status_code == 410


def test_new_password_signs_out_everywhere(client_of, ulric):
    web = client_of(ulric)
    ask()

    Client().post(link_in(0), TYPED)

    assert web.get(reverse("home")).status_code == 302


@pytest.mark.parametrize("how", ["their own page", "a manager"])
def test_password_set_elsewhere_ends_the_link(client_of, manager, ulric, how):
    """Whoever can read an older letter could undo what was done because of that."""
    ask()
    if how == "a manager":
        client_of(manager).post(reverse("sign_in_password", args=[ulric.pk]), TYPED)
    else:
        client_of(ulric).post(reverse("password"), {"old_password": PASSWORD} | TYPED)

    answer = Client().get(link_in(0))

    ulric.refresh_from_db()
    assert ulric.check_password(NEW)
    assert answer.status_code == 410


def test_link_opens_for_two_hours(ulric):
    ask()

    with time_machine.travel(timezone.now() + timedelta(hours=2, seconds=1), tick=False):
        page = Client().get(link_in(0))

    assertContains(page, "Ask for a new link", status_code=410)


def test_nobody_s_letter_box_is_filled(ulric):
    for _ in range(MOST_ASKED + 2):
        ask()

    assert Letter.objects.count() == PasswordLink.objects.count() == MOST_ASKED


def test_many_from_one_place_are_refused_alike(ulric):
    for number in range(WRONG_GUESSES):
        ask(f"guess{number}@ford.example")

    page = ask()

    assertContains(page, "Too many were asked for from here", status_code=429)
    assert not Letter.objects.exists()


def test_weak_password_is_refused_and_the_link_still_opens(ulric):
    ask()
    address = link_in(0)

    page = Client().post(address, {"new_password1": "1234", "new_password2": "1234"})

    assertContains(page, "too short")
    assert Client().get(address).status_code == 200


def test_without_a_mail_server_the_page_says_whom_to_ask(settings, client):
    settings.EMAIL_BACKEND = CONSOLE

    assertContains(client.get(reverse("password_forgotten")), "Ask the studio manager")


def test_link_is_never_logged(ulric):
    ask()
    address = link_in(0)

    assert public_path(address) == "/choose-password/-/"


def test_page_of_a_link_is_kept_nowhere(ulric):
    ask()

    page = Client().get(link_in(0))

    assert "no-store" in page["Cache-Control"]
    assert page["Referrer-Policy"] == "strict-origin"
    assert page["X-Robots-Tag"] == "noindex"
