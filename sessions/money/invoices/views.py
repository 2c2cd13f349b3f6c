"""One invoice, deposit invoice or credit note, and the forms that issue them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import whole_number
from gear.editing.form_pages import form_page, trail
from sessions.bookings.pages import above
from sessions.clients.models import Client
from sessions.letters.models import Letter
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.money.invoices.actions import issue_credit_note, issue_deposit_invoice, issue_invoice
from sessions.money.invoices.crediting import lines_left
from sessions.money.invoices.drafting import InvoiceRefused, drafted_deposit
from sessions.money.invoices.forms import CreditForm, DepositForm, InvoiceForm
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.owed import check_deposit, draft_of_invoice
from sessions.money.invoices.sending import NothingToSend, send_invoice
from sessions.money.invoices.shown import shown
from sessions.money.models import MoneyPaper
from sessions.terms.currencies import figures, rounded

INVOICES = ("Invoices", "invoices:list")
CLIENTS = ("Clients", "clients:list")


def _invoice(request: HttpRequest, pk: int) -> Invoice:
    return get_object_or_404(Invoice.objects.visible_to(request.user).for_list(), pk=pk)


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    invoice = _invoice(request, pk)
    lines = list(invoice.lines.with_left().select_related("money_paper__session"))
    sessions = {line.money_paper.session for line in lines if line.money_paper}
    context = {
        "invoice": invoice,
        "shown": shown(invoice, lines),
        "sessions": sorted(sessions, key=lambda session: session.starts_at),
        "credit_notes": invoice.credit_notes.all(),
        "can_be_credited": not invoice.is_credit_note and any(line.left for line in lines),
        "letters": Letter.objects.about_thing(invoice).for_panel(request.user),
        "crumbs": [*trail(INVOICES), (str(invoice), "")],
    }
    return TemplateResponse(request, "sessions/money/invoices/invoice.html", context)


def create(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose what is billed to a client, see what the invoice will say, and issue it. `?paper=` names
    what is chosen at first; else it is all that is to be billed."""
    client = get_object_or_404(Client, pk=pk)
    asked = {key for key in map(whole_number, request.GET.getlist("paper")) if key}
    form = InvoiceForm(client, request.POST or None, asked=asked)
    draft = None
    if not form.is_bound or form.is_valid():
        try:
            if request.POST.get("do") == "issue":
                invoice = issue_invoice(client, **form.what, by=request.user)
                messages.success(request, f"{invoice} issued.")
                return redirect(invoice)
            draft = draft_of_invoice(client, **form.what)
        except InvoiceRefused as refusal:
            form.refuse(refusal)
    return form_page(
        request,
        form,
        title="New invoice",
        crumbs=trail(CLIENTS, client),
        template="sessions/money/invoices/create.html",
        draft=draft and shown(draft.invoice, draft.lines),
    )


def deposit(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the deposit of a quote."""
    quotes = MoneyPaper.objects.visible_to(request.user)
    quote = get_object_or_404(quotes.select_related("session__project__client"), pk=pk)
    session = quote.session
    usual = {}
    try:
        check_deposit(quote)
        usual_amount = quote.deposit or quote.total
        usual = {
            "amount": rounded(usual_amount, quote.currency),
            "due_on": drafted_deposit(quote, amount=usual_amount).invoice.due_on,
        }
    except InvoiceRefused as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("money:session", session.pk)
    form = DepositForm(request.POST or None, initial=usual)
    if form.is_bound and form.is_valid():
        try:
            invoice = issue_deposit_invoice(quote, **form.cleaned_data, by=request.user)
        except InvoiceRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{invoice} issued.")
            return redirect(invoice)
    total = f"{figures(quote.total, quote.currency)} {quote.currency}"
    form.fields["amount"].help_text = f"Of {quote}, which comes to {total}."
    return form_page(
        request,
        form,
        title=f"Deposit for {quote}",
        action="Issue deposit invoice",
        crumbs=[*above(session), ("Money", reverse("money:session", args=[session.pk]))],
    )


def credit(request: HttpRequest, pk: int) -> HttpResponse:
    """Credit an invoice, whole or in part."""
    invoice = _invoice(request, pk)
    lines = [] if invoice.is_credit_note else lines_left(invoice)
    if not lines:
        messages.error(request, f"Nothing is left to credit of {invoice}.")
        return redirect(invoice)
    form = CreditForm(lines, request.POST or None)
    if form.is_bound and form.is_valid():
        try:
            note = issue_credit_note(
                invoice, amounts=form.amounts, note=form.cleaned_data["note"], by=request.user
            )
        except InvoiceRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{note} issued.")
            return redirect(note)
    return form_page(
        request,
        form,
        title=f"Credit {invoice}",
        action="Issue credit note",
        crumbs=trail(INVOICES, invoice),
    )


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    """To the client by e-mail, with the paper."""
    invoice = _invoice(request, pk)
    try:
        with warning_of_unsent_letters(request):
            [letter] = send_invoice(invoice, by=request.user)
    except NothingToSend as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"{invoice} goes to {letter.to}.")
    return redirect(invoice)
