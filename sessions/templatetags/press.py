from django import template
from django.utils.html import format_html

from sessions.editing.presses import FIELD, new_number

register = template.Library()


@register.simple_tag
def press_number() -> str:
    """The number of one rendered form: `sessions/editing/presses.py` says what for."""
    return format_html('<input type="hidden" name="{}" value="{}">', FIELD, new_number())
