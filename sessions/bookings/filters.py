from datetime import date, timedelta

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import Exists, OuterRef, Q
from django.forms import BoundField
from django.utils import timezone
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet, ModelChoiceFilter

from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.clients.models import Client, Person, Project
from sessions.clients.offered import newest, newest_projects
from sessions.periods import midnight
from sessions.rooms.models import Room

YEARS = [
    MinValueValidator(date(1950, 1, 1), "Check the year: it is too early."),
    MaxValueValidator(date(2150, 1, 1), "Check the year: it is too late."),
]
DAY = {
    "widget": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    "validators": YEARS,
}

SELDOM = {"since", "until", "person", "unit", "client", "project"}  # folded away until asked for


def _booked(model, kind: str):
    """Offer only what a session that the user may see has reserved: names are the house's business."""

    def offered(request):
        reservations = Reservation.objects.visible_to(request.user)
        return model.objects.filter(Exists(reservations.filter(**{kind: OuterRef("pk")})))

    return offered


def _clients(request):
    projects = Project.objects.visible_to(request.user)
    seen = Client.objects.filter(Exists(projects.filter(client=OuterRef("pk"))))
    return newest(seen, request, "client")


class SessionFilter(FilterSet):
    q = CharFilter(method="search", label="Title, project, artist or client")
    when = ChoiceFilter(
        method="in_time",
        label="When",
        choices=[("upcoming", "Current and upcoming"), ("past", "Past")],
        empty_label="All",
    )
    since = DateFilter(method="from_day", label="From", **DAY)
    until = DateFilter(method="to_day", label="To", **DAY)
    status = ChoiceFilter(choices=Status, empty_label="Any status")
    room = ModelChoiceFilter(
        queryset=_booked(Room, "room"),
        field_name="reservations__room",
        empty_label="Any room",
        label="Room",
    )
    person = ModelChoiceFilter(
        queryset=_booked(Person, "person"),
        field_name="reservations__person",
        empty_label="Anybody",
        label="Person",
    )
    unit = ModelChoiceFilter(
        queryset=lambda request: _booked(Unit, "unit")(request).select_related("model"),
        field_name="reservations__unit",
        empty_label="Any gear",
        label="Gear",
    )
    client = ModelChoiceFilter(
        queryset=_clients, field_name="project__client", empty_label="Any client", label="Client"
    )
    project = ModelChoiceFilter(queryset=newest_projects, empty_label="Any project")

    class Meta:
        model = RecordingSession
        fields = []

    @property
    def usual(self) -> list[BoundField]:
        return [field for field in self.form if field.name not in SELDOM]

    @property
    def seldom(self) -> list[BoundField]:
        return [field for field in self.form if field.name in SELDOM]

    @property
    def seldom_asked(self) -> bool:
        """Whether any of them narrows the list now, or is wrong."""
        return any(field.value() or field.errors for field in self.seldom)

    def search(self, sessions, name, words):
        return sessions.filter(
            Q(title__icontains=words)
            | Q(project__name__icontains=words)
            | Q(project__artist__icontains=words)
            | Q(project__client__name__icontains=words)
        )

    def in_time(self, sessions, name, when):
        now = timezone.now()
        return sessions.past(now) if when == "past" else sessions.upcoming(now)

    def from_day(self, sessions, name, day):
        return sessions.filter(ends_at__gt=midnight(day))

    def to_day(self, sessions, name, day):
        return sessions.filter(starts_at__lt=midnight(day + timedelta(days=1)))
