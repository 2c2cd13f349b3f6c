"""The pages of the studio’s own facts and its logo."""

from functools import partial

from django.conf import settings
from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.cache import get_conditional_response, patch_cache_control
from django.views.decorators.http import require_safe

from gear.editing.form_pages import edit_page, form_page, meanwhile_page, trail
from gear.editing.versions import EditedMeanwhile, version_in
from sessions.editing.presses import Press
from sessions.pictures.child import picture_in_child
from sessions.pictures.decoding import NotAPicture
from sessions.rooms.actions import set_logo
from sessions.rooms.forms import LogoForm, StudioForm
from sessions.rooms.models import Studio

ROOMS = ("Rooms", "rooms:list")
STUDIO = ("The studio", "rooms:studio")


def studio(request: HttpRequest) -> HttpResponse:
    """What the house says of itself; a page that is only looked at makes no row."""
    facts = Studio.to_edit() if request.method == "POST" else Studio.current()
    return edit_page(
        request,
        StudioForm(request.POST or None, instance=facts),
        crumbs=trail(ROOMS),
        title="The studio",
        then="Studio saved. It stands on what is made from now on.",
        to=reverse("rooms:studio"),
        template="sessions/rooms/studio.html",
        studio=facts,
        zone=settings.TIME_ZONE,
    )


@transaction.non_atomic_requests
def logo(request: HttpRequest) -> HttpResponse:
    """Upload a logo, or remove it. It is read before the transaction, which holds nothing slow."""
    if request.method != "POST":
        return _logo_page(request, LogoForm(), Studio.current())
    form, facts = LogoForm(request.POST, request.FILES), Studio.to_edit()
    picture = b""
    if form.is_valid() and not form.cleaned_data["remove"]:
        try:
            picture = picture_in_child(form.cleaned_data["picture"], taken_as="logo").content
        except NotAPicture as refusal:
            form.add_error("picture", str(refusal))
    if form.errors:
        return _logo_page(request, form, facts)
    try:
        with transaction.atomic():
            press = Press.objects.claim(request)
            set_logo(
                facts,
                version=version_in(request.POST.get("seen", "")),
                picture=picture,
                by=request.user,
            )
            messages.success(request, "Logo saved." if picture else "Logo removed.")
            press.keep_answer(request, reverse("rooms:studio"))
    except EditedMeanwhile as edited:
        page = partial(meanwhile_page, current=edited.current, compare=lambda saved: [])
        return _logo_page(request, form, edited.current, page=page)
    return redirect("rooms:studio")


def _logo_page(request, form: LogoForm, facts: Studio, *, page=None) -> HttpResponse:
    page = page or partial(form_page, seen=facts.version)
    return page(
        request,
        form,
        title="Logo",
        crumbs=trail(ROOMS, STUDIO),
        template="sessions/rooms/logo.html",
        studio=facts,
    )


@require_safe
def logo_picture(request: HttpRequest) -> HttpResponse:
    """As it is printed. Its address goes with the version, so that a new one is seen at once."""
    facts = Studio.current()
    if not facts.logo:
        raise Http404
    picture = HttpResponse(bytes(facts.logo), content_type="image/png")
    patch_cache_control(picture, private=True, no_cache=True)
    return get_conditional_response(request, etag=f'"{facts.version}"', response=picture)
