"""Every list goes out as CSV, from its own page, by the one link that its table draws."""

import csv
import io
from pathlib import Path
from urllib.parse import urljoin

import django_tables2
import pytest
from django.conf import settings
from lxml import html

from gear.tables import ListTable
from studio.access import PAGES, PUBLIC
from tests.browser.visits import FILES, TAKES_ONLY_DATA
from tests.factories import ProjectFactory
from tests.studio.every_page import ROW, address, rows_of

#: The lists whose page is about one thing; each other list has a page whose address holds no number.
OF_ONE_THING = {"series:detail", "setups:for_unit", "terms:card", "patchbay:bay_detail"}
OF_ONE_THING |= {"media:medium", "media:project", "proving:unit"}
TEMPLATES = Path(settings.BASE_DIR) / "templates"


def test_every_table_is_a_list_that_goes_out_as_csv():
    """The style page shows a table of nothing."""
    tables = set(django_tables2.Table.__subclasses__()) - {ListTable}

    assert {table.__module__ for table in tables if "tests" not in table.__module__} <= {
        "studio.style"
    }


@pytest.mark.django_db
def test_every_page_with_a_table_has_the_link_in_one_place_and_its_file(client_of, manager):
    client, rows = client_of(manager), rows_of(ProjectFactory())
    pages = {page for page in PAGES if page not in ROW and not page.endswith("create")}
    pages |= OF_ONE_THING
    shut = FILES | TAKES_ONLY_DATA | {"logout", "style"}
    pages -= shut | {page for page, roles in PAGES.items() if roles is PUBLIC}
    drawn = set()
    for page in sorted(pages):
        here = address(page, rows)
        answer = client.get(here, follow=True)
        tables = {each.name for each in answer.templates} & set(_TABLE_PAGES)
        if not tables:
            continue
        drawn |= tables
        found = html.fromstring(answer.content).xpath(
            "//*[table[contains(@class, 'table')]]/following-sibling::*[1]"
            "[@class='table-foot']/a[contains(., 'Export CSV')]/@href"
        )
        assert len(found) == sum(_TABLE_PAGES[each] for each in tables), page
        for link in found:
            file = client.get(urljoin(here, link))
            text = b"".join(file.streaming_content).decode()
            assert file["Content-Type"] == "text/csv; charset=utf-8", page
            assert text.startswith("\ufeff"), page
            head, *lines = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
            assert all(head), page
            assert {len(line) for line in lines} <= {len(head)}, page

    assert drawn == set(_TABLE_PAGES)


DRAWN = ("{% render_table", 'include "components/table_foot.html" with table=')
#: Each page, or part of one, that draws tables, with how many.
_TABLE_PAGES = {
    str(path.relative_to(TEMPLATES)): count
    for path in TEMPLATES.rglob("*.html")
    if "style" not in path.parts and (count := sum(map(path.read_text().count, DRAWN)))
}
