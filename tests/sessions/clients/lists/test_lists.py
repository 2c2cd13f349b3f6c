"""Clients and people come in by list."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from gear.lists.actions import import_list
from sessions.clients.forms import ClientForm, PersonForm
from sessions.clients.lists.clients_list import plan_clients
from sessions.clients.lists.columns import CLIENT_COLUMNS, PERSON_COLUMNS
from sessions.clients.lists.people_list import plan_people
from sessions.clients.models import Client, Person
from tests.factories import ClientFactory, PersonFactory

pytestmark = pytest.mark.django_db

CLIENTS, PEOPLE = reverse("clients:import_clients"), reverse("clients:import_people")


def problems(plan):
    return [(each.line, each.column, each.typed) for each in plan.problems]


def test_list_has_a_column_for_every_fact_that_a_form_asks():
    """Sign-ins are given by invitation, never by list."""
    assert {column.field.name for column in CLIENT_COLUMNS} == set(ClientForm.Meta.fields)
    assert {column.field.name for column in PERSON_COLUMNS} | {"client", "user"} == set(
        PersonForm.Meta.fields
    )


def test_clients_come_in_as_shown_with_their_history(manager):
    known = ClientFactory(name="Pier Records", email="old@pier.example", note="Kept")
    text = (
        "Company,Email,Telephone\n"
        "Pier Records,desk@pier.example,01632 960111\n"
        "Ninth Tide,,01632 960222\n"
    )
    plan = plan_clients(text)

    assert problems(plan) == []
    assert [(row.line, row.is_new, row.changes) for row in plan.rows] == [
        (2, False, ("e-mail: old@pier.example → desk@pier.example", "phone: empty → 01632 960111")),
        (3, True, ("name Ninth Tide", "phone 01632 960222")),
    ]

    import_list(plan_clients, text, shown=plan.fingerprint(), by=manager)

    known.refresh_from_db()
    assert (known.email, known.note) == ("desk@pier.example", "Kept")
    entry = known.history.first()
    assert (entry.history_user, entry.history_change_reason) == (
        manager,
        "Imported from a list, line 2",
    )
    assert Client.objects.get(name="Ninth Tide").phone == "01632 960222"


def test_every_problem_is_said_by_line_and_column():
    ClientFactory(name="Pier Records")
    PersonFactory(name="Ludo Fenwick", email="one@f.example")
    PersonFactory(name="Ludo Fenwick", email="two@f.example")

    clients = plan_clients("name,e-mail\nNinth Tide,nowhere\nNinth Tide,\n,x@y.example\n")
    people = plan_people(
        "name,e-mail,client,bookable\n"
        "Ludo Fenwick,,,no\n"
        "Ada Fenwright,ada@f.example,Pier Recordz,perhaps\n"
        "Bram Hawse,,,\n"
        "Bram Hawse,,,\n"
    )

    assert problems(clients) == [
        (2, "e-mail", "nowhere"),
        (3, "name", "Ninth Tide"),
        (4, "name", ""),
    ]
    assert problems(people) == [
        (2, "name", "Ludo Fenwick"),
        (3, "bookable", "perhaps"),
        (3, "client", "Pier Recordz"),
        (5, "name", "Bram Hawse"),
    ]
    assert "2 people have this name" in people.problems[0].sentence
    assert "Is it Pier Records?" in people.problems[2].sentence


def test_person_is_known_by_name_and_address(manager):
    client = ClientFactory(name="Pier Records")
    one = PersonFactory(name="Ludo Fenwick", email="Ludo@F.example")
    without = PersonFactory(name="Bram Hawse")
    text = (
        "name,e-mail,role,client\n"
        "Ludo Fenwick,ludo@f.example,Fiddle,Pier Records\n"
        "Ludo Fenwick,other@f.example,Horn,\n"
        "Bram Hawse,bram@h.example,,\n"
    )
    plan = plan_people(text)

    assert [(row.is_new, row.notice) for row in plan.rows] == [
        (False, ""),
        (True, "The same name as Ludo Fenwick: merge them afterwards if they are one."),
        (False, ""),
    ]

    import_list(plan_people, text, shown=plan.fingerprint(), by=manager)

    one.refresh_from_db()
    without.refresh_from_db()
    assert (one.does, one.client, without.email) == ("Fiddle", client, "bram@h.example")
    assert Person.objects.filter(name="Ludo Fenwick").count() == 2


def test_new_one_like_another_is_said_before_it_is_made():
    ClientFactory(name="Pier Records", phone="+44 1632 960111")

    plan = plan_clients("name,phone\nThe Pier,(01632) 960 111\nSlack & Sons,\nslack sons,\n")

    assert [row.notice[:27] for row in plan.rows] == [
        "The same phone as Pier Reco",
        "",
        "The same name as Slack & So",
    ]


def test_lists_that_went_out_come_back_in_and_change_nothing(client_of, manager):
    PersonFactory(name="+1 Player", client=ClientFactory(address="Two\nlines"), bookable=True)
    web = client_of(manager)

    for out, back in (("clients:list", CLIENTS), ("clients:people", PEOPLE)):
        written = b"".join(web.get(reverse(out), {"csv": "1"}).streaming_content)
        plan = web.post(back, {"file": SimpleUploadedFile("list.csv", written)}).context["plan"]

        assert plan.problems == []
        assert (plan.to_make, plan.to_change) == ([], [])
        assert plan.unchanged_count == 1


def test_list_is_previewed_and_then_imported(client_of, manager, engineer):
    web = client_of(manager)

    shown = web.post(PEOPLE, {"text": "name,bookable\nAda Fenwright,yes\n"})

    assert "1 to add, 0 to change" in shown.content.decode()
    assert not Person.objects.exists()
    answer = web.post(PEOPLE, {**shown.context["form"].initial, "import": "1"})
    assert answer.url == reverse("clients:people")
    assert Person.objects.get().bookable
    assert client_of(engineer).get(PEOPLE).status_code == 403


def test_plans_take_the_same_queries_for_one_line_and_for_three(django_assert_num_queries):
    for count in (1, 3):
        lines = "".join(f"Player {number}\n" for number in range(count))
        with django_assert_num_queries(1):
            plan_clients(f"name\n{lines}")
        with django_assert_num_queries(2):
            plan_people(f"name\n{lines}")
