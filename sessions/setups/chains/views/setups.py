from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from gear.editing.form_pages import create_page, edit_page
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.forms import SetupForm
from sessions.setups.models import Setup


def crumbs_of(session: RecordingSession) -> list[tuple[str, str]]:
    return [
        (str(session), session.get_absolute_url()),
        ("Setups", reverse("setups:session", args=[session.pk])),
    ]


def setup_create(request: HttpRequest, pk: int) -> HttpResponse:
    """A new setup, after those that the session has."""
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    session = get_object_or_404(sessions, pk=pk)
    setup = Setup(session=session, position=session.setups.count() + 1)
    form = SetupForm(request.POST or None, instance=setup)
    return create_page(request, form, title="New setup", crumbs=crumbs_of(session))


def setup_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a setup's name, buffer or note."""
    setups = Setup.objects.visible_to(request.user).select_related("session__project")
    setup = get_object_or_404(setups, pk=pk)
    form = SetupForm(request.POST or None, instance=setup)
    return edit_page(request, form, crumbs=crumbs_of(setup.session))
