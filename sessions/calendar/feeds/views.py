from hashlib import sha256

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import http_date, quote_etag
from django.views.decorators.http import require_POST, require_safe

from gear.asked import in_pages
from gear.editing.form_pages import trail
from gear.list_pages import csv_asked
from sessions.calendar.feeds.contents import feed_file, last_change
from sessions.calendar.feeds.forms import FeedForm
from sessions.calendar.feeds.models import FeedAddress
from sessions.calendar.feeds.tables import FeedTable
from sessions.links.opening import opened_by

MADE_JUST_NOW = "feed_made_just_now"


@require_safe
@opened_by(FeedAddress)
def calendar(request: HttpRequest, feed: FeedAddress) -> HttpResponse:
    """The feed, for a calendar program. One that has the newest already is told so (304)."""
    now = timezone.now()
    changed_at, file = last_change(now=now), feed_file(feed, now=now)
    etag = quote_etag(sha256(file).hexdigest())
    response = HttpResponse(file, content_type="text/calendar; charset=utf-8")
    response = get_conditional_response(
        request, etag=etag, last_modified=int(changed_at.timestamp()), response=response
    )
    response["ETag"] = etag
    response["Last-Modified"] = http_date(changed_at.timestamp())
    response["Cache-Control"] = "private, no-cache"
    return response


def feed_list(request: HttpRequest) -> HttpResponse:
    """The feeds that the user may see to. The address of a new one is shown here, once."""
    return csv_asked(request, _table_for(request)) or _list_page(
        request, FeedForm(user=request.user)
    )


def _table_for(request: HttpRequest) -> FeedTable:
    return FeedTable(FeedAddress.objects.visible_to(request.user).for_list())


def _list_page(request: HttpRequest, form: FeedForm) -> HttpResponse:
    context = {
        "table": in_pages(request, _table_for(request), 30),
        "form": form,
        "address": request.session.pop(MADE_JUST_NOW, ""),
    }
    return TemplateResponse(request, "sessions/calendar/feeds/feed_list.html", context)


@require_POST
def feed_create(request: HttpRequest) -> HttpResponse:
    form = FeedForm(request.POST, user=request.user)
    if not form.is_valid():
        return _list_page(request, form)
    feed, token = FeedAddress.make(
        by=request.user, expires_at=form.cleaned_data["until"], **form.chosen()
    )
    address = request.build_absolute_uri(reverse("feeds:calendar", args=[token]))
    request.session[MADE_JUST_NOW] = address
    messages.success(request, f"{feed} created.")
    return redirect("feeds:list")


def feed_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then revoke."""
    feeds = FeedAddress.objects.visible_to(request.user).for_list()
    feed = get_object_or_404(feeds, pk=pk)
    if request.method == "POST":
        feed.revoke(timezone.now())
        messages.success(request, f"{feed} revoked: its address no longer works.")
        return redirect("feeds:list")
    context = {"feed": feed, "crumbs": [*trail(("Calendar feeds", "feeds:list")), ("Revoke", "")]}
    return TemplateResponse(request, "sessions/calendar/feeds/feed_revoke.html", context)
