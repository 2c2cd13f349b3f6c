import pytest
from django.test import RequestFactory
from django.urls import reverse

from studio.sign_ins import client_address
from tests.factories import PASSWORD, UserFactory

pytestmark = pytest.mark.django_db


def sign_in(client, user, password=PASSWORD, **more):
    return client.post(reverse("login"), {"username": user.username, "password": password, **more})


def test_sign_in_leads_to_today(client, engineer):
    answer = sign_in(client, engineer)

    assert answer.url == reverse("home")
    assert client.get(answer.url).context["user"] == engineer


def test_sign_in_leads_to_the_page_that_was_asked_for(client, engineer):
    asked = client.get(reverse("songs:list"))

    answer = sign_in(client, engineer, next=reverse("songs:list"))

    assert asked.url == f"{reverse('login')}?next={reverse('songs:list')}"
    assert answer.url == reverse("songs:list")


def test_sign_in_with_a_wrong_password_says_so_and_keeps_the_name(client, engineer):
    page = sign_in(client, engineer, "guesswork")

    [message] = page.context["form"].non_field_errors()
    assert "correct username and password" in message
    assert page.context["form"]["username"].value() == engineer.username
    assert client.get(reverse("home")).status_code == 302


def test_sign_in_is_refused_to_somebody_who_has_left(client, engineer):
    engineer.is_active = False
    engineer.save()

    page = sign_in(client, engineer)

    assert page.status_code == 200
    assert client.get(reverse("home")).status_code == 302


def test_sign_out_shuts_the_doors(client, engineer):
    sign_in(client, engineer)

    answer = client.post(reverse("logout"))

    assert answer.url == reverse("login")
    assert client.get(reverse("home")).status_code == 302


def test_sign_in_pauses_after_too_many_wrong_passwords(client, engineer, assistant, settings):
    settings.AXES_ENABLED = True
    for _ in range(settings.AXES_FAILURE_LIMIT - 1):
        assert sign_in(client, engineer, "guesswork").status_code == 200

    locked = sign_in(client, engineer, "guesswork")
    still_locked = sign_in(client, engineer)
    somebody_else = sign_in(client, assistant)

    assert locked.status_code == still_locked.status_code == 429
    assert "registration/locked.html" in [used.name for used in locked.templates]
    assert "Wait 15 minutes" in locked.text
    assert somebody_else.url == reverse("home")


def test_first_start_says_how_the_first_manager_is_made(client):
    said = "manage.py createsuperuser"

    assert said in client.get(reverse("login")).text
    UserFactory()
    assert said not in client.get(reverse("login")).text


def test_new_password_from_the_manager_works_at_once(
    client, client_of, engineer, manager, settings
):
    settings.AXES_ENABLED = True
    for _ in range(settings.AXES_FAILURE_LIMIT):
        locked = sign_in(client, engineer, "guesswork")
    new = "a-heron-on-the-slipway"

    client_of(manager).post(
        reverse("sign_in_password", args=[engineer.pk]),
        {"new_password1": new, "new_password2": new},
    )
    client.logout()

    assert locked.status_code == 429
    assert sign_in(client, engineer, new).url == reverse("home")


def test_nobody_locks_another_out(client, engineer, settings):
    """Not even through the same proxy, and not by claiming to be somewhere else."""
    settings.AXES_ENABLED, settings.TRUSTED_PROXIES = True, ["127.0.0.1"]
    at_home, elsewhere = {"X-Forwarded-For": "192.0.2.7"}, {"X-Forwarded-For": "192.0.2.8"}

    for claimed in range(settings.AXES_FAILURE_LIMIT + 1):
        forged = {"X-Forwarded-For": f"10.0.0.{claimed}, 192.0.2.8"}
        facts = {"username": engineer.username, "password": "guesswork"}
        last = client.post(reverse("login"), facts, headers=forged)
    facts["password"] = PASSWORD

    assert last.status_code == 429
    assert client.post(reverse("login"), facts, headers=elsewhere).status_code == 429
    assert client.post(reverse("login"), facts, headers=at_home).status_code == 302


@pytest.mark.parametrize(
    ("trusted", "forwarded", "address"),
    [
        ([], "192.0.2.7", "127.0.0.1"),
        (["127.0.0.1"], "", "127.0.0.1"),
        (["127.0.0.1"], "192.0.2.7", "192.0.2.7"),
        (["127.0.0.1"], "10.9.9.9, 192.0.2.7", "192.0.2.7"),
        (["127.0.0.1", "192.0.2.1"], "10.9.9.9, 192.0.2.7, 192.0.2.1", "192.0.2.7"),
        (["127.0.0.1"], "2001:db8::7", "2001:db8::7"),
        (["127.0.0.1"], "the third bollard", "127.0.0.1"),
    ],
)
def test_address_is_what_the_nearest_hop_that_is_no_proxy_says(
    settings, trusted, forwarded, address
):
    settings.TRUSTED_PROXIES = trusted
    request = RequestFactory().get("/", headers={"X-Forwarded-For": forwarded})

    assert client_address(request) == address
