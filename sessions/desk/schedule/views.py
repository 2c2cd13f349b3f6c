"""The schedule: a day, a week or a month of rooms, people or equipment."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.db.models import Model
from django.http import HttpRequest, HttpResponse, QueryDict
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone

from sessions.calendar.schedule.days import (
    ONE_DAY,
    clock_change,
    month_after,
    month_of,
    period_of,
    week_of,
)
from sessions.calendar.schedule.diary import Line, entries_of, lines_of
from sessions.desk.schedule.columns import KINDS, Kind, offered
from sessions.desk.schedule.day_sheet import day_sheet
from sessions.desk.schedule.forms import ScheduleForm
from sessions.desk.schedule.month_sheet import month_day
from sessions.desk.schedule.shown import side_by_side
from sessions.desk.schedule.week_sheet import week_day

SPANS = {"day": ("Day", "d"), "week": ("Week", "w"), "month": ("Month", "m")}


@dataclass(frozen=True)
class Turn:
    """What was asked for: which span around which day, of what."""

    span: str
    day: date
    show: str
    only: int | None

    @property
    def kind(self) -> Kind:
        return KINDS[self.show]

    def to(self, span: str = "", day: date | None = None, show: str = "") -> str:
        """The address of another page of the schedule; one room is not looked for among people."""
        query = QueryDict(mutable=True)
        query["day"] = (day or self.day).isoformat()
        query["show"] = show or self.show
        if self.only and query["show"] == self.show:
            query["only"] = self.only
        return f"{reverse(f'schedule:{span or self.span}')}?{query.urlencode()}"


def day(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "day", lambda day: [day])
    context |= {
        "sheets": [day_sheet(turn.day, group, context["now"]) for group in side_by_side(lines)],
        "change": clock_change(turn.day),
    }
    return _page(request, turn, context, before=turn.day - ONE_DAY, after=turn.day + ONE_DAY)


def week(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "week", week_of)
    days, step = week_of(turn.day), 7 * ONE_DAY
    context |= {
        "first": days[0],
        "last": days[-1],
        "sheets": [
            (group, [week_day(day, group, context["now"]) for day in days])
            for group in side_by_side(lines)
        ],
    }
    return _page(request, turn, context, before=turn.day - step, after=turn.day + step)


def month(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "month", lambda day: sum(month_of(day), []))
    weeks = month_of(turn.day)
    context |= {
        "weekdays": weeks[0],
        "weeks": [
            [month_day(day, turn.day, lines, context["now"]) for day in week] for week in weeks
        ],
    }
    before, after = (month_after(turn.day, months) for months in (-1, 1))
    return _page(request, turn, context, before=before, after=after)


def _opened(
    request: HttpRequest, span: str, days_around: Callable[[date], list[date]]
) -> tuple[Turn, list[Line], dict]:
    """What is asked for, and its diary; for a day that makes no sense, today's."""
    now, today = timezone.now(), timezone.localdate()
    asked = request.GET.copy()
    asked["day"] = asked.get("day") or today.isoformat()
    form = ScheduleForm(asked)
    form.full_clean()
    show = request.GET.get("show")
    turn = Turn(
        span=span,
        day=form.cleaned_data.get("day", today),
        show=show if show in KINDS else "rooms",
        only=form.cleaned_data.get("only"),
    )
    days = days_around(turn.day)
    period = period_of(days[0], len(days))
    found = entries_of(turn.kind.field, period, request.user)
    resources = offered(turn.kind, found, request.user)
    form.offer(turn.show, resources)
    shown = [each for each in resources if _is_shown(each, turn, found)]
    lines = lines_of(turn.kind.field, shown, found, period)
    left_out = [each for each in resources if each not in shown]
    context = {"form": form, "now": now, "today": today} | _counted(turn, left_out)
    return turn, lines, context


def _counted(turn: Turn, left_out: list[Model]) -> dict[str, int]:
    """Of the gear that is not shown, how much is free, and how much cannot be used."""
    if turn.show != "equipment" or turn.only is not None:
        return {}
    free = [each for each in left_out if each.can_be_used]
    return {"free_units": len(free), "units_out": len(left_out) - len(free)}


def _is_shown(resource: Model, turn: Turn, found: dict) -> bool:
    """The one that is asked for; else all, but of the equipment only what is reserved."""
    if turn.only is not None:
        return resource.pk == turn.only
    return turn.show != "equipment" or resource.pk in found


def _page(
    request: HttpRequest, turn: Turn, context: dict, *, before: date, after: date
) -> HttpResponse:
    context |= {
        "turn": turn,
        "spans": [
            (word, turn.to(span), span == turn.span, key) for span, (word, key) in SPANS.items()
        ],
        "kinds": [(kind, turn.to(show=show), show == turn.show) for show, kind in KINDS.items()],
        "before": turn.to(day=before),
        "after": turn.to(day=after),
        "back_to_today": turn.to(day=context["today"]),
        "booking": reverse("bookings:create"),
    }
    return TemplateResponse(request, f"sessions/desk/schedule/{turn.span}.html", context)
