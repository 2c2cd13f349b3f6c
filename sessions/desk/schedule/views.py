"""The schedule: a day, a week or a month of rooms, people or equipment."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from math import ceil

from django.db.models import Model
from django.http import HttpRequest, HttpResponse, QueryDict
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode

from gear.asked import whole_number
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
from sessions.desk.schedule.month_sheet import month_day, on_paper
from sessions.desk.schedule.shown import ALL_SHOWN, ON_A_PAGE, side_by_side
from sessions.desk.schedule.undoing import still_to_undo
from sessions.desk.schedule.week_sheet import week_sheet

ALL_HOURS = "all"
SPANS = {"day": ("Day", "d"), "week": ("Week", "w"), "month": ("Month", "m")}


@dataclass(frozen=True)
class Turn:
    """What was asked for: which span around which day, of what."""

    span: str
    day: date
    show: str
    only: int | None
    unfolded: bool = False  # every hour is shown, whether or not anybody works

    @property
    def kind(self) -> Kind:
        return KINDS[self.show]

    def to(
        self,
        span: str = "",
        day: date | None = None,
        show: str = "",
        unfolded: bool | None = None,
        part: int = 0,
    ) -> str:
        """The address of another page of the schedule; one room is not looked for among people."""
        query = QueryDict(mutable=True)
        query["day"] = (day or self.day).isoformat()
        query["show"] = show or self.show
        if self.only and query["show"] == self.show:
            query["only"] = self.only
        if self.unfolded if unfolded is None else unfolded:
            query["hours"] = ALL_HOURS
        if part:
            query["part"] = part
        return f"{reverse(f'schedule:{span or self.span}')}?{query.urlencode()}"


def day(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "day", lambda day: [day])
    context |= {
        "sheets": [
            day_sheet(turn.day, group, context["now"], unfolded=turn.unfolded)
            for group in side_by_side(lines)
        ],
        "change": clock_change(turn.day),
    }
    return _page(request, turn, context, before=turn.day - ONE_DAY, after=turn.day + ONE_DAY)


def week(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "week", week_of)
    days, step = week_of(turn.day), 7 * ONE_DAY
    context |= {
        "lines": lines,
        "first": days[0],
        "last": days[-1],
        "sheet": week_sheet(days, lines, context["now"], unfolded=turn.unfolded),
    }
    return _page(request, turn, context, before=turn.day - step, after=turn.day + step)


def month(request: HttpRequest) -> HttpResponse:
    turn, lines, context = _opened(request, "month", lambda day: sum(month_of(day), []))
    weeks = [
        [month_day(day, turn.day, lines, context["now"]) for day in week]
        for week in month_of(turn.day)
    ]
    context |= {
        "weekdays": month_of(turn.day)[0],
        "weeks": weeks,
        "on_paper": on_paper(weeks),
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
        unfolded=request.GET.get("hours") == ALL_HOURS,
    )
    days = days_around(turn.day)
    period = period_of(days[0], len(days))
    found = entries_of(turn.kind.field, period, request.user)
    resources = offered(turn.kind, found, request.user)
    form.offer(turn.show, resources)
    some = turn.show == "equipment" or len(resources) > ALL_SHOWN
    shown = [each for each in resources if _is_shown(each, turn, found if some else None)]
    left_out = [each for each in resources if each not in shown]
    parts = range(ceil(len(shown) / ON_A_PAGE))
    part = whole_number(request.GET.get("part")) or 0
    here = shown if span == "month" else shown[part * ON_A_PAGE : (part + 1) * ON_A_PAGE]
    lines = lines_of(turn.kind.field, here, found, period)
    context = {"form": form, "now": now, "today": today} | _counted(turn, left_out)
    if len(parts) > 1 and span != "month":
        context["parts"] = [(each + 1, turn.to(part=each), each == part) for each in parts]
    return turn, lines, context


def _booking_that_day(turn: Turn, today: date) -> str:
    """A booking begun from here is for the day that is looked at, if that is to come, and leads back."""
    asked = {"next": turn.to()}
    if turn.day > today:
        asked["day"] = turn.day.isoformat()
    return f"{reverse('bookings:create')}?{urlencode(asked)}"


def _counted(turn: Turn, left_out: list[Model]) -> dict[str, int]:
    """Of the gear that is not shown, how much is free, and how much cannot be used; of rooms and
    people, how many have nothing on."""
    if turn.only is not None:
        return {}
    if turn.show != "equipment":
        return {"with_nothing": len(left_out)}
    free = [each for each in left_out if each.can_be_used]
    return {"free_units": len(free), "units_out": len(left_out) - len(free)}


def _is_shown(resource: Model, turn: Turn, found: dict | None) -> bool:
    """The one that is asked for; else all, or, of the gear and of very many, what is `found`."""
    if turn.only is not None:
        return resource.pk == turn.only
    return found is None or resource.pk in found


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
        "book": _booking_that_day(turn, context["today"]),
        "here": turn.to(),
        "unfold": turn.to(unfolded=not turn.unfolded),
        "moved": still_to_undo(request),
    }
    return TemplateResponse(request, f"sessions/desk/schedule/{turn.span}.html", context)
