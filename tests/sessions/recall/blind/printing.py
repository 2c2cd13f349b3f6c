"""A recall sheet as the worker prints it, but for the data that it carries."""

from django.utils import timezone

from sessions.papers.pdf import PaperSize, render_pdf
from sessions.recall.sheet.stored import TEMPLATE, contents


def printed(subject, size: PaperSize = PaperSize.A4) -> bytes:
    """Of a song or a part."""
    return render_pdf(
        TEMPLATE,
        contents(subject, "http://testserver/").context,
        title="Recall sheet",
        base_url="http://testserver/",
        printed_at=timezone.now(),
        size=size,
    )
