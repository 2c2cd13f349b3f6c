from django import template

from gear.panels.drawing import PAPER_INK
from gear.panels.drawing import draw_control as drawn
from gear.panels.plot import draw_plot as plotted
from gear.panels.reading import read_control

register = template.Library()


@register.simple_tag
def draw_control(control, value=None, medium="page", **options):
    """{% draw_control control value %} on a page, {% draw_control control value "paper" %} in print.

    size="14mm" sets the side of the square.
    """
    if medium == "paper":
        options.setdefault("ink", PAPER_INK)
    return drawn(control, value, **options)


@register.simple_tag
def draw_plot(plot, medium="page", **options):
    """{% draw_plot plot %} on a page, {% draw_plot plot "paper" width="78mm" height="42mm" %}."""
    if medium == "paper":
        options.setdefault("ink", PAPER_INK)
    return plotted(plot, **options)


register.simple_tag(read_control)
