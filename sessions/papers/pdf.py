"""Paper: sheets and reports as PDF. The only place that knows the typesetter of it, Typst.

A template gives HTML; its tree (`paper_tree`) is laid out by `templates/print/paper.typ`. A PDF is made
to be kept and to be read aloud (PDF/A-3a and PDF/UA-1: a paper that would not be both is not made), is
set in the studio's own fonts, and may carry a file. Nothing is fetched while it is made, so that a
note that holds an address reaches neither the network nor a file.
"""

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from io import BytesIO
from mimetypes import guess_type
from urllib.parse import quote

import segno
from csp.constants import NONE
from csp.decorators import csp
from django.conf import settings
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.text import slugify

from gear.panels.strokes import as_image
from sessions.papers.paper_tree import paper_tree
from sessions.papers.typesetter import REFUSED

DESIGN = settings.BASE_DIR / "templates/print/paper.typ"
TYPESETTER = settings.BASE_DIR / "sessions/papers/typesetter.py"
FONTS = settings.BASE_DIR / "studio/static/studio/fonts"
LONGEST = 120  # seconds

# What Typst says of a sign that none of its fonts has, as Rust writes a string.
_NO_LETTER = re.compile(r'the text `"(.+?)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")


class PaperSize(StrEnum):
    A4 = "a4"
    LETTER = "letter"
    A5 = "a5"


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
    """A whole HTML document as PDF; its first heading is the running head of every page."""
    printed = timezone.localtime(printed_at)
    paper = {
        "title": title,
        "house": settings.STUDIO_NAME,
        "printed": f"Printed {date_format(printed, 'D j F Y, H:i')}",
        "size": size,
        "enclosures": [_enclosed(enclosure)] if enclosure else [],
        "body": paper_tree(markup, base_url=base_url),
    }
    return _typeset(json.dumps(paper, ensure_ascii=False), printed)


def _enclosed(enclosure: Enclosure) -> dict[str, str | None]:
    return {
        "name": enclosure.name,
        "content": enclosure.content.decode(),
        "description": enclosure.description,
        "kind": guess_type(enclosure.name)[0],
    }


def _typeset(paper: str, printed: datetime) -> bytes:
    """The paper as PDF. A sign that no font has is printed as its number in Unicode: [U+4E16]."""
    moment = printed.isoformat(timespec="seconds")
    command = [sys.executable, "-I", TYPESETTER, DESIGN, FONTS, moment]
    while True:
        done = subprocess.run(command, input=paper.encode(), capture_output=True, timeout=LONGEST)
        if done.returncode == 0:
            return done.stdout
        said = done.stderr.decode(errors="replace")
        spelled = _spelled_out(paper, said) if done.returncode == REFUSED else paper
        if spelled == paper:
            raise RuntimeError(f"The paper could not be set: {said}")
        paper = spelled


def _spelled_out(paper: str, refusal: str) -> str:
    signs = "".join(_NO_LETTER.findall(refusal))
    signs = _ESCAPED.sub(lambda found: chr(int(found[1], 16)), signs)
    return paper.translate({ord(sign): f"[U+{ord(sign):04X}]" for sign in signs if sign > "~"})


def qr_code(address: str) -> SafeString:
    """A QR code (ISO/IEC 18004, level M, in its four modules of white) as an image."""
    code = segno.make_qr(address, error="m")
    drawn = BytesIO()
    code.save(drawn, kind="svg", xmldecl=False, nl=False, border=4, omitsize=True, dark="#000")
    return as_image(drawn.getvalue().decode(), f"QR code to {address}")


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
