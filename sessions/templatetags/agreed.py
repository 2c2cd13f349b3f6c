"""What was agreed, on the pages of slices that know nothing of money. `{% load agreed %}`."""

from django import template
from django.urls import reverse

from sessions.clients.models import Client, Project
from sessions.terms.agreements.agreed import agreed_for, agreed_with

register = template.Library()


@register.inclusion_tag("sessions/terms/agreements/_panel.html")
def rates_and_terms(of: Client | Project | None = None) -> dict:
    """What new sessions of a client or of a project start with; of neither, those of the house.
    A query."""
    if isinstance(of, Project):
        agreed, page = agreed_for(of), "terms:agreed_project"
    else:
        agreed, page = agreed_with(of), "terms:agreed_client" if of else "terms:agreed_house"
    return {"agreed": agreed, "edit": reverse(page, args=[of.pk] if of else [])}
