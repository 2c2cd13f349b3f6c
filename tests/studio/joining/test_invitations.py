"""People are invited to sign in, and choose their own password."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertContains, assertNotContains

from sessions.clients.models import Person
from sessions.letters.models import Letter
from studio.joining.actions import choose_password
from studio.models import User
from studio.password_links import PasswordLink
from studio.roles import Role
from tests.factories import PersonFactory, UserFactory

pytestmark = pytest.mark.django_db

PASSWORD = "a-heron-on-the-slipway"
CONSOLE = "django.core.mail.backends.console.EmailBackend"
INVITED = {"name": "Jory Tremlett", "email": "jory@quay-steps.example", "role": Role.ASSISTANT}


def invite(web, **changes):
    return web.post(reverse("sign_in_invite"), INVITED | {"bookable": "on"} | changes, follow=True)


def link_in(number: int) -> str:
    """The path in the letter of that number, as it waits to be sent."""
    letter = Letter.objects.order_by("pk")[number]
    return re.search(r"http://testserver(/choose-password/\S+)", letter.text)[1]


def accept(address: str, **changes):
    typed = {"username": "jory", "new_password1": PASSWORD, "new_password2": PASSWORD}
    return Client().post(address, typed | changes)


def test_whoever_is_invited_chooses_a_password_and_is_signed_in(client_of, manager):
    invite(client_of(manager))
    theirs = Client()

    page = theirs.get(link_in(0))
    answer = theirs.post(
        link_in(0),
        {"username": "jory", "new_password1": PASSWORD, "new_password2": PASSWORD},
        follow=True,
    )

    person = Person.objects.get(name="Jory Tremlett")
    assertContains(page, "Odile Marrack invites you")
    assertContains(page, 'value="jory.tremlett"')
    assert answer.redirect_chain == [(reverse("home"), 302)]
    assert answer.context["user"] == person.user
    assert person.user.role == Role.ASSISTANT
    assert (person.bookable, person.does) == (True, "Assistant engineer")
    assert Client().login(request=None, username="jory", password=PASSWORD)


def test_link_works_once_and_looking_at_it_uses_up_nothing(client_of, manager):
    invite(client_of(manager))
    address = link_in(0)
    for _ in range(2):
        assert Client().get(address).status_code == 200

    assert accept(address).status_code == 302
    again = accept(address, new_password1="four more steps", new_password2="four more steps")

    assertContains(again, "This link has been used", status_code=410)
    assert User.objects.get(username="jory").check_password(PASSWORD)


def test_of_two_who_follow_a_link_at_one_moment_one_chooses(client_of, manager):
    """Both pages were let in before either had chosen."""
    invite(client_of(manager))
    link = PasswordLink.objects.get()

    user = choose_password(link, password=PASSWORD, username="jory", by=link.user)
    with pytest.raises(ValidationError, match="used meanwhile"):
        choose_password(link, password="another-heron", username="other", by=link.user)

    user.refresh_from_db()
    assert user.username == "jory"
    assert user.check_password(PASSWORD)


def test_nobody_signs_in_before_the_link_was_followed(client_of, manager):
    invite(client_of(manager))

    user = User.objects.get(username="jory.tremlett")
    assert not user.is_active
    assert not user.has_usable_password()
    assertContains(client_of(manager).get(reverse("sign_ins")), "invited")


def test_link_expires_after_a_week(client_of, manager):
    invite(client_of(manager))
    address = link_in(0)

    with time_machine.travel(timezone.now() + timedelta(days=7, minutes=1), tick=False):
        page = Client().get(address)
        listed = client_of(manager).get(reverse("sign_ins"))

    assertContains(page, "This link has expired", status_code=410)
    assertContains(listed, "invitation ended")


def test_invitation_sent_again_ends_the_first(client_of, manager):
    web = client_of(manager)
    invite(web)
    user = User.objects.get(username="jory.tremlett")

    web.post(reverse("sign_in_link", args=[user.pk]))

    first, second = map(link_in, (0, 1))
    assertContains(Client().get(first), "there is a newer one", status_code=410)
    assert Client().get(second).status_code == 200


def test_revoked_invitation_opens_nothing(client_of, manager):
    web = client_of(manager)
    invite(web)
    user = User.objects.get(username="jory.tremlett")

    web.post(reverse("sign_in_revoke", args=[user.pk]))

    assert accept(link_in(0)).status_code == 410
    assert not User.objects.get(pk=user.pk).is_active


def test_person_of_people_is_joined_not_doubled(client_of, manager):
    chosen = PersonFactory(name="Piran Tolle")
    same_address = PersonFactory(name="J. Tremlett", email="Jory@Quay-Steps.example")
    web = client_of(manager)

    invite(web, person=chosen.pk, name="", email="")
    invite(web)

    chosen.refresh_from_db()
    same_address.refresh_from_db()
    assert chosen.user.username == "piran.tolle"
    assert same_address.user.email == "jory@quay-steps.example"
    assert Person.objects.count() == 2


def test_whoever_edits_the_person_meanwhile_sees_that_they_were_invited(client_of, manager):
    person = PersonFactory(name="Piran Tolle")
    web = client_of(manager)
    invite(web, person=person.pk, name="")

    facts = {"name": "Piran Tolle", "does": "", "seen": person.version}
    answer = web.post(reverse("clients:person_edit", args=[person.pk]), facts)

    person.refresh_from_db()
    assert answer.status_code == 409
    assert person.user is not None


def test_address_that_signs_in_already_is_refused_and_nothing_typed_is_lost(client_of, manager):
    UserFactory(first_name="Jory", email="JORY@quay-steps.example")

    page = invite(client_of(manager))

    assertContains(page, "Jory signs in with this address already.")
    assertContains(page, 'value="Jory Tremlett"')
    assert not Person.objects.exists()


def test_two_of_one_name_sign_in_by_two_names(client_of, manager):
    web = client_of(manager)
    invite(web)
    invite(web, email="another@quay-steps.example")

    names = User.objects.filter(username__startswith="jory").values_list("username", flat=True)
    assert set(names) == {"jory.tremlett", "jory.tremlett.2"}


def test_user_name_that_is_taken_is_refused_beside_the_field(client_of, manager):
    invite(client_of(manager))

    page = accept(link_in(0), username="odile")

    assert page.context["form"].errors.keys() == {"username"}
    assert Client().get(link_in(0)).status_code == 200


def test_secret_stands_in_no_table_once_it_is_sent_and_in_no_history(
    client_of, manager, mailoutbox, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        invite(client_of(manager))

    token = re.search(r"/choose-password/(\S+)/", mailoutbox[0].body)[1]
    letter = Letter.objects.get()
    assert token not in letter.text + letter.html + letter.secret
    assert PasswordLink.objects.get().token_hash != token
    assert all(token not in repr(row) for row in User.history.values())


def test_without_a_mail_server_the_link_is_shown_once_and_printed_nowhere(
    client_of, manager, settings, capsys
):
    settings.EMAIL_BACKEND = CONSOLE
    web = client_of(manager)

    page = invite(web)

    address = re.search(r"http://testserver(/choose-password/[^<]+)", page.text)[1]
    assert Client().get(address).status_code == 200
    assertNotContains(web.get(reverse("sign_ins")), "choose-password")
    assert not Letter.objects.exists()
    assert "choose-password" not in capsys.readouterr().out


def test_somebody_without_e_mail_is_handed_the_link(client_of, manager):
    page = invite(client_of(manager), email="")

    assertContains(page, "The link for Jory Tremlett")
    assert not Letter.objects.exists()


def test_invited_manager_is_none_yet_who_could_let_others_in(client_of, manager):
    web = client_of(manager)
    invite(web, role=Role.MANAGER)
    User.objects.filter(username="jory.tremlett").update(is_active=True)  # ticked by hand
    facts = {"username": manager.username, "role": Role.ENGINEER, "is_active": "on"}

    answer = web.post(reverse("sign_in_edit", args=[manager.pk]), facts | {"seen": manager.version})

    assert "last studio manager" in answer.context["form"].errors["role"][0]


@pytest.mark.parametrize("changes", [{"is_active": ""}, {"email": "elsewhere@ford.example"}])
def test_link_of_who_is_to_stay_out_or_has_another_address_ends(
    client_of, manager, engineer, changes
):
    User.objects.filter(pk=engineer.pk).update(email="ulric@quay-steps.example")
    web = client_of(manager)
    web.post(reverse("sign_in_link", args=[engineer.pk]))
    facts = {"username": "ulric", "role": Role.ENGINEER, "email": "ulric@quay-steps.example"}
    facts |= {"is_active": "on", "seen": engineer.version}

    assert Client().get(link_in(0)).status_code == 200
    web.post(reverse("sign_in_edit", args=[engineer.pk]), facts | changes)

    assert Client().get(link_in(0)).status_code == 410
