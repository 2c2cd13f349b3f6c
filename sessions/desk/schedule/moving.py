"""Move a session from the schedule: what a drop would clash with, the move itself, and its undoing."""

from datetime import datetime
from functools import cached_property

from django import forms
from django.contrib import messages
from django.db.models import Model
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from gear.asked import way_back
from gear.editing.form_pages import edit_page
from sessions.bookings.actions import check_not_over, check_period
from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.clashes import BookingRefused, find_clashes
from sessions.bookings.fields import AllTheSameForm, QueueBehindField, StudioTimeField
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.moves.actions import UNDO_WITHIN, Swap, move_on_schedule, undo_move
from sessions.bookings.outside_hours import OutsideHoursError, outside_hours
from sessions.bookings.padding import usual_padding
from sessions.bookings.pages import above, session_of
from sessions.bookings.telling import Choices, telling
from sessions.desk.schedule.undoing import forget, keep, still_to_undo
from sessions.periods import Period, period_in_words, typed
from sessions.rooms.resources import KINDS

MAY_WAIT = "A hold may stand behind: put it there, and you are asked."
MODELS = {kind: model for model, kind in KINDS.items()}


class MoveForm(AllTheSameForm, forms.Form):
    """When a session is to be, and what it is to have in the place of what it has.

    `kind`, `old` and `new` come from a drop on another column, and are not typed.
    """

    starts_at = StudioTimeField(label="Starts")
    ends_at = StudioTimeField(label="Ends", help_text="The next session may start from then.")
    kind = forms.ChoiceField(
        choices=[(kind, kind) for kind in MODELS], required=False, widget=forms.HiddenInput
    )
    old = forms.IntegerField(required=False, widget=forms.HiddenInput)
    new = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, session: RecordingSession, **kwargs):
        super().__init__(*args, **kwargs)
        self.session = session
        if session.status == Status.HELD:
            self.fields["queue_behind"] = QueueBehindField()

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("starts_at") and cleaned.get("ends_at"):
            check_period(cleaned["starts_at"], cleaned["ends_at"])
            check_not_over(self.session.status, cleaned["ends_at"])
        return cleaned

    @cached_property
    def swap(self) -> Swap | None:
        """Reads both from the database. Raises BookingRefused where one is gone."""
        facts = [self.cleaned_data.get(name) for name in ("kind", "old", "new")]
        kind, old, new = facts
        if not all(facts) or old == new:
            return None
        found = MODELS[kind].objects.in_bulk([old, new])
        if len(found) < 2:
            raise BookingRefused("What it was to have instead is not there any more.")
        return Swap(found[old], found[new])

    def refuse(self, refusal: BookingRefused) -> None:
        """What is wrong with a room or a person stands above, since they have no field here."""
        by_field = getattr(refusal, "message_dict", {None: refusal.messages})
        for name, sentences in by_field.items():
            self.add_error(name if name in self.fields else None, sentences)
        if isinstance(refusal, OutsideHoursError):
            self.ask_all_the_same()

    def differences(self, current: RecordingSession) -> list[tuple[str, str, str]]:
        rows = [("Starts", current.starts_at, "starts_at"), ("Ends", current.ends_at, "ends_at")]
        pairs = [(label, typed(at), str(self[name].value())) for label, at, name in rows]
        return [row for row in pairs if row[1] != row[2]]


def move(request: HttpRequest, pk: int) -> HttpResponse:
    """Where a drop arrives, and what moves a session without dragging; its letters wait a minute."""
    session = session_of(request, pk)
    asked = {"starts_at": typed(session.starts_at), "ends_at": typed(session.ends_at)}
    form = MoveForm(request.POST or None, initial=asked, session=session)
    back = way_back(request, _day_of(session.starts_at))

    def save(version: int) -> RecordingSession:
        wanted = {name: form.cleaned_data[name] for name in ("starts_at", "ends_at")}
        ticked = {
            name: form.cleaned_data.get(name, False) for name in ("queue_behind", "all_the_same")
        }
        lapse_due(timezone.now())
        choices = Choices(not_before=timezone.now() + UNDO_WITHIN)
        with telling(by=request.user, choices=choices) as told:
            moved = move_on_schedule(
                session, version=version, swap=form.swap, **wanted, **ticked, by=request.user
            )
        keep(
            request,
            moved,
            words=f"“{session}” is now {period_in_words(*wanted.values())}.",
            letters=told.letters,
        )
        _warn(request, told.planned.unreachable)
        return session

    return edit_page(
        request,
        form,
        thing=session,
        save=save,
        compare=form.differences,
        title="Move",
        action="Move",
        then="Moved.",
        to=back,
        crumbs=above(session),
        template="sessions/desk/schedule/move.html",
        back=back,
        session=session,
    )


def _warn(request: HttpRequest, unreachable: list) -> None:
    if names := [each.reader.name for each in unreachable]:
        messages.warning(
            request,
            f"No e-mail address is known of {', '.join(names)}. Let them know another way.",
        )


def _day_of(at: datetime) -> str:
    return f"{reverse('schedule:day')}?day={timezone.localtime(at):%Y-%m-%d}"


@require_GET
def check(request: HttpRequest, pk: int) -> HttpResponse:
    """What a drop would clash with, asked while it is dragged: JSON of `when` and of `problems`,
    each a sentence. It reads, whatever it finds, the same number of queries."""
    session = session_of(request, pk)
    form = MoveForm(request.GET, session=session)
    if not form.is_valid():
        said = [sentence for sentences in form.errors.values() for sentence in sentences]
        return JsonResponse({"when": "", "problems": said})
    starts_at, ends_at = form.cleaned_data["starts_at"], form.cleaned_data["ends_at"]
    try:
        problems = _problems(session, starts_at, ends_at, form.swap)
    except BookingRefused as refusal:
        problems = refusal.messages
    return JsonResponse({"when": period_in_words(starts_at, ends_at), "problems": problems})


def _problems(
    session: RecordingSession, starts_at: datetime, ends_at: datetime, swap: Swap | None
) -> list[str]:
    """As the move itself would be refused, but that what is inside the session is not looked at."""
    wanted: dict[Model, Period] = {}
    for each in session.reservations.all():
        if swap and each.resource == swap.old:
            wanted[swap.new] = usual_padding(swap.new).around(starts_at, ends_at)
            continue
        period = each.padding.around(starts_at, ends_at)
        if not (each.starts_at <= period[0] and period[1] <= each.ends_at):
            wanted[each.resource] = period  # what stays within its time keeps its place
    clashes = find_clashes(wanted, ignoring=session) if session.takes_time else []
    missing = {each.resource for each in session.reservations.all() if each.missing}
    clashes = [each for each in clashes if each.resource not in missing]  # and stays so
    outside = {} if session.lockout else {each: [period] for each, period in wanted.items()}
    said = [str(each) for each in [*clashes, *outside_hours(outside)]]
    return [*said, MAY_WAIT] if clashes and session.status == Status.HELD else said


@require_POST
def undo(request: HttpRequest) -> HttpResponse:
    """Undo the last move; who has a letter waiting of it never gets it."""
    to_undo = still_to_undo(request)
    back = way_back(request, reverse("schedule:day"))
    if to_undo is None or str(to_undo.move.session) != request.POST.get("session"):
        messages.warning(request, "There is nothing to undo any more.")
        return redirect(back)
    try:
        session = undo_move(to_undo.move, by=request.user)
    except BookingRefused as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"Undone: “{session}” is {session.period_in_words} again.")
        forget(request)
    return redirect(back)
