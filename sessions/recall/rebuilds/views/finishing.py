from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from gear.comma_separated import csv_answer
from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Status
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.recall.models import Rebuild
from sessions.recall.rebuilds.actions import (
    RebuildRefused,
    finish_in_new_session,
    finish_rebuild,
)
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.forms import FinishForm
from sessions.recall.rebuilds.rebuild_csv import COLUMNS, csv_rows
from sessions.recall.rebuilds.report import rebuild_report
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of
from sessions.setups.chains.actions import OutOfService
from sessions.setups.models import Setup


@asks_who_is_told
def finish(request: HttpRequest, pk: int, status: str = "") -> HttpResponse:
    """Keep what was set up as a setup of a session: of one that there is, or, with a `status`, of a
    new one, booked or asked for."""
    rebuild = rebuild_of(request, pk)
    if rebuild.is_finished:
        return redirect("rebuild:report", rebuild.pk)
    form = FinishForm(request.POST or None, rebuild=rebuild, user=request.user, status=status)
    if request.method == "POST" and form.is_valid():
        try:
            with asking(request):
                setup = _finish(rebuild, form, by=request.user)
        except RebuildRefused as refusal:
            form.add_error(None, str(refusal))
        except OutOfService as refusal:
            form.add_error(
                None,
                f"{refusal} Units are chosen on the rebuild’s page of units; nothing was saved.",
            )
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, _finished(setup))
            return redirect("rebuild:report", rebuild.pk)
    context = {
        "form": form,
        "rebuild": rebuild,
        "checklist": checklist_of(rebuild),
        "back": rebuild.get_absolute_url(),
        "crumbs": crumbs_of(rebuild, "Finish"),
    }
    page_status = 422 if form.is_bound else 200
    return TemplateResponse(
        request, "sessions/recall/rebuilds/finish.html", context, status=page_status
    )


def _finish(rebuild: Rebuild, form: FinishForm, *, by) -> Setup:
    if form.status:
        lapse_due(timezone.now())  # time that a hold gave up may be booked
        return finish_in_new_session(rebuild, **form.booking(), by=by)
    facts = form.cleaned_data
    return finish_rebuild(rebuild, session=facts["session"], note=facts["note"], by=by)


def _finished(setup: Setup) -> str:
    said = f"Saved as the setup “{setup}” of {setup.session}."
    if setup.session.status == Status.ENQUIRY:
        said += " The session is an enquiry until a manager confirms it: it reserves nothing."
    return said


def report(request: HttpRequest, pk: int) -> HttpResponse:
    """What the rebuild differs in from what was logged."""
    rebuild = rebuild_of(request, pk)
    context = {
        "rebuild": rebuild,
        "report": rebuild_report(checklist_of(rebuild)),
        "crumbs": crumbs_of(rebuild, "Report"),
    }
    return TemplateResponse(request, "sessions/recall/rebuilds/report.html", context)


@require_safe
def report_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """Every control, with what was logged and how it was set."""
    rebuild = rebuild_of(request, pk)
    rows = csv_rows(checklist_of(rebuild))
    return csv_answer(f"rebuild-{slugify(rebuild.song)}.csv", list(COLUMNS), rows)
