"""Who changed what, and when, of a thing and its parts, on its page. `{% load changes %}`."""

from django import template
from django.db.models import Model
from django.forms import BaseForm
from django.urls import reverse

from studio.changes.kinds import KINDS

register = template.Library()
#: The kind that is meant where no other is named.
_OF = {kind.model: name for name, kind in reversed(KINDS.items()) if kind.itself}


@register.inclusion_tag("components/changes.html")
def changes(thing: Model, kind: str = "", heading: str = "Changes") -> dict:
    """Folded away; what it unfolds is asked for then, so that the page costs nothing more."""
    address = reverse("changes:of", args=[kind or _OF[type(thing)], thing.pk])
    return {"address": address, "heading": heading}


@register.inclusion_tag("components/changes_of_form.html", takes_context=True)
def changes_of_form(context, form: BaseForm) -> dict:
    """Below a form that is the page of a thing, the changes of that thing."""
    thing, here = getattr(form, "instance", None), context["request"].resolver_match
    name = _OF.get(type(thing)) if thing is not None and not thing._state.adding else None
    is_its_page = name and here and here.view_name == KINDS[name].page
    return {"thing": thing if is_its_page else None}
