import pytest
from django.contrib.auth.hashers import make_password
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from studio.models import User
from studio.roles import Role
from tests.conftest import PressingClient
from tests.factories import PASSWORD, PersonFactory, UserFactory
from tests.sessions.setups.chains.test_races import at_once

pytestmark = pytest.mark.django_db

NEW_PASSWORD = "a-heron-on-the-slipway"


def facts(user, **changes):
    return {
        "username": user.username,
        "first_name": user.first_name,
        "last_name": user.last_name,
        "email": user.email,
        "role": user.role,
        "is_active": "on",
        "seen": user.version,
    } | changes


def test_role_is_changed_and_the_change_has_a_name(client_of, manager):
    user = UserFactory(role=Role.ASSISTANT)

    client_of(manager).post(
        reverse("sign_in_edit", args=[user.pk]), facts(user, role=Role.ENGINEER)
    )

    user.refresh_from_db()
    assert user.role == Role.ENGINEER
    assert user.history.first().history_user == manager


def test_closed_sign_in_is_out_at_once(client_of, manager, engineer, client):
    web = client_of(manager)
    web.post(reverse("sign_in_edit", args=[engineer.pk]), facts(engineer, is_active=""))

    engineer.refresh_from_db()
    assert not engineer.is_active
    assert not client.login(request=None, username=engineer.username, password=PASSWORD)


@pytest.mark.parametrize(
    ("changes", "field"), [({"role": Role.ENGINEER}, "role"), ({"is_active": ""}, "is_active")]
)
def test_last_manager_cannot_lock_the_house(client_of, manager, changes, field):
    answer = client_of(manager).post(
        reverse("sign_in_edit", args=[manager.pk]), facts(manager, **changes)
    )

    assert "last studio manager" in answer.context["form"].errors[field][0]


def test_manager_may_step_down_beside_another(client_of, manager):
    UserFactory(role=Role.MANAGER)

    client_of(manager).post(
        reverse("sign_in_edit", args=[manager.pk]), facts(manager, role=Role.ENGINEER)
    )

    manager.refresh_from_db()
    assert manager.role == Role.ENGINEER


def test_forgotten_password_is_replaced(client_of, client, manager, engineer):
    client_of(manager).post(
        reverse("sign_in_password", args=[engineer.pk]),
        {"new_password1": NEW_PASSWORD, "new_password2": NEW_PASSWORD},
    )

    assert client.login(request=None, username=engineer.username, password=NEW_PASSWORD)


def test_own_password_keeps_one_signed_in(client_of, engineer):
    web = client_of(engineer)

    web.post(
        reverse("password"),
        {
            "old_password": PASSWORD,
            "new_password1": NEW_PASSWORD,
            "new_password2": NEW_PASSWORD,
        },
    )

    engineer.refresh_from_db()
    assert engineer.check_password(NEW_PASSWORD)
    assert web.get(reverse("home")).status_code == 200


def test_signing_in_and_choosing_a_theme_conflict_with_nobody_who_edits_the_sign_in(
    client_of, manager, engineer
):
    theirs = Client()
    form = client_of(manager).get(reverse("sign_in_edit", args=[engineer.pk]))
    engineer.password = make_password(PASSWORD, salt="old", hasher="pbkdf2_sha256")
    engineer.save(update_fields=["password"])
    before = engineer.history.count()

    theirs.post(reverse("login"), {"username": engineer.username, "password": PASSWORD})
    theirs.post(reverse("theme"), {"theme": "dark"})
    answer = client_of(manager).post(
        reverse("sign_in_edit", args=[engineer.pk]),
        facts(engineer, first_name="Ulric J.", seen=form.context["seen"]),
    )

    engineer.refresh_from_db()
    assert answer.status_code == 302
    assert (engineer.first_name, engineer.theme) == ("Ulric J.", "dark")
    assert engineer.last_login is not None
    assert engineer.history.count() == before + 1


def test_first_manager_is_made_by_the_command(monkeypatch):
    monkeypatch.setenv("DJANGO_SUPERUSER_PASSWORD", NEW_PASSWORD)

    call_command(
        "createsuperuser",
        username="first",
        first_name="Odile",
        last_name="Marrack",
        email="first@quay-steps.example",
        interactive=False,
        verbosity=0,
    )

    person = User.objects.get().person
    assert person.user.role == Role.MANAGER
    assert (person.name, person.email) == ("Odile Marrack", "first@quay-steps.example")


def test_list_names_everybody_and_leads_to_their_sign_in(client_of, manager):
    page = client_of(manager).get(reverse("sign_ins")).text

    assert f'<a href="{manager.get_absolute_url()}">{manager}</a>' in page


@pytest.mark.parametrize("count", [1, 3])
def test_list_costs_the_same_for_any_number(client_of, manager, count, django_assert_num_queries):
    for _ in range(count):
        PersonFactory(user=UserFactory())
    web = client_of(manager)

    with django_assert_num_queries(4):
        web.get(reverse("sign_ins"))


@pytest.mark.postgres
@pytest.mark.usefixtures("on_postgresql", "real_database")
def test_of_two_managers_who_close_each_other_one_stays():
    """On PostgreSQL, where both would look before either has saved."""
    ones, others = UserFactory.create_batch(2, role=Role.MANAGER)
    jobs = [closing(ones, others), closing(others, ones)]

    answers = at_once(*jobs)

    assert sorted(answer.status_code for answer in answers) in ([200, 302], [302, 302])
    assert User.objects.filter(role=Role.MANAGER, is_active=True).count() == 1


def closing(by, whom):
    web = PressingClient()
    web.force_login(by, backend="studio.backends.RoleBackend")
    return lambda: web.post(reverse("sign_in_edit", args=[whom.pk]), facts(whom, is_active=""))
