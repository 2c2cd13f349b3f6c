from datetime import timedelta
from decimal import Decimal

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from sessions.money.invoices.models import Invoice, InvoiceKind, InvoiceLine
from sessions.money.models import MoneyPaper, OrderSignature, PaperKind
from sessions.money.overtime.models import Overtime
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import Basis, CancellationStep, CancellationTerms, Rate, RateCard
from sessions.terms.taxes import TaxRow
from tests.factories.bookings import RecordingSessionFactory, RoomFactory
from tests.factories.people import ClientFactory, UserFactory
from tests.factories.signing import SignatureFactory


class RateCardFactory(DjangoModelFactory):
    """Half-hour steps, two hours at least, a day of ten hours, 50 % overtime after those, 20 % tax."""

    class Meta:
        model = RateCard

    name = factory.Sequence(lambda n: f"House rates {n}")
    overtime_after_minutes = 600


class RateFactory(DjangoModelFactory):
    """45.00 an hour for a room."""

    class Meta:
        model = Rate

    card = factory.SubFactory(RateCardFactory)
    room = factory.SubFactory(RoomFactory)
    basis = Basis.HOUR
    amount = Decimal("45.00")


class CancellationTermsFactory(DjangoModelFactory):
    class Meta:
        model = CancellationTerms

    name = factory.Sequence(lambda n: f"House terms {n}")


class CancellationStepFactory(DjangoModelFactory):
    """Half the fee for less than 48 hours' notice."""

    class Meta:
        model = CancellationStep

    terms = factory.SubFactory(CancellationTermsFactory)
    notice_below = 48
    percent = 50


class AgreementFactory(DjangoModelFactory):
    """Of the house; name a client or a project for theirs."""

    class Meta:
        model = Agreement

    rate_card = factory.SubFactory(RateCardFactory)


class MoneyPaperFactory(DjangoModelFactory):
    """A quote that says nothing, with the next number of its kind, since those have no gap."""

    class Meta:
        model = MoneyPaper

    class Params:
        priced = factory.Trait(
            net=Decimal("180.00"),
            tax=Decimal("36.00"),
            total=Decimal("216.00"),
            deposit=Decimal("108.00"),
            as_issued={
                "taxes": [{"name": "VAT", "percent": "20", "net": "180.00", "tax": "36.00"}]
            },
        )

    kind = PaperKind.QUOTE
    number = factory.LazyAttribute(
        lambda made: 1 + MoneyPaper.objects.filter(kind=made.kind).count()
    )
    session = factory.SubFactory(RecordingSessionFactory)
    issued_by = factory.SubFactory(UserFactory)
    currency = "GBP"
    net = tax = total = Decimal(0)


class InvoiceFactory(DjangoModelFactory):
    """100.00 with 20 % tax, due a month later, with the next number of its kind and without lines."""

    class Meta:
        model = Invoice

    kind = InvoiceKind.INVOICE
    number = factory.LazyAttribute(lambda made: 1 + Invoice.objects.filter(kind=made.kind).count())
    client = factory.SubFactory(ClientFactory)
    issued_by = factory.SubFactory(UserFactory)
    dated = factory.LazyFunction(timezone.localdate)
    due_on = factory.LazyAttribute(lambda made: made.dated + timedelta(days=30))
    currency = "GBP"
    net, tax, total = Decimal("100.00"), Decimal("20.00"), Decimal("120.00")
    tax_rows = factory.LazyAttribute(
        lambda made: [TaxRow("VAT", Decimal(20), made.net, made.tax).as_kept()]
    )
    line_count = 1
    as_issued = factory.LazyAttribute(
        lambda made: {
            "studio": {"name": "Quay Steps Studio"},
            "client": {"name": made.client.name, "address": [], "email": ""},
        }
    )


class InvoiceLineFactory(DjangoModelFactory):
    """The one line of an invoice."""

    class Meta:
        model = InvoiceLine

    invoice = factory.SubFactory(InvoiceFactory)
    position = 1
    what = "A disk"
    tax_name = "VAT"
    tax_percent = Decimal(20)
    net = factory.SelfAttribute("invoice.net")


class OvertimeFactory(DjangoModelFactory):
    """An hour after the session, approved for 54.00."""

    class Meta:
        model = Overtime

    class Params:
        is_voided = factory.Trait(
            voided_at=factory.SelfAttribute("ends_at"),
            voided_by=factory.SubFactory(UserFactory),
            void_reason="The client left",
        )

    session = factory.SubFactory(RecordingSessionFactory)
    starts_at = factory.SelfAttribute("session.ends_at")
    ends_at = factory.LazyAttribute(lambda overtime: overtime.starts_at + timedelta(hours=1))
    signature = factory.SubFactory(SignatureFactory)
    currency = "GBP"
    total = Decimal("54.00")


class OrderSignatureFactory(DjangoModelFactory):
    class Meta:
        model = OrderSignature

    paper = factory.SubFactory(MoneyPaperFactory, kind=PaperKind.WORK_ORDER)
    signature = factory.SubFactory(SignatureFactory)
