from django import template

from studio.first_steps.steps import FirstSteps, first_steps_of

register = template.Library()


@register.simple_tag(takes_context=True)
def first_steps(context) -> FirstSteps | None:
    """What Today lists of a new studio for whoever may do it, until it is done or put away."""
    if "first_steps" not in context["pages_open"] or context["user"].first_steps_put_away:
        return None
    steps = first_steps_of(context["request"])
    return None if steps.are_done else steps
