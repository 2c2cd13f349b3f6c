"""Whose names and addresses were replaced. `{% load erasures %}`."""

from django import template

from sessions.clients.models import Person
from studio.erasures import Erasure

register = template.Library()


@register.inclusion_tag("studio/erased.html")
def erased(person: Person) -> dict:
    """That it was done, and when first; nothing where it was not. One query."""
    return {"erasure": Erasure.objects.for_person(person.pk).last()}
