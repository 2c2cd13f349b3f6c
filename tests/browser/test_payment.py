"""Money comes in: from an overdue invoice to its payment, and back."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.browser.looking import barriers, sideways
from tests.factories import ClientFactory, InvoiceFactory, InvoiceLineFactory, PaymentFactory

pytestmark = pytest.mark.browser


def test_overdue_invoice_is_paid_from_the_account_of_its_client(page_of, manager):
    today = timezone.localdate()
    client = ClientFactory(name="Neap Records", email="office@neap.example")
    PaymentFactory(client=client, received_on=today - timedelta(days=80), amount=Decimal("12.50"))
    for days in (70, 40, 5):
        invoice = InvoiceFactory(client=client, dated=today - timedelta(days=days))
        InvoiceLineFactory(invoice=invoice)
    page = page_of("odile")

    page.goto(reverse("payments:account", args=[client.pk]))
    assert page.get_by_text("overdue", exact=True).count() == 2
    assert sideways(page) + barriers(page) == []
    page.get_by_role("link", name="Payment for Invoice 1").click()
    assert page.get_by_label("Amount").input_value() == "120.00"
    page.get_by_label("Reference").fill("NEAP 7")
    page.get_by_role("button", name="Save").click()

    assert page.get_by_text("120.00 GBP saved.").is_visible()
    page.get_by_role("link", name="Invoice 1").click()
    assert page.get_by_text("paid", exact=True).is_visible()
    assert page.get_by_text("NEAP 7").is_visible()
