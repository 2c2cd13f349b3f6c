"""The measured sound of a chain, on its page. `{% load proving %}`."""

from django import template

from sessions.recall.proving.page import SoundOfChain
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
