"""Two clients, or two people, that are one."""

from datetime import time

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from pytest_django.asserts import assertContains

from gear.editing.versions import EditedMeanwhile
from sessions.clients.models import Client, Person
from sessions.desk.merging.actions import MergeRefused, merge
from sessions.desk.merging.duplicates import pairs_of
from sessions.desk.merging.pointing import (
    links_to,
    pointers_to,
    reasons_against,
    what_goes,
    what_moves,
)
from sessions.money.invoices.models import Invoice
from sessions.rooms.models import WeeklyHours
from sessions.terms.agreements.models import Agreement
from tests.factories import (
    ClientFactory,
    CreditFactory,
    HeadphoneMixFactory,
    InvoiceFactory,
    LetterFactory,
    PaymentFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def merged(kept, other, by, **facts):
    merge(kept, other, facts=facts, seen=kept.version, other_seen=other.version, by=by)
    kept.refresh_from_db()
    return kept


POINT_TO_A_CLIENT = """
    Agreement.client Invoice.client Letter.client Medium.client Payment.client Person.client
    Project.client Told.client
"""
POINT_TO_A_PERSON = """
    ApprovedRecipient.person Attendance.person Credit.person DeliveryRecipient.person
    FeedAddress.person Letter.person Medium.person Part.performer Rate.person Release.person
    Reservation.person Source.performer Told.person WeeklyHours.person
"""


@pytest.mark.parametrize(
    ("model", "pointers"), [(Client, POINT_TO_A_CLIENT), (Person, POINT_TO_A_PERSON)]
)
def test_every_way_to_point_to_one_is_known(model, pointers):
    """A new one moves by itself: think of what becomes of it where both have one, and add it here."""
    found = {f"{each.model.__name__}.{each.field.name}" for each in pointers_to(model)}

    assert found == set(pointers.split())
    assert {field.name for field in links_to(Person)} == {"mix_engineers", "listeners"}


def test_those_alike_by_address_phone_or_name_are_found():
    first = PersonFactory(name="Ærø Kør", email="a@k.example", phone="+44 1632 960111")
    second = PersonFactory(name="AERO  KOR", email="", phone="01632-960 111")
    third = PersonFactory(name="Somebody", email="A@K.example", phone="960111")
    left = PersonFactory(name="Left", retired=True)
    PersonFactory(name="left", retired=True)
    PersonFactory(name="Alone")

    found = pairs_of(Person.objects.order_by("retired", "pk"))

    assert [(each.first, each.second, each.alike) for each in found] == [
        (first, third, ("e-mail",)),
        (first, second, ("phone",)),
    ]
    assert left.pk not in {thing.pk for each in found for thing in (each.first, each.second)}


def test_clients_become_one_with_all_that_they_have(manager):
    kept, other = ClientFactory(name="Pier"), ClientFactory(name="Pier Records", phone="1")
    project, member = ProjectFactory(client=other), PersonFactory(client=other)
    invoice, payment = InvoiceFactory(client=other), PaymentFactory(client=other)
    letter = LetterFactory(client=other, about=other)
    Agreement.objects.create(client=other, due_days=14)

    number = other.pk
    merged(kept, other, manager, name="Pier Records", phone="1")

    assert (kept.name, kept.phone) == ("Pier Records", "1")
    for thing in (project, member, invoice, payment, letter):
        thing.refresh_from_db()
        assert thing.client == kept
    assert letter.topics.get().about == kept
    assert kept.agreement.due_days == 14
    assert not Client.objects.filter(pk=number).exists()
    entry = kept.history.first()
    assert (entry.history_user, entry.history_change_reason) == (
        manager,
        "Merged with Pier Records",
    )
    gone = Client.history.filter(id=number).first()
    assert (gone.history_type, gone.history_change_reason) == ("-", "Merged with Pier")
    moved = project.history.first()
    assert (moved.history_user, moved.client_id, project.version) == (manager, kept.pk, 2)


def test_people_become_one_with_all_that_they_have(manager):
    kept, other = PersonFactory(), PersonFactory(user=UserFactory(), bookable=True)
    reservation = ReservationFactory(room=None, person=other)
    credit = CreditFactory(person=other)
    for person, hour in ((kept, 9), (other, 12)):
        WeeklyHours.objects.create(person=person, weekday=0, opens=time(hour), closes=time(18))
    mixed = ProjectFactory()
    mixed.mix_engineers.add(kept, other)
    heard = HeadphoneMixFactory()
    heard.listeners.add(other)

    assert what_goes(other, kept) == ["Working hours"]
    assert what_moves(other, kept) == [
        "1 credit",
        "1 reservation",
        "1 project",
        "1 headphone mix",
    ]
    merged(kept, other, manager, user=other.user, bookable=True)

    reservation.refresh_from_db()
    credit.refresh_from_db()
    assert (reservation.person, credit.person) == (kept, kept)
    assert (kept.user, kept.bookable) == (other.user, True)
    assert [each.opens for each in kept.hours.all()] == [time(9)]
    assert list(mixed.mix_engineers.all()) == list(heard.listeners.all()) == [kept]


def test_what_only_one_can_have_is_said_first_and_nothing_moves(manager):
    kept, other = ClientFactory(), ClientFactory()
    for client in (kept, other):
        ProjectFactory(client=client, name="Ninth Tide")
    members = [PersonFactory(client=other, user=UserFactory()) for _ in range(2)]
    session = RecordingSessionFactory(title="Brass")
    for person in members:
        ReservationFactory(session=session, room=None, person=person, rank=None)
    strings = RecordingSessionFactory(title="Strings")
    for person, of in zip(members, (RecordingSessionFactory(title="Horns"), strings), strict=True):
        ReservationFactory(session=of, room=None, person=person)

    [project] = reasons_against(kept, other)
    both, sign_in, at_once = reasons_against(*members)

    assert "Ninth Tide" in project
    assert both.startswith("Reservation, both have it")
    assert sign_in.startswith("Both sign in")
    assert at_once == f"{members[0]} is booked at the time of Strings, for which {members[1]} is."
    with pytest.raises(MergeRefused):
        merged(kept, other, manager)
    assert set(Person.objects.filter(client=other)) == set(members)


@pytest.mark.parametrize(
    "facts",
    [{"total": 1}, {"number": 2}, {"due_on": None}, {"note": "Other"}, {"as_issued": {"to": "x"}}],
)
def test_invoice_comes_to_another_client_and_stays_what_it_was(facts):
    invoice, other = InvoiceFactory(), ClientFactory()
    these = Invoice.objects.filter(pk=invoice.pk)

    with pytest.raises(IntegrityError, match="invoice_issued"), transaction.atomic():
        these.update(client=other, **facts)
    with pytest.raises(IntegrityError, match="invoice_issued"), transaction.atomic():
        these.update(**facts)
    these.update(client=other)

    assert these.get().client == other


def test_merge_of_what_was_edited_meanwhile_does_nothing(manager):
    kept, other = ClientFactory(), ClientFactory()

    with pytest.raises(EditedMeanwhile):
        merge(kept, other, facts={}, seen=kept.version, other_seen=2, by=manager)

    assert Client.objects.count() == 2


def test_manager_finds_compares_and_merges(client_of, manager, engineer):
    client = ClientFactory()
    kept = PersonFactory(name="Ludo", email="l@f.example", phone="01632 960111", client=client)
    other = PersonFactory(name="Ludo Fenwick", email="l@f.example", does="Fiddle")
    web, address = client_of(manager), reverse("duplicates:person", args=[kept.pk])

    found = web.get(reverse("duplicates:people"))
    link = f"{address}?with={other.pk}"
    assert link in found.content.decode()
    page = web.get(link)
    assert list(page.context["form"].fields) == ["seen", "other_seen", "name"]
    web.post(link, {**page.context["form"].initial, "name": "other"})

    kept.refresh_from_db()
    assert (kept.name, kept.does, kept.client) == ("Ludo Fenwick", "Fiddle", client)
    assert not Person.objects.filter(pk=other.pk).exists()
    assert client_of(engineer).get(link).status_code == 403


def test_whom_to_merge_with_may_be_chosen(client_of, manager):
    kept, other = ClientFactory(), ClientFactory(name="Other Pier")
    address = reverse("duplicates:client", args=[kept.pk])

    page = client_of(manager).get(address)

    assert f'<option value="{other.pk}">Other Pier</option>' in page.content.decode()
    wrong = client_of(manager).get(address, {"with": kept.pk})
    assert wrong.context["form"].errors


def test_duplicates_take_the_same_queries_for_one_pair_and_for_three(
    client_of, manager, django_assert_num_queries
):
    web = client_of(manager)
    for count in (1, 2):
        for number in range(count):
            for _ in range(2):
                PersonFactory(name=f"Twin {count} {number}")
        with django_assert_num_queries(3):
            assert "Twin" in web.get(reverse("duplicates:people")).content.decode()


def test_clients_page_books_for_that_client(client_of, manager):
    client = ClientFactory()

    page = client_of(manager).get(client.get_absolute_url())

    assert f'href="{reverse("bookings:create")}?client={client.pk}"' in page.content.decode()


def test_page_says_what_goes_with_the_other_and_that_it_cannot_be_undone(client_of, manager):
    kept, other = ClientFactory(name="Pier"), ClientFactory(name="Pier Records")
    for client, days in ((kept, 7), (other, 30)):
        Agreement.objects.create(client=client, due_days=days)

    page = client_of(manager).get(reverse("duplicates:client", args=[kept.pk]), {"with": other.pk})

    assert "agreement" not in page.context["moves"]
    assertContains(page, "Agreed rates, terms and days to pay: Pier has them")
    assertContains(page, "so those of Pier Records go.")
    assertContains(page, "This can’t be undone")
