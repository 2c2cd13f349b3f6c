from datetime import date
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from sessions.money.payments.models import Allocation, Payment
from tests.factories.money import InvoiceFactory
from tests.factories.people import ClientFactory, UserFactory


class PaymentFactory(DjangoModelFactory):
    """50.00 by bank transfer, not used for anything yet."""

    class Meta:
        model = Payment

    client = factory.SubFactory(ClientFactory)
    received_on = date(2026, 6, 1)
    amount = Decimal("50.00")
    currency = "GBP"
    recorded_by = factory.SubFactory(UserFactory)


class AllocationFactory(DjangoModelFactory):
    """All of a payment, for an invoice of its client."""

    class Meta:
        model = Allocation

    payment = factory.SubFactory(PaymentFactory)
    invoice = factory.SubFactory(InvoiceFactory, client=factory.SelfAttribute("..payment.client"))
    amount = factory.SelfAttribute("payment.amount")
    made_by = factory.SelfAttribute("payment.recorded_by")
