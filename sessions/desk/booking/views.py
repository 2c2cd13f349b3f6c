from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import way_back, whole_number
from gear.editing.form_pages import edit_page, form_page
from gear.editing.versions import version_in
from sessions.bookings.actions import book_session, change_session
from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession
from sessions.bookings.pages import above, session_of
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.clients.models import Project
from sessions.desk.booking.actions import project_for
from sessions.desk.booking.alternatives import with_alternative
from sessions.desk.booking.forms import NewSessionForm, SessionForm
from sessions.desk.booking.known import clients_named, projects_named
from sessions.desk.booking.live import live_of
from sessions.desk.booking.offers import usual_hours
from sessions.desk.booking.project_forms import NewProjectFields
from sessions.desk.booking.wanted import wanted_by

FORM = "sessions/desk/booking/form.html"
SHOWN_ONLY = {"take", "check"}  # buttons that save nothing


@asks_who_is_told
def session_create(request: HttpRequest) -> HttpResponse:
    """Book; the address may name the project or client, what is wanted and from when, as other pages
    do."""
    form = NewSessionForm(with_alternative(request.POST) or None, initial=wanted_by(request.GET))
    live = live_of(form) if form.is_bound else None
    if form.is_bound and not SHOWN_ONLY & request.POST.keys() and form.is_valid():
        lapse_due(timezone.now())  # time that a hold gave up may be booked
        wanted = form.wanted
        try:
            with asking(request):
                project = _project(wanted, by=request.user)
                session = book_session(project, **wanted, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{session} booked: {session.standing}.")
            return redirect(way_back(request, session.get_absolute_url()))
    return form_page(
        request,
        form,
        title="Book a session",
        action="Book",
        crumbs=above(),
        back=way_back(request, above()[-1][1]),
        template=FORM,
        live=live,
        alternatives=live.alternatives if live else [],
        usual_hours=usual_hours(),
    )


def _project(wanted: dict, *, by) -> Project:
    """Takes out of `wanted` what says whom it is for."""
    asked = {name: wanted.pop(name) for name in NewProjectFields.NEW}
    return project_for(wanted.pop("project"), **asked, by=by)


@asks_who_is_told
def session_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Save the change, or first fill in an alternative that was taken."""
    session = session_of(request, pk)
    form = SessionForm(with_alternative(request.POST) or None, instance=session)
    live = live_of(form, session) if form.is_bound else None
    page = {"crumbs": above(session), "template": FORM, "live": live, "session": session}
    page["alternatives"] = live.alternatives if live else []
    if SHOWN_ONLY & request.POST.keys():
        seen = version_in(request.POST.get("seen", ""))
        return form_page(request, form, title=f"Edit {session}", seen=seen, **page)

    def save(version: int) -> RecordingSession:
        lapse_due(timezone.now())
        wanted = form.wanted
        with asking(request):
            wanted["project"] = _project(wanted, by=request.user)
            return change_session(session, version=version, **wanted, by=request.user)

    return edit_page(request, form, save=save, **page)


def live(request: HttpRequest) -> HttpResponse:
    """What stands beside the form, of what is filled in so far; `session` is the one that is edited.
    The form asks for it, and nothing is saved."""
    session = None
    if key := whole_number(request.GET.get("session")):
        session = session_of(request, key)
    form = SessionForm(request.GET, instance=session) if session else NewSessionForm(request.GET)
    context = {"live": live_of(form, session), "form": form}
    return TemplateResponse(request, "sessions/desk/booking/_live.html", context)


def known(request: HttpRequest) -> HttpResponse:
    """Projects, or clients, that have what was typed: as choices for the field that asks."""
    typed = request.GET.get("q", "")[:120]
    if request.GET.get("of") == "clients":
        context = {"clients": clients_named(typed)}
    else:
        context = {"projects": projects_named(typed)}
    return TemplateResponse(request, "sessions/desk/booking/_known.html", context)
