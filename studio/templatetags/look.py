"""How things look on a page: signs, state words and readings. `{% load look %}`."""

import re
from functools import lru_cache

from django import template
from django.conf import settings
from django.db import DatabaseError
from django.forms import BoundField, CheckboxInput, DateInput, DateTimeInput
from django.template.loader import render_to_string
from django.utils.html import format_html
from lucide.templatetags.lucide import lucide

from gear.audio.values import MINUS
from sessions.papers.signs import number_of, unprintable
from sessions.rooms.models import Studio
from studio.bar import BARS, entry_of
from studio.logs import request_id

register = template.Library()

# State -> (sign, how the word stands). The line style tells states apart without colour.
STATES = {
    "enquiry": ("message-circle", "dotted"),
    "held": ("clock", "dashed warn"),
    "confirmed": ("calendar-check", "accent"),
    "under way": ("circle-play", "solid"),
    "wrapped": ("check-check", "good"),
    "cancelled": ("ban", "struck"),
    "struck": ("archive", "dotted"),
    "printed": ("arrow-big-right", ""),
    "monitor only": ("headphones", "dashed"),
    "in service": ("check", "good"),
    "on the bench": ("wrench", "warn"),
    "retired": ("archive", "dotted"),
    "measured": ("check", "good"),
    "waiting": ("clock", "dashed"),
    "passed": ("check", "good"),
    "failed": ("x", "bad"),
    "sent": ("send", "good"),
    "replaced": ("replace", "struck"),
    "told otherwise": ("phone", "good"),
    "differs": ("equal-not", "warn"),
    "locked": ("lock", ""),
    "open": ("pencil", "dotted"),
    "being worked on": ("wrench", "warn dashed"),
    "closed": ("check", "good"),
    "unpaid": ("circle-dashed", "dashed"),
    "part paid": ("circle-dashed", "solid"),
    "paid": ("check", "good"),
    "nothing to pay": ("check", "good"),
    "overdue": ("triangle-alert", "bad"),
    "credited": ("undo-2", "struck"),
}
# The legend of the tape box: letters and how the word stands.
MARKS = {
    "complete": ("C", "good"),
    "false start": ("FS", "dotted"),
    "long false start": ("LFS", "dotted"),
    "breakdown": ("BD", "dashed"),
    "hold": ("H", "accent"),
    "master": ("M", "solid"),
    "no good": ("NG", "bad struck"),
}
LEVELS = {
    "info": ("info", "Note"),
    "success": ("circle-check", "Done"),
    "warning": ("triangle-alert", "Warning"),
    "danger": ("octagon-alert", "Problem"),
}
OFFERS_PAPER = re.compile(r'href="[^"]*\.pdf["?]')


# Stored values whose word is longer.
LONGER = {"monitor": "monitor only", "worked on": "being worked on"}


def plain(state: str) -> str:
    """Turn a stored value ("under_way", "Under way") into the word the tables above use."""
    word = str(state).replace("_", " ").strip().lower()
    return LONGER.get(word, word)


register.simple_tag(request_id)


@register.simple_tag
def studio_facts(as_issued: Studio | None = None) -> Studio:
    """What the house says of itself, or said when a paper was issued. A query, or none."""
    return as_issued or Studio.current()


@register.simple_tag(takes_context=True)
def studio_name(context) -> str:
    """Costs a signed-in user's page no query: their row brings it along. The page that says what
    went wrong has a name even where no database answers."""
    if name := context.get("house") or getattr(context.get("user"), "studio_name", ""):
        return name
    try:
        return Studio.current().name
    except DatabaseError:
        return settings.STUDIO_NAME


@register.simple_tag
@lru_cache(maxsize=512)  # a page of the schedule has a hundred of them
def icon(name: str, label: str = "") -> str:
    """Draw a sign; without a label it is decoration and screen readers pass it by."""
    said = {"role": "img", "aria_label": label} if label else {"aria_hidden": "true"}
    return lucide(name, size=20, **{"class": "icon"}, focusable="false", **said)


@register.simple_tag
@lru_cache(maxsize=512)
def badge(word: str, sign: str = "", tone: str = "") -> str:
    """Draw a state word with its sign; states without a row in STATES take `sign` and `tone`."""
    known_sign, known_tone = STATES.get(plain(word), ("circle-dot", ""))
    context = {"word": plain(word), "sign": sign or known_sign, "tone": tone or known_tone}
    return render_to_string("components/badge.html", context)


@register.inclusion_tag("components/mark.html")
def mark(word: str) -> dict:
    """A take's mark: the letters of the tape box and the word."""
    code, tone = MARKS.get(plain(word), ("?", ""))
    return {"word": plain(word), "code": code, "tone": tone}


@register.inclusion_tag("components/message.html")
def message(text: str, level: str = "info") -> dict:
    level = {"error": "danger", "debug": "info"}.get(level, level)
    sign, word = LEVELS.get(level, LEVELS["info"])
    return {"text": text, "level": level, "sign": sign, "word": word}


@register.simple_block_tag
def signs_named(content: str) -> str:
    """A page; if it offers a paper, below a list of those of its signs that paper can't show."""
    missing = unprintable(content) if OFFERS_PAPER.search(content) else ()
    listed = ", ".join(f"{sign} {number_of(sign)}" for sign in missing)
    said = (
        f"No font of the studio’s computer has these signs; papers print their numbers: {listed}."
    )
    note = render_to_string("components/message.html", message(said, "warning")) if missing else ""
    return format_html("{}{}", note, content)


@register.inclusion_tag("components/reading.html")
def reading(
    name: str, value: float | None, low: float, high: float, unit: str = "", limit=None, note=""
) -> dict:
    """A figure with a bar from `low` to `high`; above `limit` the bar and the note say so."""
    span = high - low
    share = 0 if value is None or not span else max(0.0, min(1.0, (value - low) / span))
    limit_at = None if limit is None or not span else round(100 * (limit - low) / span, 2)
    return {
        "name": name,
        "value": value,
        "low": low,
        "high": high,
        "unit": unit,
        "note": note,
        "share": round(100 * share, 2),
        "limit": limit,
        "limit_at": limit_at,
        "over": limit is not None and value is not None and value > limit,
    }


@register.inclusion_tag("components/main_bar.html", takes_context=True)
def main_bar(context) -> dict:
    """What this user's role goes to, with the entry that the page belongs under marked."""
    bar = BARS[context["user"].role]
    return {"entries": bar, "current": entry_of(_page_of(context), bar)}


@register.inclusion_tag("components/section_tabs.html", takes_context=True)
def section_tabs(context, here: str = "") -> dict:
    """The lists beside the one that is shown, if the page (or the one it stands for) is such a list."""
    here = here or _page_of(context)
    user = context.get("user")
    entry = entry_of(here, BARS[user.role]) if user and user.is_authenticated else None
    beside = entry is not None and here in entry.tabs and len(entry.tabs) > 1
    return {"entry": entry, "tabs": entry.tabs if beside else {}, "here": here}


def _page_of(context) -> str:
    request = context.get("request")
    return request.resolver_match.view_name if request and request.resolver_match else ""


@register.filter
def may_be_opened(steps: list, pages_open) -> list:
    """Of steps that name a `page` and another that it `needs`, those whose pages are all open."""
    return [each for each in steps if {each.page, each.needs or each.page} <= pages_open]


@register.filter
def unit(field: BoundField) -> str:
    """The unit that a form gives one of its fields: `units = {"distance": "cm"}` on the form."""
    return getattr(field.form, "units", {}).get(field.name, "")


@register.filter
def figure(value) -> str:
    """A number as it is set in type: with a true minus, which is as wide as the plus."""
    return "" if value is None else str(value).replace("-", MINUS)


@register.filter
def grouped(count: int) -> str:
    """A count of samples or bytes: 2,646,000."""
    return f"{count:,}"


@register.filter
def is_tick(field: BoundField) -> bool:
    return isinstance(field.field.widget, CheckboxInput)


@register.filter
def is_date(field: BoundField) -> bool:
    return isinstance(field.field.widget, DateInput | DateTimeInput)
