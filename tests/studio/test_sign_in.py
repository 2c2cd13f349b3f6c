import pytest
from django.urls import reverse

from tests.factories import PASSWORD

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
    page = sign_in(client, engineer, "lantern")

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
        assert sign_in(client, engineer, "lantern").status_code == 200

    locked = sign_in(client, engineer, "lantern")
    still_locked = sign_in(client, engineer)
    somebody_else = sign_in(client, assistant)

    assert locked.status_code == still_locked.status_code == 429
    assert "registration/locked.html" in [used.name for used in locked.templates]
    assert "Wait a quarter of an hour" in locked.text
    assert somebody_else.url == reverse("home")
