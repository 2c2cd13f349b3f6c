"""What sessions to come cannot have, wherever a page tells of it. `{% load stand_ins %}`."""

from django import template
from django.urls import reverse

from gear.equipment.models import Unit
from sessions.bookings.models import Reservation
from sessions.bookings.stand_ins.needs import why as why_not_to_be_had
from sessions.clients.models import Person
from sessions.desk.stand_ins.page import stand_ins_of
from sessions.rooms.resources import KINDS

register = template.Library()


@register.filter
def why(need: Reservation) -> str:
    """What is wrong, in a few words that anybody may read."""
    return why_not_to_be_had(need)


@register.inclusion_tag("sessions/desk/stand_ins/_of_resource.html", takes_context=True)
def stand_ins_for(context, resource: Unit | Person) -> dict:
    """The sessions to come that need it and cannot have it, each with what could stand in."""
    request = context["request"]
    kind = KINDS[type(resource)]
    return {
        "stand_ins": stand_ins_of(request.user, {kind: resource.pk}),
        "here": f"{reverse('stand_ins:open')}?{kind}={resource.pk}",
        "back": request.get_full_path(),
        "pages_open": context["pages_open"],
        "csrf_token": context.get("csrf_token"),
    }
