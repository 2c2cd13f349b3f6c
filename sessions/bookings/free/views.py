from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.http import urlencode

from sessions.bookings.free.forms import FreeTimeForm
from sessions.bookings.free.search import FreePeriod, find_free_time
from sessions.periods import period_in_words, typed
from sessions.rooms.resources import by_kind


@dataclass(frozen=True)
class Found:
    """One line of the answer: when, what it would take, and where to book it."""

    when: str
    takes: tuple[Model, ...]
    address: str


def search(request: HttpRequest) -> HttpResponse:
    """The form; once something is asked, the earliest periods in which all of it is free."""
    form = FreeTimeForm(request.GET if "hours" in request.GET else None)
    found = _found(form) if form.is_bound and form.is_valid() else None
    context = {
        "form": form,
        "found": found,
    }
    return TemplateResponse(request, "sessions/bookings/free/search.html", context)


def _found(form: FreeTimeForm) -> list[Found] | None:
    asked = form.cleaned_data
    try:
        periods = find_free_time(
            form.wanted(),
            length=form.length,
            within=(asked["since"], asked["until"]),
            count=asked["count"],
            padding=form.padding,
        )
    except ValidationError as error:
        form.add_error(None, error)
        return None
    return [
        Found(
            period_in_words(each.starts_at, each.ends_at), each.takes, booking_address(each, asked)
        )
        for each in periods
    ]


def booking_address(period: FreePeriod, asked: dict) -> str:
    """Where to book it: the form with all of this filled in."""
    wanted = {
        "project": asked["project"] and asked["project"].pk,
        "starts": typed(period.starts_at),
        "ends": typed(period.ends_at),
        "load_in": asked["load_in_minutes"],
        "teardown": asked["teardown_minutes"],
    }
    keys = {
        kind: [resource.pk for resource in of_kind]
        for kind, of_kind in by_kind(period.takes).items()
    }
    filled_in = {name: value for name, value in (wanted | keys).items() if value}
    return f"{reverse('bookings:create')}?{urlencode(filled_in, doseq=True)}"
