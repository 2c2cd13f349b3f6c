from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from gear.editing.form_pages import create_page, edit_page, trail
from gear.list_pages import list_page
from sessions.clients.models import Person
from sessions.rooms.actions import set_hours
from sessions.rooms.forms import HoursForm, HouseRulesForm, RoomForm
from sessions.rooms.hours import hours_of, week_in_words
from sessions.rooms.models import HouseRules, Room
from sessions.rooms.tables import RoomTable

ROOMS = ("Rooms", "rooms:list")
HOURS = ("Hours", "rooms:hours")


def rooms(request: HttpRequest) -> HttpResponse:
    table = RoomTable(Room.objects.order_by("retired", "name"))
    return list_page(request, table, "sessions/rooms/rooms.html")


def room_create(request: HttpRequest) -> HttpResponse:
    form = RoomForm(request.POST or None)
    return create_page(request, form, title="New room", crumbs=trail(ROOMS), then="rooms:list")


def room_edit(request: HttpRequest, pk: int) -> HttpResponse:
    room = get_object_or_404(Room, pk=pk)
    return edit_page(request, RoomForm(request.POST or None, instance=room), crumbs=trail(ROOMS))


def house_rules(request: HttpRequest) -> HttpResponse:
    rules = HouseRules.to_edit() if request.method == "POST" else HouseRules.current()
    form = HouseRulesForm(request.POST or None, instance=rules)
    crumbs, then = trail(ROOMS), "House rules saved."
    return edit_page(
        request,
        form,
        crumbs=crumbs,
        title="House rules",
        then=then,
        template="sessions/rooms/house_rules.html",
    )


def hours(request: HttpRequest) -> HttpResponse:
    """When each room is open and each bookable person works."""
    rooms, people = list(Room.objects.current()), list(Person.objects.bookable())
    weeks = hours_of([*rooms, *people])
    context = {
        "rooms": [(room, week_in_words(weeks[room])) for room in rooms],
        "people": [(person, week_in_words(weeks[person])) for person in people],
    }
    return TemplateResponse(request, "sessions/rooms/hours.html", context)


def room_hours(request: HttpRequest, pk: int) -> HttpResponse:
    return _hours_page(request, get_object_or_404(Room, pk=pk), "Opening hours")


def person_hours(request: HttpRequest, pk: int) -> HttpResponse:
    return _hours_page(request, get_object_or_404(Person, pk=pk), "Working hours")


def _hours_page(request: HttpRequest, resource: Room | Person, what: str) -> HttpResponse:
    """The week of hours, on which the version of the room or person counts too."""
    form = HoursForm(request.POST or None, hours=hours_of([resource])[resource])
    return edit_page(
        request,
        form,
        thing=resource,
        save=lambda version: set_hours(
            resource, version=version, hours=form.cleaned_data["hours"], by=request.user
        ),
        compare=lambda current: form.differences(hours_of([current])[current]),
        title=f"{what} of {resource}",
        then=f"Hours of {resource} saved.",
        crumbs=trail(HOURS),
        template="sessions/rooms/week.html",
    )
