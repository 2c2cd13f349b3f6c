"""Before something is saved that others are to hear of, its page says who will be told what.

A view that changes sessions is decorated with `asks_who_is_told` and makes its change within
`asking(request)`:

    @asks_who_is_told
    def session_edit(request, pk):
        …
        with asking(request):
            change_session(…, by=request.user)
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from urllib.parse import urlsplit

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.asked import inside
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.pages import above
from sessions.bookings.telling.choices import NONE, Choices
from sessions.bookings.telling.enclosures import price_of
from sessions.bookings.telling.facts import ReadsAs
from sessions.bookings.telling.planning import Notice, Plan
from sessions.bookings.telling.scope import Telling, telling
from sessions.bookings.telling.shown import changes_of
from sessions.bookings.telling.writing import drafts_for
from sessions.letters.outbox import Draft, warning_of_unsent_letters

SEND, NOBODY, BACK = "send", "nobody", "back"  # what the buttons say
OWN_FIELDS = {
    "told",
    "told_shown",
    "told_to",
    "told_line",
    "told_price",
    "told_from",
    "csrfmiddlewaretoken",
}
LONGEST_LINE = 500
SEE_MONEY = "studio_sessions.see_money"
ROLES = {
    ReadsAs.CLIENT: "client",
    ReadsAs.PERSON: "booked for it",
    ReadsAs.PLAYER: "credited for it",
    ReadsAs.MANAGER: "studio manager",
}


class NotAsked(Exception):
    """Letters would be written, and nobody has said yet whether they are to be: nothing is saved.

    It holds what its page shows, put together while the change still stood.
    """

    def __init__(self, shown: dict):
        self.shown = shown
        super().__init__(f"{len(shown['lines'])} letters would be written")


class BackToForm(BookingRefused):
    """Nothing is wrong, and nothing is saved: the form is wanted once more, as it was typed."""

    def __init__(self):
        super().__init__({})


@contextmanager
def asking(request: HttpRequest) -> Iterator[Telling]:
    """What changes within it is saved, with its letters, if the page “Who is told” was answered or
    nobody is to be told. Raises NotAsked, for `asks_who_is_told`, or BackToForm, a BookingRefused."""
    if request.POST.get("told") == BACK:
        raise BackToForm
    choices = choices_in(request.POST, request.user)
    with (
        warning_of_unsent_letters(request),
        telling(by=request.user, choices=choices or NONE) as told,
    ):
        yield told
        if choices is None and told.planned.notices:
            raise NotAsked(_shown(told.planned, request.user))
    _warn_of_unreachable(request, told)


def asks_who_is_told(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """The view answers with the page “Who is told” where what it would save has to be told."""

    @wraps(view)
    def asked(request: HttpRequest, *args, **kwargs) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except NotAsked as unanswered:
            return _page(request, unanswered)
        except BackToForm:  # of a button without a form
            came_from = urlsplit(request.POST.get("told_from", "")).path
            return redirect(inside(came_from, request.path))

    return asked


def choices_in(sent: QueryDict, user) -> Choices | None:
    """What was chosen on the page; None where it was not shown. Who was not on it is told; a price
    only by who may see it."""
    if sent.get("told") not in {SEND, NOBODY}:
        return None
    return Choices(
        left_out=frozenset(sent.getlist("told_shown")) - frozenset(sent.getlist("told_to")),
        nobody=sent["told"] == NOBODY,
        with_price="told_price" in sent and user.has_perm(SEE_MONEY),
        added_line=sent.get("told_line", "").strip()[:LONGEST_LINE],
    )


@dataclass(frozen=True)
class Line:
    """One letter as the page shows it."""

    notice: Notice
    draft: Draft
    role: str

    @property
    def changes(self) -> list:
        return [change for each in self.notice.tidings for change in changes_of(each)]

    @property
    def enclosed(self) -> list[str]:
        """The files that go with it, by name."""
        calendars = len(self.draft.calendars)
        word = "calendar file" if calendars == 1 else f"{calendars} calendar files"
        papers = [each.name for each in self.draft.files_to_make]
        return [word, *papers] if calendars else papers


def _shown(planned: Plan, user) -> dict:
    return {
        "lines": [
            Line(notice, draft, _role(notice))
            for notice, draft in zip(planned.notices, drafts_for(planned, by=user), strict=True)
        ],
        "unreachable": _unreachable_in_words(planned),
        "has_price": _has_price(user, planned),
    }


def _role(notice: Notice) -> str:
    first = notice.tidings[0]
    word = ROLES[first.reads_as]
    if first.kind == "removed" and first.reads_as != ReadsAs.CLIENT:
        return f"no longer {word}"
    return word


def _page(request: HttpRequest, unanswered: NotAsked) -> HttpResponse:
    context = unanswered.shown | {
        "came_from": request.META.get("HTTP_REFERER", ""),
        "typed": [
            (name, value)
            for name, values in request.POST.lists()
            if name not in OWN_FIELDS
            for value in values
        ],
        "crumbs": [*above(), ("Who is told", "")],
        "longest_line": LONGEST_LINE,
    }
    return TemplateResponse(request, "sessions/bookings/telling/who_is_told.html", context)


def _has_price(user, planned: Plan) -> bool:
    """Whether there is a client's letter that could state one, and it is theirs to see who saves."""
    tidings = [each for notice in planned.notices for each in notice.tidings]
    return user.has_perm(SEE_MONEY) and any(
        each.decides_as == ReadsAs.CLIENT and price_of(each.session) for each in tidings
    )


def _warn_of_unreachable(request: HttpRequest, told: Telling) -> None:
    if words := _unreachable_in_words(told.planned):
        messages.warning(request, words)


def _unreachable_in_words(planned: Plan) -> str:
    names = [each.reader.name for each in planned.unreachable]
    if not names:
        return ""
    return f"No e-mail address is known of {', '.join(names)}. Let them know another way."
