from django.contrib import messages
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.editing.form_pages import edit_page, form_page
from gear.editing.versions import differences
from sessions.bookings.actions import change_credit
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Attendance, Credit, RecordingSession, Release
from sessions.bookings.musicians.actions import (
    MAY_COME,
    PRESSES,
    change_attendance,
    credit_by_parts,
    log_release,
    recorded_parts,
    remove_attendance,
    sign_release,
    write_attendance,
)
from sessions.bookings.musicians.forms import (
    AttendanceForm,
    CreditForm,
    NewAttendanceForm,
    ReleaseEditForm,
    ReleaseForm,
)
from sessions.bookings.musicians.lines import musicians_of
from sessions.bookings.musicians.musicians_csv import HEAD, rows
from sessions.bookings.musicians.release import release_statement, songs_covered
from sessions.bookings.pages import above, session_alone
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.clients.models import Person
from sessions.signing.forms import SignatureForm

TEMPLATES = "sessions/bookings/musicians"


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """Who plays what, when they came and went, what they signed."""
    session = session_alone(request, pk)
    lines = musicians_of(session)
    credited = {line.person for line in lines if line.credits}
    context = {
        "session": session,
        "lines": lines,
        "can_press": session.status in MAY_COME,
        "uncredited": [part for part in recorded_parts(session) if part.performer not in credited],
        "crumbs": [*above(session), ("Musicians", "")],
    }
    return TemplateResponse(request, f"{TEMPLATES}/session.html", context)


@require_safe
def session_csv(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """A row for each stretch that a musician was there, and for each who has none."""
    session = session_alone(request, pk)
    name = f"{slugify(f'Musicians: {session}', allow_unicode=True)}.csv"
    return csv_answer(name, HEAD, rows(session, musicians_of(session)))


@require_POST
def press(request: HttpRequest, pk: int) -> HttpResponse:
    """In, break, back or out, now."""
    session = session_alone(request, pk)
    verb = PRESSES.get(request.POST.get("verb", ""))
    person = Person.objects.filter(
        pk=whole_number(request.POST.get("person", "")), credits__session=session
    ).first()
    if not (verb and person):
        messages.error(request, "Nothing was logged: choose a musician of this session.")
        return redirect("musicians:session", session.pk)
    try:
        verb(session, person=person, at=timezone.now(), by=request.user)
    except BookingRefused as refusal:
        messages.error(request, " ".join(refusal.messages))
    return redirect(f"{reverse('musicians:session', args=[session.pk])}#musician-{person.pk}")


@require_POST
def by_parts(request: HttpRequest, pk: int) -> HttpResponse:
    session = session_alone(request, pk)
    added = credit_by_parts(session, by=request.user)
    said = (
        f"{added} part{'' if added == 1 else 's'} added to credits."
        if added
        else (
            "No part to add: none that was recorded here names one of these musicians as its performer."
        )
    )
    messages.success(request, said)
    return redirect("musicians:session", session.pk)


def _page_of(session: RecordingSession) -> tuple[str, str]:
    return "Musicians", reverse("musicians:session", args=[session.pk])


@asks_who_is_told
def attendance_create(request: HttpRequest, pk: int) -> HttpResponse:
    """A call that is planned, or times that were kept on paper."""
    session = session_alone(request, pk)
    asked = {"person": request.GET.get("person"), "called_at": session.starts_at}
    form = NewAttendanceForm(request.POST or None, session=session, initial=asked)
    if form.is_bound and form.is_valid():
        try:
            with asking(request):
                made = write_attendance(session, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{made} saved.")
            return redirect("musicians:session", session.pk)
    return form_page(
        request, form, title="Call, in and out", crumbs=[*above(session), _page_of(session)]
    )


def _attendance_of(request: HttpRequest, pk: int) -> Attendance:
    sessions = RecordingSession.objects.visible_to(request.user)
    return get_object_or_404(
        Attendance.objects.for_list().select_related("session"), pk=pk, session__in=sessions
    )


@asks_who_is_told
def attendance_edit(request: HttpRequest, pk: int) -> HttpResponse:
    attendance = _attendance_of(request, pk)
    form = AttendanceForm.filled_with(attendance, request.POST or None)

    def save(version: int) -> Attendance:
        with asking(request):
            return change_attendance(
                attendance, version=version, **form.cleaned_data, by=request.user
            )

    return edit_page(
        request,
        form,
        thing=attendance,
        save=save,
        compare=lambda current: differences(form, AttendanceForm.filled_with(current)),
        title=f"{attendance}",
        crumbs=[*above(attendance.session), _page_of(attendance.session)],
    )


@require_POST
@asks_who_is_told
def attendance_remove(request: HttpRequest, pk: int) -> HttpResponse:
    attendance = _attendance_of(request, pk)
    with asking(request):
        remove_attendance(attendance, by=request.user)
    messages.success(request, f"{attendance} removed.")
    return redirect("musicians:session", attendance.session_id)


def _credit_of(request: HttpRequest, pk: int) -> Credit:
    sessions = RecordingSession.objects.visible_to(request.user)
    credits = Credit.objects.for_list().select_related("session__project")
    return get_object_or_404(credits, pk=pk, session__in=sessions)


@asks_who_is_told
def credit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    credit = _credit_of(request, pk)
    form = CreditForm(request.POST or None, instance=credit)

    def save(version: int) -> Credit:
        with asking(request):
            return change_credit(credit, version=version, **form.cleaned_data, by=request.user)

    return edit_page(
        request,
        form,
        save=save,
        title=f"Credit of {credit.person}",
        crumbs=[*above(credit.session), _page_of(credit.session)],
    )


def release_log(request: HttpRequest, pk: int) -> HttpResponse:
    """A release that was signed on paper."""
    credit = _credit_of(request, pk)
    form = ReleaseForm(
        request.POST or None,
        initial={"covers": songs_covered(credit), "signed_on": timezone.localdate()},
    )
    if form.is_bound and form.is_valid():
        made = log_release(credit, **form.cleaned_data, by=request.user)
        messages.success(request, f"{made} logged.")
        return redirect("musicians:session", credit.session_id)
    return form_page(
        request,
        form,
        title=f"Release signed on paper by {credit.person}",
        action="Log the release",
        crumbs=[*above(credit.session), _page_of(credit.session)],
    )


def release_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The house's wording, to be signed here."""
    credit = _credit_of(request, pk)
    statement = release_statement(credit)
    form = statement and SignatureForm(
        request.POST or None, statement=statement, initial={"signed_name": credit.person.name}
    )
    if form and form.is_bound and form.is_valid():
        made = sign_release(
            credit,
            statement=statement,
            covers=songs_covered(credit),
            **form.signature,
            by=request.user,
        )
        messages.success(request, f"{made} signed.")
        return redirect("musicians:session", credit.session_id)
    context = {
        "credit": credit,
        "statement": statement,
        "form": form,
        "title": f"Release by {credit.person}",
        "back": reverse("musicians:session", args=[credit.session_id]),
        "crumbs": [*above(credit.session), _page_of(credit.session), ("Sign a release", "")],
    }
    return TemplateResponse(request, f"{TEMPLATES}/release_sign.html", context)


def _release_of(request: HttpRequest, pk: int) -> Release:
    releases = Release.objects.visible_to(request.user)
    return get_object_or_404(
        releases.select_related("person", "session", "signature", "recorded_by"), pk=pk
    )


def release(request: HttpRequest, pk: int) -> HttpResponse:
    release = _release_of(request, pk)
    context = {
        "release": release,
        "crumbs": [*above(release.session), _page_of(release.session), (str(release), "")],
    }
    return TemplateResponse(request, f"{TEMPLATES}/release.html", context)


def release_edit(request: HttpRequest, pk: int) -> HttpResponse:
    release = _release_of(request, pk)
    form = ReleaseEditForm(request.POST or None, instance=release)
    crumbs = [*above(release.session), _page_of(release.session)]
    return edit_page(request, form, crumbs=[*crumbs, (str(release), release.get_absolute_url())])
