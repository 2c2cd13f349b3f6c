"""Every page of the filled demo, wide and on a tablet, light and dark."""

import re

import pytest
from django.template.loader import render_to_string
from django.utils import timezone

from sessions.desk.stored import CALL_SHEET, CONFIRMATION
from sessions.money.invoices.stored import INVOICE
from sessions.money.stored import MONEY_PAPER
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.reports.stored import SESSION_REPORT
from sessions.setups.input_list.stored import INPUT_LIST
from sessions.takes.sheets.stored import (
    COMP_SHEET,
    LYRIC_SHEET,
    TAKE_SHEET_OF_SONG,
    TRACK_SHEET_OF_SESSION,
)
from studio.access import PAGES
from studio.demo.command import fill
from tests.browser.browsing import TABLET, WIDE, touched
from tests.browser.looking import (
    FOR_A_FINGER,
    barriers,
    faint_words,
    loose,
    sideways,
    small_targets,
)
from tests.browser.visits import (
    FILES,
    STRANGER,
    TAKES_ONLY_DATA,
    VISITS,
    address,
    demo_rows,
)
from tests.factories import ProjectFactory
from tests.spelling import misspelt
from tests.studio.every_page import address as address_of
from tests.studio.every_page import rows_of

# The style page shows every component in every state; these have colours of their own besides.
DARK = {
    "style",
    "home",
    "schedule:week",
    "schedule:month",
    "usage:months",
    "setups:chain",
    "takes:session",
    "deliverables:detail",
    "recall:song",
    "money:session",
}
# Whose words and figures are not yet written as everywhere else.
NOT_YET = ("style",)
PAPERS = (CALL_SHEET, CONFIRMATION, INPUT_LIST, INVOICE, MONEY_PAPER)
PAPERS += (REBUILD_REPORT, RECALL_SHEET, SESSION_REPORT)
PAPERS += (COMP_SHEET, LYRIC_SHEET, TAKE_SHEET_OF_SONG, TRACK_SHEET_OF_SESSION)


def test_every_page_is_visited():
    visited = {page for page, _who, _query in VISITS}

    assert visited | TAKES_ONLY_DATA | FILES == set(PAGES)
    assert visited & (TAKES_ONLY_DATA | FILES) == set()
    assert visited >= DARK


@pytest.mark.django_db
def test_what_is_not_visited_is_no_page(client_of, manager):
    rows = rows_of(ProjectFactory())
    for page in TAKES_ONLY_DATA:
        assert client_of(manager).get(address_of(page, rows)).status_code == 405, page


ENGRAVED = "main svg text, main .as-engraved"


@pytest.mark.browser
@pytest.mark.parametrize("half", [0, 1])  # two runners share the work
def test_pages_are_in_order(new_page, page_of, half):
    fill()
    rows = demo_rows()
    pages = {STRANGER: new_page()}

    wrong = []
    for name, who, query in VISITS[half::2]:
        if who not in pages:
            pages[who] = page_of(who)
        found = look_at(pages[who], name, address(name, query, rows))
        if not name.startswith(NOT_YET):
            # What is engraved on a unit stands as its maker wrote it.
            engraved = " ".join(pages[who].locator(ENGRAVED).all_text_contents())
            written = misspelt(pages[who].inner_text("main"))
            found += [each for each in written if each not in engraved]
        wrong += [f"{name}{query} ({who}): {each}" for each in found]
    wrong += [f"{kind.path}: {each}" for kind in PAPERS for each in misspelt(printed(kind))]

    assert not wrong, "\n".join(wrong)


def printed(kind) -> str:
    """What the newest paper of that kind says."""
    subject = kind.subjects.latest("pk")
    context = kind.contents(subject, "").context
    paper = render_to_string(kind.template, {**context, "printed_at": timezone.now()})
    return re.sub(r"<[^>]*>", " ", paper)


def look_at(page, name: str, address: str) -> list[str]:
    """Open it once, wide and in the light; then turn to the tablet, and turn the lights down."""
    page.set_viewport_size(WIDE)
    answer = page.goto(address)
    found = [] if answer.status == 200 else [f"answers {answer.status}"]
    if not page.url.endswith(address):
        found.append(f"leads to {page.url}")
    found += [f"wide: {each}" for each in sideways(page) + barriers(page)]
    found += [f"wide: {each}" for each in small_targets(page) + loose(page, name)]
    with touched(page):
        page.set_viewport_size(TABLET)
        found += [f"tablet: {each}" for each in sideways(page) + small_targets(page, FOR_A_FINGER)]
    if name in DARK:
        page.emulate_media(color_scheme="dark")
        found += [f"tablet, dark: {each}" for each in faint_words(page)]
        page.emulate_media(color_scheme="light")
    return found
