"""Pages of rate cards and their rates."""

from decimal import Decimal

from django.contrib import messages
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from gear.editing.form_pages import confirm_page, create_page, edit_page, trail
from gear.list_pages import csv_asked, list_page
from gear.tables import Listing
from sessions.rooms.models import HouseRules
from sessions.terms.currencies import figures, plain, rounded
from sessions.terms.forms import CardForm, RateForm
from sessions.terms.models import Rate, RateCard
from sessions.terms.price_words import rules_in_words
from sessions.terms.tables import CardTable

KINDS = {
    "room": "Room",
    "person": "Person",
    "gear_model": "Any of a model",
    "unit": "One unit",
}


CARDS = ("Rate cards", "terms:cards")
THINGS = ("room", "person", "unit__model", "gear_model")


def _rate(pk: int) -> Rate:
    return get_object_or_404(Rate.objects.select_related("card", *THINGS), pk=pk)


def card_list(request: HttpRequest) -> HttpResponse:
    cards = RateCard.objects.annotate(rate_count=Count("rates")).order_by("retired", "name")
    return list_page(request, CardTable(cards), "sessions/terms/card_list.html")


def card_create(request: HttpRequest) -> HttpResponse:
    """A new card starts with the house's currency and tax."""
    house = HouseRules.current()
    initial = {name: getattr(house, name) for name in ("currency", "tax_name", "tax_percent")}
    form = CardForm(request.POST or None, initial=initial)
    return create_page(request, form, title="New rate card", crumbs=trail(CARDS))


def card_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A card with its prices, and folded away what it names as free."""
    card = get_object_or_404(RateCard, pk=pk)
    rates = sorted(
        card.rates.select_related("card", *THINGS),
        key=lambda rate: (list(KINDS).index(rate.key[0]), str(rate.thing), rate.basis),
    )
    prices = Listing(f"Rates of {card}", RATE_COLUMNS, rates)
    if file := csv_asked(request, prices):
        return file
    context = {
        "card": card,
        "prices": prices,
        "rates": [_in_figures(rate, card) for rate in rates if rate.amount],
        "free": [_in_figures(rate, card) for rate in rates if not rate.amount],
        "rules": rules_in_words(card),
        "crumbs": [*trail(CARDS), (str(card), "")],
    }
    return TemplateResponse(request, "sessions/terms/card_detail.html", context)


RATE_COLUMNS = {
    "what it is for": lambda rate: rate.thing,
    "kind": lambda rate: KINDS[rate.key[0]],
    "basis": lambda rate: rate.get_basis_display(),
    "currency": lambda rate: rate.card.currency,
    "amount": lambda rate: rounded(rate.amount, rate.card.currency),
    "tax, per cent": lambda rate: _tax_percent(rate, rate.card),
}


def _tax_percent(rate: Rate, card: RateCard) -> Decimal:
    return card.tax_percent if rate.tax_percent is None else rate.tax_percent


def _in_figures(rate: Rate, card: RateCard) -> tuple[Rate, str, str, str]:
    """With its kind, its amount and its rate of tax."""
    percent = plain(_tax_percent(rate, card))
    return rate, KINDS[rate.key[0]], figures(rate.amount, card.currency), f"{percent} %"


def card_edit(request: HttpRequest, pk: int) -> HttpResponse:
    card = get_object_or_404(RateCard, pk=pk)
    return edit_page(
        request, CardForm(request.POST or None, instance=card), crumbs=trail(CARDS, card)
    )


def rate_create(request: HttpRequest, pk: int) -> HttpResponse:
    card = get_object_or_404(RateCard, pk=pk)
    form = RateForm(request.POST or None, instance=Rate(card=card))
    return create_page(request, form, title="New rate", crumbs=trail(CARDS, card), then=card)


def rate_edit(request: HttpRequest, pk: int) -> HttpResponse:
    rate = _rate(pk)
    form = RateForm(request.POST or None, instance=rate)
    return edit_page(request, form, crumbs=trail(CARDS, rate.card))


def rate_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Papers that were issued keep their own words, so a rate may go."""
    rate = _rate(pk)
    if request.method == "POST":
        rate.delete()
        messages.success(request, f"{rate} removed from the card.")
        return redirect(rate.card)
    return confirm_page(
        request,
        question=f"Remove “{rate}” from {rate.card}?",
        text="Quotes and work orders already issued stay as they are.",
        action="Remove rate",
        title="Remove rate",
        crumbs=trail(CARDS, rate.card),
    )
