"""Paper: sheets and reports as PDF. The only place that knows what sets them, WeasyPrint.

Templates give HTML as for pages; `templates/print/paper.css` says how it looks. A PDF is made to be
kept and to be read aloud (it claims PDF/A-3a and PDF/UA-1), and may carry a file. Nothing is fetched
while it is made, so that a note that holds an address reaches neither the network nor a file.
"""

import atexit
import gc
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import cache
from io import BytesIO
from threading import Lock
from xml.etree.ElementTree import SubElement

import segno
from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from gear.panels.strokes import as_image
from sessions.papers.finishing import finish
from sessions.papers.signs import number_of, unprintable

STYLE = settings.BASE_DIR / "templates/print/paper.css"
VARIANT = "pdf/a-3a"
CONTROLS = frozenset(
    map(chr, (*range(0x20), *range(0x7F, 0xA0), 0x2028, 0x2029, *range(0xFFF9, 0xFFFC)))
) - set("\t\n\r")

#: Fonts are shared, and collecting garbage is put off, for the whole process: one paper at a time.
_one_at_a_time = Lock()


class PaperSize(StrEnum):
    A4 = "a4"
    LETTER = "letter"
    A5 = "a5"


#: The page as it is laid out, upright, and how much it is reduced: A5 is the A4 sheet, so that it
#: has the same pages.
_LAID_OUT = {
    PaperSize.A4: ("210mm", "297mm", 1),
    PaperSize.LETTER: ("8.5in", "11in", 1),
    PaperSize.A5: ("210mm", "297.973mm", 148 / 210),
}


@dataclass(frozen=True)
class Enclosure:
    """A file that the paper carries: the data that it prints. Its kind follows from its name."""

    name: str
    content: bytes
    description: str


def render_pdf(
    template: str,
    context: dict,
    *,
    title: str,
    base_url: str,
    printed_at: datetime,
    enclosure: Enclosure | None = None,
    size: PaperSize = PaperSize.A4,
) -> bytes:
    """The template as a tagged PDF: the same bytes for the same input on the same machine.

    title and printed_at (dates the document, too) join the context. base_url is the page
    that the paper belongs to: addresses of links are completed by it, and its QR code leads there.
    It is empty on what leaves the house, which has the letterhead instead, and no links.
    """
    paper = {
        "title": title,
        "printed_at": printed_at,
        "address": base_url,
        "qr_code": qr_code(base_url) if base_url else "",
    }
    markup = render_to_string(template, {**context, **paper})
    return print_markup(
        markup,
        title=title,
        base_url=base_url,
        printed_at=printed_at,
        enclosure=enclosure,
        size=size,
    )


def print_markup(
    markup: str,
    *,
    title: str,
    base_url: str,
    printed_at: datetime,
    enclosure: Enclosure | None = None,
    size: PaperSize = PaperSize.A4,
) -> bytes:
    """A whole HTML document as PDF; its first heading is the running head of every page, and its
    `author` that of the document."""
    from weasyprint import CSS, HTML
    from weasyprint.urls import URLFetcher

    width, height, zoom = _LAID_OUT[size]
    moment = printed_at.astimezone(UTC)
    only_what_stands_in_it = URLFetcher(allowed_protocols={"data"}, allow_redirects=False)
    with _one_at_a_time:
        fonts, style = _style()
        sheet = CSS(
            string=f"@page {{ size: {width} {height} }} @page landscape {{ size: {height} {width} }}"
        )
        gc.disable()  # a sixth of the time; what has been laid out goes all at once
        try:
            html = HTML(string=markup, base_url=base_url, url_fetcher=only_what_stands_in_it)
            _number_what_no_font_has(html.etree_element)
            document = html.render(
                font_config=fonts, stylesheets=[style, sheet], pdf_variant=VARIANT
            )
            facts = document.metadata
            facts.title, facts.lang = title, "en-GB"
            facts.created = facts.modified = moment.strftime("%Y-%m-%dT%H:%M:%SZ")
            return document.write_pdf(
                zoom=zoom,
                pdf_variant=VARIANT,
                attachments=[_attached(enclosure, moment)] if enclosure else [],
                finisher=finish,
            )
        finally:
            gc.enable()


@cache
def _style():
    """Our fonts and the style sheet, read once: they are the only files that a paper is made of."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher

    fonts = FontConfiguration()
    atexit.register(_style.cache_clear)  # it can't go once the interpreter is being taken apart
    ours = URLFetcher(allowed_protocols={"file"})
    return fonts, CSS(filename=STYLE, font_config=fonts, url_fetcher=ours)


def _attached(enclosure: Enclosure, moment: datetime):
    from weasyprint import Attachment

    return Attachment(
        file_obj=BytesIO(enclosure.content),
        name=enclosure.name,
        description=enclosure.description,
        created=moment,
        modified=moment,
        relationship="Data",
    )


def _number_what_no_font_has(root) -> None:
    """In the text that is printed, not in title and descriptions; the paper says what it did."""
    body = root.find("body")
    text = "".join(body.itertext())
    missing = unprintable(text)
    instead = {ord(sign): number_of(sign) for sign in missing}
    instead |= {ord(sign): " " for sign in set(text) & CONTROLS}
    if not instead:
        return
    for element in body.iter():
        element.text = element.text and element.text.translate(instead)
        element.tail = element.tail and element.tail.translate(instead)
    if missing:
        head = body.find("div[@class='sheet-head']")
        note = SubElement(body if head is None else head, "p", {"class": "soft"})
        listed = ", ".join(map(number_of, missing))
        note.text = (
            f"No font here has these characters, printed as their Unicode numbers: {listed}."
        )


def qr_code(address: str) -> SafeString:
    """A QR code (ISO/IEC 18004, level M, in its four modules of white) as an image."""
    code = segno.make_qr(address, error="m")
    drawn = BytesIO()
    code.save(drawn, kind="svg", xmldecl=False, nl=False, border=4, omitsize=True, dark="#000")
    return as_image(drawn.getvalue().decode(), f"QR code to {address}")
