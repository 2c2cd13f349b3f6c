"""Papers of any length break into pages as a careful typist would."""

from datetime import UTC, datetime

import pytest

from sessions.papers.pdf import PaperSize, print_markup, render_pdf
from tests.printed import text_of
from tests.sessions.papers.every_paper import KINDS, MONEY_PAPER, day_of, subject_of
from tests.sessions.papers.pages import page_faults

FACTS = {"base_url": "https://studio.example/", "printed_at": datetime(2026, 6, 1, 13, tzinfo=UTC)}


@pytest.mark.django_db
@pytest.mark.parametrize(("chains", "size"), [(1, PaperSize.LETTER), (5, PaperSize.A4)])
def test_every_paper_breaks_well_and_says_as_of_when(chains, size):
    session, faults, undated = day_of(chains), {}, []
    for kind in KINDS:
        subject = subject_of(kind, session)
        context = kind.contents(subject, FACTS["base_url"]).context
        pdf = render_pdf(kind.template, context, title=kind.title(subject), size=size, **FACTS)
        if found := page_faults(pdf):
            faults[kind.path] = found
        if "As of Mon 1 Jun 2026, 14:00" not in text_of(pdf):
            undated.append(kind)

    assert faults == {}
    assert undated == [MONEY_PAPER]  # which stands as it was issued


@pytest.mark.parametrize(
    ("markup", "faults"),
    [
        (
            '<p>Half a page</p><p>and less</p><p style="break-before: page">The</p><p>next</p>',
            ["page 1 ends in its upper half"],
        ),
        (
            '<p style="height: 200mm">A page</p><p>full</p><p style="break-before: page">Alone</p>',
            ["page 2 is a line"],
        ),
        (
            '<p style="height: 246.5mm">A</p><h2 style="break-after: auto">Foot</h2>'
            + 9 * "<p>Some words</p>",
            ["'Foot' stands at the foot of page 1"],
        ),
        (
            '<p style="height: 200mm">A page</p><p>full</p><h2 style="break-before: page">Signed</h2>'
            "<p>By</p>",
            ["'Signed' stands alone on page 2"],
        ),
        ("<p>Fiddle →<br>Track</p>", ["an arrow ends a line of page 1"]),
        ("<p>Fiddle<br>→ Track</p>", []),
    ],
)
def test_what_is_broken_badly_is_found(markup, faults):
    pdf = print_markup(f"<body><h1>A</h1>{markup}</body>", title="A", **FACTS)

    assert page_faults(pdf) == faults
