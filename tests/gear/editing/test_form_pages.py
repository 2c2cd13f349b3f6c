"""Two people at one form: the second sees both versions, and nothing is overwritten unseen."""

import pytest
from django.urls import reverse

from gear.editing.versions import EditedMeanwhile, claim_version, differences
from sessions.clients.forms import PersonForm, ProjectForm
from sessions.clients.models import Project
from tests.factories import (
    PASSWORD,
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def edit(client, house, seen, **facts):
    return client.post(
        reverse("clients:edit", args=[house.pk]), {"name": house.name, "seen": seen, **facts}
    )


def test_second_editor_gets_both_versions_and_loses_nothing(client_of, manager):
    house = ClientFactory(phone="01 10")
    seen = house.version
    client = client_of(manager)
    edit(client, house, seen, phone="01 20")

    page = edit(client, house, seen, phone="01 30", note="Rings back on Monday")

    house.refresh_from_db()
    assert page.status_code == 409
    assert page.context["meanwhile"].differences == [
        ("Phone", "01 20", "01 30"),
        ("Note", "", "Rings back on Monday"),
    ]
    assert "Rings back on Monday" in page.text
    assert "Saved by Odile Marrack" in page.text
    assert (house.phone, house.note) == ("01 20", "")


def test_second_editor_who_has_seen_the_other_version_may_save(client_of, manager):
    house = ClientFactory(phone="01 10")
    seen = house.version
    client = client_of(manager)
    edit(client, house, seen, phone="01 20")
    refused = edit(client, house, seen, phone="01 30")

    page = edit(client, house, refused.context["seen"], phone="01 30")

    house.refresh_from_db()
    assert page.status_code == 302
    assert house.phone == "01 30"


def test_form_with_an_error_still_remembers_what_its_editor_saw(client_of, manager):
    house = ClientFactory()
    seen = house.version
    client = client_of(manager)
    edit(client, house, seen, phone="01 20")

    page = edit(client, house, seen, email="no address")

    assert list(page.context["form"].errors) == ["email"]
    assert page.context["seen"] == seen


def test_both_versions_are_in_the_words_of_the_page():
    singer = PersonFactory(name="Orla Quill", user=UserFactory())
    fiddler = PersonFactory(name="Rufus Tarn", user=UserFactory())
    project = ProjectFactory(sample_rate=48_000)
    project.mix_engineers.add(singer)
    typed = {
        "name": project.name,
        "artist": project.artist,
        "sample_rate": "96000",
        "bit_depth": project.bit_depth,
        "full_scale_dbu": project.full_scale_dbu,
        "mix_engineers": [str(singer.pk), str(fiddler.pk)],
        "retired": "on",
    }
    form = ProjectForm(typed, instance=project)

    rows = differences(form, ProjectForm(instance=Project.objects.get(pk=project.pk)))

    assert ("Sample rate", "48 kHz", "96 kHz") in rows
    assert ("Retired", "no", "yes") in rows
    assert ("Mix engineers", "Orla Quill", "Orla Quill, Rufus Tarn") in rows


def test_both_versions_name_what_a_choice_points_to():
    house = ClientFactory(name="Anchor Row")
    person = PersonFactory(client=house)
    form = PersonForm({"name": person.name, "client": ""}, instance=person)

    [(label, saved, typed)] = differences(
        form, PersonForm(instance=type(person).objects.get(pk=person.pk))
    )

    assert (label, saved, typed) == ("Client", "Anchor Row", "---------")


def test_version_is_claimed_by_one_editor_only():
    session = RecordingSessionFactory()
    second = type(session).objects.get(pk=session.pk)

    claim_version(session, 1)

    assert session.version == 2
    with pytest.raises(EditedMeanwhile) as refusal:
        claim_version(second, 1)
    assert refusal.value.current.version == 2


def test_form_that_says_not_what_it_saw_overwrites_nothing(client_of, manager):
    house = ClientFactory(phone="01 10")

    page = client_of(manager).post(
        reverse("clients:edit", args=[house.pk]), {"name": house.name, "phone": "01 20"}
    )

    house.refresh_from_db()
    assert (page.status_code, house.phone) == (409, "01 10")


def test_signing_in_and_the_theme_disturb_nobody_who_edits_the_sign_in(client, client_of, manager):
    user = UserFactory(first_name="Piran", last_name="Tolle")
    client.login(username=user.username, password=PASSWORD)
    client.post(reverse("theme"), {"theme": "dark"})

    page = client_of(manager).post(
        reverse("sign_in_edit", args=[user.pk]),
        {"username": user.username, "role": "assistant", "is_active": "on", "seen": 1},
    )

    user.refresh_from_db()
    assert (page.status_code, user.first_name, user.theme, user.version) == (302, "", "dark", 2)
