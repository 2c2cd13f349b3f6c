from django import template

from gear.panels.drawing import draw_control as drawn
from gear.panels.drawing import print_control
from gear.panels.engraving import draw_engraved, draw_with_figures
from gear.panels.plot import draw_plot as plotted
from gear.panels.reading import read_control
from gear.panels.strokes import PAPER_INK, as_image, as_svg, print_drawing

register = template.Library()


@register.simple_tag
def draw_control(control, value=None, medium="page", **options):
    """{% draw_control control value size=96 %} on a page, {% draw_control control value "paper" %}
    in print, whose design says how large."""
    if medium == "paper":
        return print_control(control, value)
    return drawn(control, value, **options)


@register.simple_tag
def draw_plot(plot, medium="page"):
    """{% draw_plot plot %} on a page, {% draw_plot plot "paper" %} in print."""
    if medium == "paper":
        return as_image(plotted(plot, ink=PAPER_INK), plot.title)
    return plotted(plot)


@register.simple_tag
def draw(drawing, medium="page"):
    """{% draw drawing %} on a page, {% draw drawing "paper" %} in print."""
    if medium == "paper":
        return print_drawing(drawing)
    return as_svg(drawing, width=2 * drawing.width, height=2 * drawing.height)


register.simple_tag(draw_engraved)
register.simple_tag(draw_with_figures)
register.simple_tag(read_control)
