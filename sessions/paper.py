"""Paper: sheets and reports as PDF. The only place that knows the printer of it, WeasyPrint.

A PDF is tagged (PDF/UA-1) and set in the studio's own fonts. While it is made nothing is fetched but
those fonts, so that a note that holds an address reaches neither the network nor a file.
"""

import atexit
from datetime import datetime
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

STYLESHEET = settings.BASE_DIR / "templates/print/paper.css"
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
VARIANT = "pdf/ua-1"

# The font map below is one for the process, and is not made for two threads at once.
_one_at_a_time = Lock()


def render_pdf(
    template: str, context: dict, *, title: str, base_url: str, printed_at: datetime
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
    return print_markup(render_to_string(template, {**context, **paper}), base_url=base_url)


def print_markup(markup: str, *, base_url: str) -> bytes:
    """A whole HTML document as PDF, in the paper's style, fetching nothing from anywhere."""
    from weasyprint import HTML

    with _one_at_a_time:
        fetcher, style, fonts = _press()
        document = HTML(string=markup, base_url=base_url, url_fetcher=fetcher)
        return document.write_pdf(stylesheets=[style], font_config=fonts, pdf_variant=VARIANT)


@cache
def _press():
    """What fetches, the style and the fonts: one for the process, since fonts are costly to read."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fetcher, fonts = _font_fetcher(), FontConfiguration()
    atexit.register(_press.cache_clear)  # the fonts' temporary folder goes while it still can
    style = CSS(filename=STYLESHEET, font_config=fonts, url_fetcher=fetcher)
    return fetcher, style, fonts


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
