from django import template

from studio.next_steps import EMPTY, NextStep, missing_on

register = template.Library()


@register.inclusion_tag("components/next_step.html", takes_context=True)
def next_step(context, otherwise: str = "") -> dict:
    """In the place of an empty list what this page leads to; where it was filtered, or nothing is
    known to be missing, `otherwise`."""
    request = context["request"]
    step = None if request.GET else EMPTY.get(_page(request))
    return _shown(context, step, otherwise)


@register.inclusion_tag("components/lacks.html", takes_context=True)
def lacks(context) -> dict:
    """Above a form what must be there before it can be filled in; nothing where all is there, or
    where the address names something of it."""
    request = context["request"]
    return _shown(context, None if request.GET else missing_on(_page(request)), "")


def _page(request) -> str:
    return request.resolver_match.view_name if request.resolver_match else ""


def _shown(context, step: NextStep | None, otherwise: str) -> dict:
    may = bool(step) and step.page in context.get("pages_open", ())
    return {"step": step, "may": may, "otherwise": otherwise}
