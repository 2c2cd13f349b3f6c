"""An invoice as it is put together: what it would say stands beside what is chosen, and is issued."""

import pytest

from sessions.money.invoices.models import Invoice
from tests.factories import ProjectFactory
from tests.sessions.money.invoices.billed import work_order

pytestmark = pytest.mark.browser


def test_what_an_invoice_would_say_follows_what_is_chosen(page_of, manager):
    project = ProjectFactory()
    for title, hours in (("Brass", 4), ("Strings", 6)):
        work_order(by=manager, project=project, title=title, hours=hours)
    page = page_of(manager.username)
    page.goto(f"/clients/{project.client_id}/invoices/new/")
    draft = page.locator("#draft")
    assert "540.00" in draft.inner_text()

    page.get_by_label("Strings").uncheck()
    draft.get_by_text("216.00").wait_for()
    page.get_by_text("Other lines").click()
    page.get_by_label("Other line").first.fill("A disk")
    page.get_by_label("Amount before tax").first.fill("60")
    page.get_by_label("Amount before tax").first.press("Tab")
    draft.get_by_text("288.00").wait_for()
    page.get_by_role("button", name="Issue invoice").click()

    page.get_by_text("Invoice 1 issued.").wait_for()
    assert f"{Invoice.objects.get().total}" == "288.00"
