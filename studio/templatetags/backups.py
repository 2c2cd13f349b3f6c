from django import template
from django.utils import timezone

from studio.backups.standing import Standing, standing

register = template.Library()


@register.simple_tag(takes_context=True)
def backups_wanting(context) -> Standing | None:
    """What Today says of backups to whoever may see to it, where somebody is to."""
    if "backups" not in context["pages_open"]:
        return None
    at = standing(timezone.now())
    return at if at.wants_somebody else None
