from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from sessions.clients.models import Person
from studio.erasures import Erasure
from tests.factories import InvoiceFactory, PersonFactory, RecordingSessionFactory, UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def ysolde():
    person = PersonFactory(name="Ysolde Farrant", email="ysolde@farrant.example")
    RecordingSessionFactory(note="For Ysolde Farrant")
    InvoiceFactory(client__name="Ysolde Farrant")
    return person


def said(*arguments, **options) -> str:
    out = StringIO()
    call_command("erase_person", *arguments, stdout=out, **options)
    return out.getvalue()


def names():
    return {row["name"] for row in Person.objects.values("name")}


def test_dry_run_says_what_goes_and_what_stays_and_changes_nothing(ysolde):
    out = said(ysolde.pk, dry_run=True)

    assert f"Ysolde Farrant → Erased person {ysolde.pk}" in out
    assert "  recording sessions: 1, and 1 in history\n" in out
    assert "invoices and credit notes as they were issued: 1 row that names them" in out
    assert names() == {"Ysolde Farrant"}
    assert not Erasure.objects.exists()


def test_it_is_asked_before_anything_changes(ysolde, monkeypatch):
    monkeypatch.setattr("builtins.input", lambda _: "yes")

    with pytest.raises(CommandError, match="Nothing was changed"):
        said(ysolde.pk)
    assert names() == {"Ysolde Farrant"}

    monkeypatch.setattr("builtins.input", lambda _: " erase")
    assert f"They are “Erased person {ysolde.pk}” now." in said(ysolde.pk)
    assert names() == {f"Erased person {ysolde.pk}"}


def test_second_time_there_is_nothing_left(ysolde):
    said(ysolde.pk, yes=True)

    assert "No row says anything of them." in said(ysolde.pk, yes=True)
    assert Erasure.objects.count() == 1


def test_by_what_they_sign_in_as():
    person = PersonFactory(name="Ysolde Farrant", user=UserFactory(username="ysolde"))

    said(user="ysolde", yes=True)

    assert names() == {f"Erased person {person.pk}"}


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        (["--user", "nobody"], "Nobody signs in as nobody."),
        ([999999], "There is no person 999999."),
    ],
)
def test_whoever_is_not_there_is_not_erased(asked, answer):
    with pytest.raises(CommandError, match=answer):
        said(*asked)
