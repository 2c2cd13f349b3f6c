"""The page that a recipient opens by the link of a letter, without an account."""

from collections.abc import Callable

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sessions.deliverables.listening.models import LightCopy
from sessions.deliverables.listening.player import player_of, with_what_plays
from sessions.deliverables.listening.song_places import song_places
from sessions.deliverables.listening.views import light_copy_answer
from sessions.deliveries.letters import house
from sessions.deliveries.models import OPINIONS, DeliveryLink, EventKind
from sessions.deliveries.opening.forms import PasswordForm, ReceivedForm
from sessions.deliveries.opening.opinions import (
    keep_note,
    keep_verdict,
    mix_opinions,
    mixes_of,
    note_form,
    verdict_form,
    why_no_more,
)
from sessions.deliveries.opening.visits import Visit
from sessions.deliveries.packing.packs import pack_answer
from sessions.links.opening import opened_by
from sessions.papers.ranges import file_answer

TEMPLATES = "sessions/deliveries/opening"
OF_THE_HOUSE = "You are signed in as one of the house: say it on the page of what was sent."
BEGUN = (200, 206, 302)  # here, or where the storage has it


def _ended(request: HttpRequest, link: DeliveryLink) -> HttpResponse:
    """410: nothing of what was sent, but whom to ask."""
    delivery = link.recipient.delivery
    why = "expired"
    if delivery.withdrawn_at:
        why = "withdrawn"
    elif link.revoked_at:
        why = "replaced"
    context = {"delivery": delivery, "link": link, "why": why, **house()}
    return TemplateResponse(request, f"{TEMPLATES}/ended.html", context, status=410)


def _by_link(view: Callable) -> Callable:
    return cache_control(private=True, no_store=True)(opened_by(DeliveryLink, ended=_ended)(view))


def _during_visit(view: Callable) -> Callable:
    """For pages that nobody reaches before they pressed Open: they are sent there."""

    def visited(request: HttpRequest, link: DeliveryLink, **kwargs) -> HttpResponse:
        visit = Visit(request, link)
        if not visit.is_open:
            return redirect("deliveries:open", token=_token(request))
        return view(request, link, visit, **kwargs)

    return _by_link(visited)


def _token(request: HttpRequest) -> str:
    return request.resolver_match.kwargs["token"]


@require_http_methods(["GET", "HEAD", "POST"])
@_by_link
def page(request: HttpRequest, link: DeliveryLink) -> HttpResponse:
    """Behind a press of Open, and the password if there is one: what was sent."""
    visit, delivery = Visit(request, link), link.recipient.delivery
    if request.method == "POST" and visit.is_open:  # pressed twice
        return redirect(request.path)
    if request.method == "POST":
        form = PasswordForm(request.POST, link=link) if delivery.password else None
        if form and not form.is_valid():
            return _door(request, link, form)
        visit.begin()
        return redirect(request.path)
    if not visit.is_open:
        return _door(request, link, PasswordForm(link=link) if delivery.password else None)
    return _inside(request, link, visit)


def _door(request, link: DeliveryLink, form: PasswordForm | None) -> HttpResponse:
    context = {"delivery": link.recipient.delivery, "link": link, "form": form, **house()}
    throttled = form and form.is_bound and form.has_error("password", "throttled")
    return TemplateResponse(
        request, f"{TEMPLATES}/door.html", context, status=429 if throttled else 200
    )


def _inside(
    request, link: DeliveryLink, visit: Visit, receipt: Form | None = None, **refused
) -> HttpResponse:
    """`refused` is a form of `mix_opinions` that came back, with the `mix` that it is about."""
    recipient, delivery = link.recipient, link.recipient.delivery
    name, token = {"said_by": recipient.name}, _token(request)
    player = player_of(
        with_what_plays(delivery.files()),
        song=delivery.song,
        address_of=lambda file, light: (
            reverse("deliveries:open_file", args=[token, file.pk])
            + ("?listen=light" if light else "?listen")
        ),
    )
    context = {
        "delivery": delivery,
        "recipient": recipient,
        "link": link,
        "token": token,
        "files": delivery.files(),
        "player": player,
        "opinions": [
            opinion | (refused if refused.get("mix") == opinion["mix"] else {})
            for opinion in mix_opinions(delivery, player.places, name)
        ],
        "said": recipient.events.filter(kind__in=OPINIONS),
        "receipt": receipt or ReceivedForm(initial={"name": recipient.name}, auto_id="got_%s"),
        "is_counted": visit.is_counted,
        **house(),
    }
    return TemplateResponse(request, f"{TEMPLATES}/inside.html", context)


@require_safe
@_during_visit
def file(request: HttpRequest, link: DeliveryLink, visit: Visit, pk: int) -> HttpResponse:
    """A file as it was sent; `?listen` shows it to the player in place of saving it, or its light copy
    (`?listen=light`)."""
    sent = get_object_or_404(link.recipient.delivery.files(), pk=pk)
    listens = "listen" in request.GET
    if request.GET.get("listen") == "light":
        visit.note_listening(sent)
        return light_copy_answer(request, get_object_or_404(LightCopy.objects.made(), source=sent))
    try:
        answer = file_answer(
            request,
            sent.file,
            etag=f'"{sent.sha256}"',
            content_type=sent.format.content_type,
            filename=sent.original_name,
            as_attachment=not listens,
        )
    except FileNotFoundError as missing:
        raise Http404("The file is missing from the storage.") from missing
    if listens:
        visit.note_listening(sent)
    elif request.method == "GET" and answer.status_code in BEGUN and _from_the_start(request):
        visit.note(EventKind.DOWNLOADED, file=sent)
    return answer


def _from_the_start(request: HttpRequest) -> bool:
    """What goes on with a download is none of its own."""
    return request.headers.get("Range", "bytes=0-").startswith("bytes=0-")


@require_safe
@_during_visit
def pack(request: HttpRequest, link: DeliveryLink, visit: Visit) -> HttpResponse:
    """All files with a manifest and the papers that were promised, as one archive."""
    delivery = link.recipient.delivery
    answer = pack_answer(
        request,
        delivery.song,
        files=delivery.files(),
        title=f"{delivery.song}, {', '.join(map(str, delivery.deliverables.all()))}",
        papers=delivery.papers,
        page=f"{TEMPLATES}/base.html",
    )
    if request.method == "GET" and answer.streaming:
        visit.note(EventKind.DOWNLOADED)
    return answer


@require_POST
@_during_visit
def received(request: HttpRequest, link: DeliveryLink, visit: Visit) -> HttpResponse:
    """Somebody confirms, by name, that all of it came."""
    form = ReceivedForm(request.POST)
    if not _may_be_kept(form, visit):
        return _inside(request, link, visit, form)
    visit.note(EventKind.RECEIVED, said_by=form.cleaned_data["name"])
    return _thanks(request)


@require_POST
@_during_visit
def note(request: HttpRequest, link: DeliveryLink, visit: Visit, pk: int) -> HttpResponse:
    """Somebody says something about a place in a mix."""
    mix = get_object_or_404(mixes_of(link.recipient.delivery), pk=pk)
    form = note_form(mix, song_places(mix.song), data=request.POST)
    if not _may_be_kept(form, visit):
        return _inside(request, link, visit, mix=mix, note=form)
    keep_note(link.recipient, mix, form)
    return _thanks(request)


@require_POST
@_during_visit
def verdict(request: HttpRequest, link: DeliveryLink, visit: Visit, pk: int) -> HttpResponse:
    """Somebody approves a mix, or wants changes."""
    mix = get_object_or_404(mixes_of(link.recipient.delivery), pk=pk)
    form = verdict_form(mix, data=request.POST)
    if not _may_be_kept(form, visit):
        return _inside(request, link, visit, mix=mix, verdict=form)
    keep_verdict(link.recipient, mix, form)
    return _thanks(request)


def _may_be_kept(form: Form, visit: Visit) -> bool:
    reason = why_no_more(visit.recipient) if visit.is_counted else OF_THE_HOUSE
    if form.is_valid() and reason:
        form.add_error(None, reason)
    return form.is_valid()


def _thanks(request: HttpRequest) -> HttpResponse:
    messages.success(request, "Thank you: the studio has it.")
    return redirect("deliveries:open", token=_token(request))
