"""How a client stands with the studio: what is open, and a statement of any period."""

from decimal import Decimal

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from gear.asked import way_back
from gear.comma_separated import csv_answer
from sessions.clients.models import Client
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.money.invoices.models import Invoice
from sessions.money.payments.accounts import accounts_of
from sessions.money.payments.actions import use_credit
from sessions.money.payments.forms import PeriodForm, period_of
from sessions.money.payments.letters import remind, reminded_on, send_statement
from sessions.money.payments.papers import statement_pdf
from sessions.money.payments.statement import Move, Statement, currencies_of, statement
from sessions.money.payments.views import account_crumbs
from sessions.papers.pdf import PaperSize
from sessions.terms.currencies import figures, rounded


def account(request: HttpRequest, pk: int) -> HttpResponse:
    """The accounts by currency, and the statement of a period in one of them."""
    client = get_object_or_404(Client, pk=pk)
    accounts = accounts_of(client, today := timezone.localdate())
    found, form = _asked(request, client)
    invoices = [invoice for each in accounts for invoice in each.open]
    context = {
        "client": client,
        "accounts": accounts,
        "reminded": reminded_on([invoice.pk for invoice in invoices]),
        "today": today,
        "statement": found,
        "form": form,
        "crumbs": [*account_crumbs(client)[:-1], ("Account", "")],
        "query": f"currency={found.currency}&since={found.since}&until={found.until}"
        if found
        else "",
    }
    return TemplateResponse(request, "sessions/money/payments/account.html", context)


def _asked(request: HttpRequest, client: Client) -> tuple[Statement | None, PeriodForm]:
    """None while nothing was ever asked of the client or paid by them."""
    form, since, until = period_of(request)
    currencies = currencies_of(client)
    if not currencies:
        return None, form
    wanted = request.GET.get("currency")
    currency = wanted if wanted in currencies else currencies[0]
    return statement(client, currency, since=since, until=until), form


@require_POST
def credit(request: HttpRequest, pk: int) -> HttpResponse:
    """All that is free goes to what fell due first."""
    client = get_object_or_404(Client, pk=pk)
    currency = request.POST.get("currency", "")
    if currency in currencies_of(client):
        used = use_credit(client, currency=currency, by=request.user)
        messages.success(request, f"{figures(used, currency)} {currency} of credit used.")
    return redirect("payments:account", pk)


@require_safe
def pdf(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    found, _ = _asked(request, client)
    if found is None:
        return redirect("payments:account", pk)
    wanted = request.GET.get("paper", "")
    size = PaperSize(wanted) if wanted in set(PaperSize) else PaperSize.A4
    content = statement_pdf(found, printed_at=timezone.now(), size=size)
    named = {"Content-Disposition": f'inline; filename="{_name(found)}.pdf"'}
    return HttpResponse(content, content_type="application/pdf", headers=named)


@require_safe
def csv(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    found, _ = _asked(request, client)
    if found is None:
        return redirect("payments:account", pk)
    head = ("on", "what", "currency", "amount", "balance")
    rows = (
        (move.on, str(move.thing).lower(), found.currency, *_figures(move, found.currency))
        for move in found.moves
    )
    return csv_answer(f"{_name(found)}.csv", head, rows)


def _figures(move: Move, currency: str) -> tuple[Decimal, Decimal]:
    return rounded(move.amount, currency), rounded(move.balance, currency)


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    """The statement that the page shows, to the client by e-mail."""
    client = get_object_or_404(Client, pk=pk)
    found, _ = _asked(request, client)
    if found is not None:
        _write(request, lambda: send_statement(found, by=request.user), what="The statement")
    return redirect(f"{reverse('payments:account', args=[pk])}?{request.GET.urlencode()}")


@require_POST
def reminder(request: HttpRequest, pk: int) -> HttpResponse:
    """Of an overdue invoice, to its client by e-mail."""
    invoice = get_object_or_404(Invoice.objects.charging().select_related("client"), pk=pk)
    _write(request, lambda: remind(invoice, by=request.user), what="The reminder")
    return redirect(way_back(request, reverse("payments:account", args=[invoice.client_id])))


def _write(request: HttpRequest, write, *, what: str) -> None:
    try:
        with warning_of_unsent_letters(request):
            [letter] = write()
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"{what} goes to {letter.to}.")


def _name(found: Statement) -> str:
    return slugify(f"statement {found.client} {found.since} {found.until}")
