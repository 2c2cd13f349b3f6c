from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django_tables2 import RequestConfig

from sessions.bookings.clashes import BookingRefused
from sessions.bookings.house.actions import (
    change_block,
    hours_version,
    lift_block,
    make_block,
    set_hours,
)
from sessions.bookings.house.filters import BlockFilter
from sessions.bookings.house.forms import BlockForm, HoursForm
from sessions.bookings.house.hours import hours_of, week_in_words
from sessions.bookings.house.models import Block, WeeklyHours
from sessions.bookings.house.tables import BlockTable
from sessions.bookings.models import Room
from sessions.bookings.notices import saying_who_was_not_told
from sessions.clients.models import Person
from sessions.editing.form_pages import Meanwhile, form_page
from sessions.editing.versions import EditedMeanwhile, both_versions, version_in


def _above(*pages: str) -> list[tuple[str, str]]:
    names = {"house:hours": "Hours", "house:blocks": "Blocks"}
    sessions = ("Sessions", reverse("bookings:list"))
    return [sessions, *((names[page], reverse(page)) for page in pages)]


def hours(request: HttpRequest) -> HttpResponse:
    """When each room is open and each bookable person works."""
    rooms, people = list(Room.objects.current()), list(Person.objects.bookable())
    weeks = hours_of([*rooms, *people])
    context = {
        "rooms": [(room, week_in_words(weeks[room])) for room in rooms],
        "people": [(person, week_in_words(weeks[person])) for person in people],
        "crumbs": [*_above(), ("Hours", "")],
    }
    return TemplateResponse(request, "sessions/bookings/house/hours.html", context)


def room_hours(request: HttpRequest, pk: int) -> HttpResponse:
    return _hours_page(request, get_object_or_404(Room, pk=pk), "Opening hours")


def person_hours(request: HttpRequest, pk: int) -> HttpResponse:
    return _hours_page(request, get_object_or_404(Person, pk=pk), "Working hours")


def _hours_page(request: HttpRequest, resource: Room | Person, what: str) -> HttpResponse:
    """Save the week; where somebody else saved another meanwhile, show both."""
    seen = request.POST.get("seen") or hours_version(resource)
    form = HoursForm(request.POST or None, hours=hours_of([resource])[resource])
    meanwhile = None
    if form.is_bound and form.is_valid():
        try:
            set_hours(resource, hours=form.cleaned_data["hours"], seen=seen, by=request.user)
        except EditedMeanwhile:
            seen = hours_version(resource)
            came_first = WeeklyHours.history.get(history_id=seen)
            meanwhile = Meanwhile(came_first, form.differences(hours_of([resource])[resource]))
        else:
            messages.success(request, f"The hours of {resource} are saved.")
            return redirect("house:hours")
    return form_page(
        request,
        form,
        title=f"{what} of {resource}",
        crumbs=_above("house:hours"),
        seen=seen,
        meanwhile=meanwhile,
        template="sessions/bookings/house/week.html",
    )


def blocks(request: HttpRequest) -> HttpResponse:
    """Blocks now and to come, the next first, unless the filter says otherwise."""
    asked = request.GET.copy()
    asked.setdefault("when", "upcoming")
    found = BlockFilter(asked, Block.objects.visible_to(request.user).for_list(), request=request)
    table = BlockTable(found.qs, order_by="-starts_at" if asked["when"] == "past" else "starts_at")
    RequestConfig(request, paginate={"per_page": 30}).configure(table)
    context = {"filter": found, "table": table, "crumbs": [*_above(), ("Blocks", "")]}
    return TemplateResponse(request, "sessions/bookings/house/blocks.html", context)


def block_create(request: HttpRequest) -> HttpResponse:
    """Block time; the address may name a room, a person or a unit, and from when to when."""
    form = BlockForm(request.POST or None, initial=_wanted(request.GET))
    if form.is_bound and form.is_valid():
        try:
            block = make_block(**form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"{block} is blocked: {block.period_in_words}.")
            return redirect(block)
    return form_page(request, form, title="Block time", crumbs=_above("house:blocks"))


def _wanted(asked) -> dict:
    return {
        "kind": asked.get("kind"),
        "starts_at": asked.get("starts"),
        "ends_at": asked.get("ends"),
        "rooms": asked.getlist("room"),
        "people": asked.getlist("person"),
        "units": asked.getlist("unit"),
    }


def block_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Save the change; where somebody else saved meanwhile, show both versions."""
    block = _block_of(request, pk)
    title, seen = f"Edit {block}", request.POST.get("seen", str(block.version))
    meanwhile = None
    form = BlockForm(request.POST or None, instance=block)
    if form.is_bound and form.is_valid():
        try:
            with saying_who_was_not_told(request):
                change_block(block, version=version_in(seen), **form.cleaned_data, by=request.user)
        except EditedMeanwhile as edited:
            meanwhile = Meanwhile.of(edited.current, both_versions(form, edited.current))
            seen = str(edited.current.version)
        except BookingRefused as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"{block} is saved.")
            return redirect(block)
    return form_page(
        request,
        form,
        title=title,
        crumbs=_above("house:blocks"),
        seen=seen,
        meanwhile=meanwhile,
    )


def block_lift(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then give the time back."""
    block = _block_of(request, pk)
    if request.method == "POST":
        with saying_who_was_not_told(request):
            lift_block(block, by=request.user)
        messages.success(request, f"{block} is lifted: its time may be booked.")
        return redirect(block)
    context = {
        "lifting": block,
        "question": f"Lift “{block}”, {block.period_in_words}?",
        "text": "What it keeps may be booked again, and holds behind it move up.",
        "crumbs": [*_above("house:blocks"), ("Lift", "")],
    }
    return TemplateResponse(request, "sessions/bookings/house/block_lift.html", context)


def _block_of(request: HttpRequest, pk: int) -> Block:
    """One that still stands: what is lifted is on record only."""
    standing = Block.objects.visible_to(request.user).filter(lifted=False)
    return get_object_or_404(standing.for_list(), pk=pk)
