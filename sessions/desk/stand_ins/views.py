from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.asked import way_back, whole_number
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.stand_ins.actions import use_stand_ins
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.desk.stand_ins.page import stand_ins_of
from sessions.rooms.resources import KINDS

ABOUT = ("session", *KINDS.values())


@asks_who_is_told
def stand_ins(request: HttpRequest) -> HttpResponse:
    """What sessions to come cannot have, each with what could stand in; `?session=3`, `?unit=4`,
    `?person=5` and `?room=6` show what is about one of them. Several are chosen in one press."""
    about = {name: key for name in ABOUT if (key := whole_number(request.GET.get(name)))}
    found = stand_ins_of(request.user, about, request.POST or None)
    form, back = found.form, way_back(request, request.get_full_path())
    if form.is_bound and form.is_valid():
        chosen = form.chosen()
        try:
            with asking(request):
                sessions = use_stand_ins(chosen, by=request.user)
        except BookingRefused as refusal:
            form.add_error(None, refusal.messages)
        else:
            _say(request, chosen, sessions)
            return redirect(back)
    context = {"stand_ins": found, "back": back}
    return TemplateResponse(request, "sessions/desk/stand_ins/open.html", context)


def _say(request: HttpRequest, chosen: dict, sessions: list) -> None:
    if not chosen:
        messages.info(request, "Nothing was chosen, so nothing has changed.")
        return
    names = ", ".join(dict.fromkeys(str(each) for each in chosen.values() if each))
    where = ", ".join(map(str, sessions))
    said = f"{names} stands in" if len(set(chosen.values())) == 1 else f"{names} stand in"
    messages.success(request, f"{said if names else 'Removed from'}: {where}.")
