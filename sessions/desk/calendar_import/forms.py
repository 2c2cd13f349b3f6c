from datetime import timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.clients.models import Project
from sessions.desk.calendar_import.child import events_in
from sessions.desk.calendar_import.importing import Wanted
from sessions.desk.calendar_import.matching import ALL_ROOMS, As, label_of
from sessions.desk.calendar_import.reading import LARGEST_CALENDAR, MOST_EVENTS, NotACalendar
from sessions.periods import days_in_words
from sessions.rooms.models import Room

DAY = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


class CalendarForm(forms.Form):
    """The file and the days that are wanted; once valid, `events`, how many `more` there
    are, and how many are `unread`."""

    file = forms.FileField(
        label="Calendar",
        help_text="An iCalendar file (.ics), as calendar programs export it. At most 3 MB.",
        widget=forms.FileInput(attrs={"accept": ".ics,text/calendar"}),
    )
    first = forms.DateField(label="From", widget=DAY)
    last = forms.DateField(label="To and including", widget=DAY)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        today = timezone.localdate()
        self.initial = {"first": today, "last": today + timedelta(days=180)} | self.initial

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > LARGEST_CALENDAR:
            raise ValidationError("This file is larger than 3 MB: export fewer days.")
        return file

    def clean(self):
        facts = super().clean()
        if self.errors:
            return facts
        if facts["last"] < facts["first"]:
            self.add_error("last", "This day is before the first.")
        elif facts["last"] - facts["first"] > timedelta(days=1100):
            self.add_error("last", "Import at most three years at a time.")
        else:
            try:
                found = events_in(facts["file"], facts["first"], facts["last"])
                self.events, self.more, self.unread = found
            except NotACalendar as problem:
                self.add_error("file", str(problem))
        return facts


class EventForm(forms.Form):
    """One event, and what becomes of it; once valid, `wanted` says it, or None to leave it out."""

    starts_at = forms.DateTimeField(widget=forms.HiddenInput)
    ends_at = forms.DateTimeField(widget=forms.HiddenInput)
    title = forms.CharField(max_length=120, required=False)
    kind = forms.ChoiceField(label="As", choices=As.choices)
    project = forms.CharField(
        required=False, widget=forms.TextInput(attrs={"list": "projects", "autocomplete": "off"})
    )
    room = forms.ChoiceField(required=False)

    def __init__(self, *args, rooms: list[Room], projects: dict[str, Project], **kwargs):
        super().__init__(*args, **kwargs)
        self.rooms, self.projects = {str(each.pk): each for each in rooms}, projects
        self.wanted = None
        choices = [("", "Choose …"), *((key, room.name) for key, room in self.rooms.items())]
        self.fields["room"].choices = [*choices, (ALL_ROOMS, "All rooms")]

    @property
    def cells(self) -> list:
        return [self[name] for name in ("title", "kind", "project", "room")]

    @property
    def when(self) -> str:
        return days_in_words(*self._period) if all(self._period) else ""

    @property
    def has_no_end(self) -> bool:
        """A moment, as RFC 5545 (3.6.1) has what names neither an end nor a length."""
        starts_at, ends_at = self._period
        return starts_at is not None and starts_at == ends_at

    @property
    def _period(self) -> list:
        ends = ("starts_at", "ends_at")
        try:
            return [self.fields[end].to_python(self[end].value()) for end in ends]
        except ValidationError:
            return [None, None]

    def clean(self):
        facts = super().clean()
        if self.errors or facts["kind"] == As.NOTHING:
            return facts
        is_block, project = facts["kind"] == As.BLOCK, self.projects.get(facts["project"])
        if not facts["title"]:
            self.add_error("title", "Say what it is.")
        if not facts["room"]:
            self.add_error("room", "Choose the room.")
        if not is_block and not facts["project"]:
            self.add_error("project", "Choose the project.")
        elif not is_block and project is None:
            self.add_error("project", "There is no such project here: choose one of the list.")
        if not self.errors:
            self.wanted = Wanted(
                title=facts["title"],
                period=(facts["starts_at"], facts["ends_at"]),
                rooms=self._rooms(facts["room"]),
                project=None if is_block else project,
                status=None if is_block else Status(facts["kind"]),
            )
        return facts

    def _rooms(self, chosen: str) -> tuple[Room, ...]:
        return tuple(self.rooms.values()) if chosen == ALL_ROOMS else (self.rooms[chosen],)


class TellForm(forms.Form):
    tell = forms.BooleanField(
        label="Write to clients and people whom the sessions concern",
        required=False,
        help_text="Without it nobody gets a letter about what was booked before.",
    )


EventForms = forms.formset_factory(
    EventForm, extra=0, max_num=MOST_EVENTS, absolute_max=MOST_EVENTS
)


def choices() -> dict:
    """Rooms, and projects as they are typed. Two queries."""
    projects = Project.objects.current().select_related("client")
    return {
        "rooms": list(Room.objects.current()),
        "projects": {label_of(project): project for project in projects},
    }
