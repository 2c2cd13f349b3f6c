"""Quotes, work orders and invoices by their numbers: "7", "quote 7", "invoice 7 thole".

All kinds are named in the queries, because the numbers stand in an index behind them.
"""

from django.urls import reverse

from sessions.desk.search.words import Typed
from sessions.money.invoices.models import Invoice, InvoiceKind
from sessions.money.models import MoneyPaper, PaperKind
from sessions.recall.finding.hits import Hit, day_of, joined
from sessions.terms.currencies import figures


def papers(typed: Typed, user) -> list[Hit]:
    """The newest first, invoices before what they bill. Two queries, none where no number was typed."""
    if not typed.numbers or not user.has_perm("studio_sessions.see_money"):
        return []
    return [*_invoices(typed, user), *_money_papers(typed, user)]


def _invoices(typed: Typed, user) -> list[Hit]:
    invoices = Invoice.objects.visible_to(user).filter(
        kind__in=InvoiceKind.values, number__in=typed.numbers
    )
    return [
        Hit(
            str(each),
            joined(each.client, day_of(each.issued_at), _amount(each)),
            each.get_absolute_url(),
        )
        for each in invoices.select_related("client")
        if typed.is_in(each, each.client)
    ]


def _money_papers(typed: Typed, user) -> list[Hit]:
    found = MoneyPaper.objects.visible_to(user).filter(
        kind__in=PaperKind.values, number__in=typed.numbers
    )
    hits = []
    for each in found.select_related("session__project__client"):
        session, client = each.session, each.session.project.client
        if typed.is_in(each, session, session.project, client):
            said = joined(session, client, day_of(each.issued_at), _amount(each))
            hits.append(Hit(str(each), said, reverse("money:paper_pdf", args=[each.pk])))
    return hits


def _amount(paper: MoneyPaper | Invoice) -> str:
    return f"{figures(paper.total, paper.currency)} {paper.currency}"
