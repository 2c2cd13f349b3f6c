from datetime import datetime

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.bookings.stand_ins.needs import open_needs
from sessions.desk.today.at_work import (
    bare_takes,
    copied_controls,
    not_sent,
    recently_wrapped,
    what_is_missing,
)
from sessions.desk.today.faults import faulty_units_booked
from sessions.desk.today.free_rooms import free_rooms
from sessions.desk.today.mixing import open_notes, rebuilds_under_way, sheets_ready
from sessions.desk.today.money import money_open
from sessions.desk.today.running import DAYS_AHEAD, coming_up, on_now, theirs_first
from sessions.desk.today.said import last_answers, last_rough_mixes, last_verdicts, not_told
from sessions.desk.today.settling import holds_near, open_challenges

#: What a page says that there is none of, by where it is in the context.
QUIET = {
    "manager": {
        "challenges": "challenges",
        "holds_near": "holds near their day",
        "needs": "stand-ins",
        "faulty": "faults on booked units",
        "not_told": "letters",
    },
    "control_room": {
        "copied": "copied controls",
        "bare_takes": "takes without a chain",
        "not_sent": "deliveries",
        "needs": "stand-ins",
        "not_told": "letters",
    },
    "mix_engineer": {"to_mix": "sheets", "rebuilds": "rebuilds", "notes": "notes on mixes"},
}


def today(request: HttpRequest) -> HttpResponse:
    """The day at a glance, of what the user's role acts on; a page that is read changes nothing."""
    user, now = request.user, timezone.now()
    sessions = RecordingSession.objects.visible_to(user).for_list()
    context = {
        "now": now,
        "days_ahead": DAYS_AHEAD,
        "on_now": on_now(sessions, now),
        "coming_up": theirs_first(coming_up(sessions, now), user),
        "verdicts": last_verdicts(user),
    }
    if user.has_perm("studio_sessions.settle_bookings"):
        return _page(request, "manager", context | _manager(user, sessions, now))
    if user.has_perm("studio_sessions.view_all_projects"):
        context["missing"] = what_is_missing(context["coming_up"])
        return _page(request, "control_room", context | _control_room(user, sessions, now))
    return _page(request, "mix_engineer", context | _mix_engineer(user))


def _page(request: HttpRequest, role: str, context: dict) -> HttpResponse:
    context["quiet"] = [word for name, word in QUIET[role].items() if not context[name]]
    return TemplateResponse(request, f"sessions/desk/today/{role}.html", context)


def _manager(user, sessions: QuerySet, now: datetime) -> dict:
    challenges = open_challenges(sessions, now)
    return {
        "challenges": challenges,
        "holds_near": holds_near(sessions, now, challenges),
        "needs": list(open_needs()),
        "faulty": faulty_units_booked(sessions, now),
        "not_told": list(not_told(user, now)),
        "money": money_open(sessions, now),
        "free_rooms": free_rooms(now),
        "answers": last_answers(user, now),
    }


def _control_room(user, sessions: QuerySet, now: datetime) -> dict:
    return {
        "needs": list(open_needs()),
        "bare_takes": bare_takes(sessions, now),
        "copied": copied_controls(sessions, now),
        "not_sent": list(not_sent(user, now)),
        "not_told": list(not_told(user, now)),
        "wrapped": recently_wrapped(sessions),
        "answers": last_answers(user, now),
        "rough_mixes": last_rough_mixes(user),
        "to_mix": sheets_ready(user),
    }


def _mix_engineer(user) -> dict:
    return {
        "to_mix": list(sheets_ready(user)),
        "rebuilds": list(rebuilds_under_way(user)),
        "notes": list(open_notes(user)),
        "rough_mixes": last_rough_mixes(user),
    }
