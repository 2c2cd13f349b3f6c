"""Each rule is asked of rows that came in while no rule stood, and names those that break it."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection

from sessions import constraints
from sessions.bookings.models import Reservation
from sessions.deliverables.models import Deliverable
from sessions.money.invoices.models import Invoice, InvoiceKind, InvoiceLine
from sessions.money.models import MoneyPaper
from sessions.money.payments.models import Allocation
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision
from sessions.takes.models import CompChoice, Take, TakeKind, TakePart, TakeRevision
from studio.erasures import Erasure
from tests.factories import (
    TEN_O_CLOCK,
    AllocationFactory,
    ClientFactory,
    DeliverableFactory,
    InvoiceFactory,
    InvoiceLineFactory,
    LyricLineFactory,
    MixRevisionFactory,
    MoneyPaperFactory,
    PartFactory,
    PaymentFactory,
    ReservationFactory,
    RevisionFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def broken(db):
    """What `broken` says of what a test wrote: no rule stands until its end."""
    constraints.remove(connection)
    return lambda: constraints.broken(connection)


def through_a_fixed_revision() -> TakeRevision:
    revision = RevisionFactory()
    Revision.objects.filter(pk=revision.pk).update(fixed_at=TEN_O_CLOCK)
    heard = MixSnapshot.objects.create(setup=revision.chain.setup, mixes=[])
    return TakeRevision.objects.create(take=TakeFactory(), revision=revision, heard=heard)


def test_every_rule_is_asked_or_says_how_a_row_may_change():
    asked = tuple(question.rule for question in constraints.QUESTIONS)
    of_both_engines = {
        *(trigger.name for trigger in constraints.triggers("sqlite")),
        *(trigger.name for trigger in constraints.triggers("postgresql")),
        *constraints.EXCLUSIONS,
    }
    assert {
        name
        for name in of_both_engines
        if not name.startswith(asked)
        and not name.endswith(constraints.CHANGES)
        and not any(question.startswith(name) for question in asked)
    } == set()


def test_nothing_is_broken_where_every_rule_stood(db):
    ReservationFactory()
    through_a_fixed_revision()
    MoneyPaperFactory()
    AllocationFactory()

    assert constraints.broken(connection) == []


@pytest.mark.parametrize("rank", [1, 2])
def test_overlap(broken, rank):
    first = ReservationFactory(rank=rank)
    second = ReservationFactory(room=first.room, rank=rank)

    [said] = broken()
    assert "the room is taken" in said
    assert f"{first.pk}, {second.pk}" in said
    Reservation.objects.filter(pk=second.pk).update(
        starts_at=first.ends_at, ends_at=first.ends_at + timedelta(hours=1)
    )
    assert broken() == []


def test_take_through_an_open_revision(broken):
    Revision.objects.filter(pk=through_a_fixed_revision().revision_id).update(fixed_at=None)

    assert "revision_open" in broken()[0]


def test_deliverable_through_an_open_mix(broken):
    revision = MixRevisionFactory(fixed_at=None)
    Deliverable.objects.filter(pk=DeliverableFactory().pk).update(mix_revision=revision)

    assert "mix_open" in broken()[0]


def test_erasure_that_is_open(broken):
    """Which would let history be changed for good."""
    erasure = Erasure.objects.create()
    Erasure.objects.filter(pk=erasure.pk).update(still_open=erasure)

    assert "erasure_kept" in broken()[0]


def test_part_of_another_song(broken):
    TakePart.objects.filter(take=TakeFactory()).update(part=PartFactory())

    assert "take_of_one_song" in broken()[0]


def test_punch_in_into_another_song(broken):
    take, other = TakeFactory(number=2), TakeFactory(number=1)
    Take.objects.filter(pk=take.pk).update(into=other, kind=TakeKind.PUNCH_IN)

    assert "punch_in" in broken()[0]


def test_comp_takes_from_a_take_of_another_part(broken):
    take = TakeFactory()
    part = PartFactory(song=take.song)
    CompChoice.objects.create(part=part, take=take, line=LyricLineFactory(section__song=take.song))

    assert "comp:" in broken()[0]


def test_number_with_a_gap(broken):
    paper = MoneyPaperFactory()
    MoneyPaper.objects.filter(pk=paper.pk).update(number=2)

    assert "money_paper_number" in broken()[0]
    InvoiceFactory(number=1), InvoiceFactory(number=3)
    assert any("invoice_number" in said for said in broken())


def invoice(**facts):
    made = InvoiceFactory(**facts)
    return InvoiceLineFactory(invoice=made, position=1, net=made.net)


def test_line_one_too_many(broken):
    line = invoice()
    assert broken() == []

    InvoiceLine.objects.filter(pk=line.pk).update(position=2)
    assert "invoice_whole" in broken()[0]


def test_paper_that_was_billed_twice_unless_it_was_credited(broken):
    paper = MoneyPaperFactory()
    first, second = invoice(), invoice()
    InvoiceLine.objects.filter(pk__in=[first.pk, second.pk]).update(money_paper=paper)
    [said] = broken()
    assert "billed_once" in said

    credit = invoice(kind=InvoiceKind.CREDIT_NOTE, credits=first.invoice)
    InvoiceLine.objects.filter(pk=credit.pk).update(of_line=first)
    assert broken() == []


def test_more_credited_than_was_billed(broken):
    first = invoice()
    credit = invoice(
        kind=InvoiceKind.CREDIT_NOTE, credits=first.invoice, net=first.net + Decimal("0.01")
    )
    InvoiceLine.objects.filter(pk=credit.pk).update(of_line=first)

    assert "no_more_than_left" in broken()[0]


def test_more_used_than_received_than_asked_or_undone(broken):
    row = AllocationFactory()
    assert broken() == []

    Allocation.objects.update(amount=Decimal("50.01"))
    assert "allocation_within_payment" in broken()[0]
    Allocation.objects.update(amount=Decimal("-0.01"))
    assert "allocation_undone" in broken()[0]
    Allocation.objects.update(amount=Decimal("50.00"))
    Invoice.objects.filter(pk=row.invoice_id).update(total=Decimal("49.99"))
    assert "allocation_within_invoice" in broken()[0]


def test_money_of_another_client(broken):
    row = AllocationFactory()
    Allocation.objects.filter(pk=row.pk).update(payment=PaymentFactory(client=ClientFactory()))

    assert "allocation_of_one_client" in broken()[0]
