from django import template

from gear.panels.drawing import draw_control as drawn
from gear.panels.drawing import print_control
from gear.panels.engraving import draw_engraved
from gear.panels.plot import draw_plot as plotted
from gear.panels.reading import read_control
from gear.panels.strokes import PAPER_INK, as_svg

register = template.Library()


@register.simple_tag
def draw_control(control, value=None, medium="page", **options):
    """{% draw_control control value size=96 %} on a page, {% draw_control control value "paper" %}
    in print, where the style sheet says how large."""
    if medium == "paper":
        return print_control(control, value)
    return drawn(control, value, **options)


@register.simple_tag
def draw_plot(plot, medium="page", **options):
    """{% draw_plot plot %} on a page, {% draw_plot plot "paper" width="78mm" height="42mm" %}."""
    if medium == "paper":
        options.setdefault("ink", PAPER_INK)
    return plotted(plot, **options)


@register.simple_tag
def draw(drawing, medium="page", **options):
    """{% draw drawing %} on a page, {% draw drawing "paper" width="100mm" height="50mm" %} in print."""
    if medium == "paper":
        return as_svg(drawing, ink=PAPER_INK, **options)
    return as_svg(drawing, **{"width": 2 * drawing.width, "height": 2 * drawing.height} | options)


register.simple_tag(draw_engraved)
register.simple_tag(read_control)
