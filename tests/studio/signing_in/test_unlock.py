"""`manage.py unlock`: the way back in."""

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from studio.known_devices import FAILURES
from studio.models import PasswordLink, User
from studio.roles import Role
from studio.signing_in import second_factor
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db

NEW = "a-heron-on-the-slipway"


def unlock(username: str, *options) -> str:
    out = StringIO()
    call_command("unlock", username, *options, stdout=out)
    return out.getvalue()


def test_last_manager_who_lost_everything_is_let_in(settings, sign_in, with_factor, manager):
    settings.AXES_ENABLED = True
    with_factor(manager)
    tablet = Client()
    for _ in range(FAILURES + 1):
        tablet.post(reverse("login"), {"username": "odile", "password": "guesswork"})

    said = unlock("odile", "--address", "https://quay-steps.example/")
    path = re.search(r"https://quay-steps.example(/choose-password/\S+)", said)[1]
    tablet.post(path, {"new_password1": NEW, "new_password2": NEW})

    changes = manager.history.values_list("history_change_reason", flat=True)
    assert sign_in(manager, NEW, web=tablet)[1].url == reverse("home")
    assert "The second factor is removed." in said
    assert second_factor.app_of(manager) is None
    assert set(changes) >= {
        "Unlocked by manage.py unlock",
        "Second factor removed by manage.py unlock",
    }


def test_house_without_a_manager_gets_one(sign_in):
    user = UserFactory(username="jory", role=Role.ASSISTANT, is_active=False)
    UserFactory(role=Role.MANAGER, is_active=False)

    said = unlock("jory")

    user.refresh_from_db()
    assert (user.role, user.is_active) == (Role.MANAGER, True)
    assert "since the house had none left" in said
    assert user.history.first().role == Role.MANAGER


def test_whoever_may_not_sign_in_stays_out_while_a_manager_can_say_so(manager):
    user = UserFactory(username="jory", role=Role.ASSISTANT, is_active=False)

    with pytest.raises(CommandError, match="may not sign in"):
        unlock("jory")

    user.refresh_from_db()
    assert not user.is_active
    assert not PasswordLink.objects.exists()


def test_role_stays_what_it_was(manager, engineer):
    unlock("ulric")

    assert User.objects.get(username="ulric").role == Role.ENGINEER


def test_name_that_nobody_has_is_told():
    with pytest.raises(CommandError, match="Nobody signs in as jory"):
        unlock("jory")
