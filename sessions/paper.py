"""Paper: sheets and reports as PDF. The only place that knows the printer of it, WeasyPrint.

A PDF is made to be kept and to be read aloud (PDF/A-3a and PDF/UA-1), set in the studio's own fonts,
and may carry a file. While it is made nothing is fetched but those fonts, so that a note that holds an
address reaches neither the network nor a file.
"""

import atexit
import gc
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import cache
from pathlib import Path
from threading import Lock
from urllib.parse import quote

import segno
from csp.constants import NONE
from csp.decorators import csp
from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.utils.safestring import SafeString
from django.utils.text import slugify

from sessions.paper_archive import write_archive
from sessions.paper_strokes import Pictures

STYLES = settings.BASE_DIR / "templates/print"
FONT_SCHEME = "studio-font:"
FONTS = frozenset(
    {
        "StudioSans-Regular.ttf",
        "StudioSans-SemiBold.ttf",
        "StudioSans-Italic.ttf",
        "StudioMono-Regular.ttf",
        "StudioMono-SemiBold.ttf",
    }
)

# The font map below is one for the process, and is not made for two threads at once.
_one_at_a_time = Lock()


class PaperSize(StrEnum):
    A4 = "a4"
    LETTER = "letter"
    A5 = "a5"

    @property
    def stylesheets(self) -> list[Path]:
        """The design of every paper, and after it what a size other than A4 has of its own."""
        own = [] if self is PaperSize.A4 else [STYLES / f"{self}.css"]
        return [STYLES / "paper.css", *own]


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
    """The template as a tagged PDF: the same bytes for the same input.

    title, printed_at (dates the document, too) and house join the context. base_url is the page
    that the paper belongs to: addresses of links are completed by it, and its QR code leads there.
    """
    paper = {
        "title": title,
        "printed_at": printed_at,
        "house": settings.STUDIO_NAME,
        "address": base_url,
        "qr_code": qr_code(base_url),
    }
    markup = render_to_string(template, {**context, **paper})
    enclosed = [_enclosed(enclosure, dated=printed_at)] if enclosure else []
    return print_markup(markup, base_url=base_url, attachments=enclosed, size=size)


def print_markup(
    markup: str, *, base_url: str, attachments=(), size: PaperSize = PaperSize.A4
) -> bytes:
    """A whole HTML document as PDF, in the paper's style, fetching nothing from anywhere."""
    from weasyprint import HTML

    with _one_at_a_time, _patience():
        fetcher, styles, fonts = _press(size)
        source = HTML(string=markup, base_url=base_url, url_fetcher=fetcher)
        document = source.render(stylesheets=styles, font_config=fonts, cache=Pictures())
        return write_archive(document, attachments)


@contextmanager
def _patience():
    """A sheet is a million small things that all live until it is done: looking for garbage among
    them takes a fifth of the time."""
    usual = gc.get_threshold()
    gc.set_threshold(200_000, 50, 1000)
    try:
        yield
    finally:
        gc.set_threshold(*usual)


def _enclosed(enclosure: Enclosure, *, dated: datetime):
    from weasyprint import Attachment

    return Attachment(
        string=enclosure.content,
        name=enclosure.name,
        description=enclosure.description,
        created=dated.astimezone(UTC),
        modified=dated.astimezone(UTC),
        relationship="Data",
    )


@cache
def _press(size: PaperSize):
    """What fetches, the styles and the fonts: kept by the process, since fonts are costly to read."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fetcher, fonts = _font_fetcher(), FontConfiguration()
    atexit.register(_press.cache_clear)  # the fonts' temporary folder goes while it still can
    styles = [
        CSS(filename=sheet, font_config=fonts, url_fetcher=fetcher) for sheet in size.stylesheets
    ]
    return fetcher, styles, fonts


def _font_fetcher():
    """Answers for the studio's own fonts; any other address is refused before it is asked."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class FontFetcher(URLFetcher):
        def fetch(self, url, headers=None):
            name = url.removeprefix(FONT_SCHEME)
            if not url.startswith(FONT_SCHEME) or name not in FONTS:
                raise ValueError(f"Paper fetches nothing but its own fonts, and not {url!r}.")
            font = Path(finders.find(f"studio/fonts/{name}"))
            return URLFetcherResponse(url, font.read_bytes(), {"Content-Type": "font/ttf"})

    return FontFetcher(allowed_protocols=frozenset(), allow_redirects=False)


def qr_code(address: str) -> SafeString:
    """A QR code (ISO/IEC 18004, level M, in its four modules of white) as inline SVG."""
    code = segno.make_qr(address, error="m")
    drawn = code.svg_inline(border=4, omitsize=True, dark="#000", title=f"QR code to {address}")
    return SafeString(drawn)  # segno escapes the title; the rest is path data


# Browsers show a PDF in a page of their own making, which a policy meant for our pages would break.
@csp({"frame-ancestors": [NONE]})
def pdf_response(pdf: bytes, *, name: str) -> HttpResponse:
    """Shown in the browser; saved, it is named after the words of `name`.

    The file name is given in ASCII and, where that loses letters, in UTF-8 as well (RFC 5987).
    """
    plain, full = slugify(name), slugify(name, allow_unicode=True)
    disposition = f'inline; filename="{plain}.pdf"'
    if full != plain:
        disposition += f"; filename*=UTF-8''{quote(full)}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": disposition}
    )
