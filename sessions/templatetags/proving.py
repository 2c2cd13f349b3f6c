"""The measured sound of a chain, on its page. `{% load proving %}`."""

from django import template

from gear.equipment.models import Unit
from sessions.recall.proving.models import Measurement
from sessions.recall.proving.page import SoundOfChain, words_of
from sessions.recall.proving.units.cautions import why_not_measured
from sessions.setups.models import Revision

register = template.Library()


@register.inclusion_tag("sessions/recall/proving/_of_chain.html", takes_context=True)
def sound_of_chain(context, revision: Revision) -> dict:
    """What was measured of it, and where that is done. One query."""
    return {
        "sound": SoundOfChain.of(revision),
        "chain": revision.chain,
        "is_newest": context.get("is_newest"),
        "pages_open": context["pages_open"],
    }


@register.inclusion_tag("sessions/recall/proving/units/_of_unit.html", takes_context=True)
def sound_of_unit(context, unit: Unit) -> dict:
    """What was measured of it last, and where that is looked at. A query, where the user sees it."""
    pages_open = context["pages_open"]
    newest = None
    if "proving:unit" in pages_open:
        newest = Measurement.objects.standing().filter(unit=unit).order_by("-measured_at").first()
    return {
        "unit": unit,
        "newest": newest,
        "in_short": newest and words_of(newest).in_short,
        "is_shown": "proving:unit" in pages_open and (newest or not why_not_measured(unit)),
    }
