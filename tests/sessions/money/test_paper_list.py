"""Quotes and work orders by their number."""

import csv
import io
from decimal import Decimal

import pytest
from django.urls import reverse

from sessions.money.models import PaperKind
from tests.factories import MoneyPaperFactory, ProjectFactory, RecordingSessionFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("count", [1, 3])
def test_papers_cost_the_same_however_many(client_of, manager, count, django_assert_num_queries):
    for number in range(1, count + 1):
        MoneyPaperFactory(number=number)
    client = client_of(manager)

    with django_assert_num_queries(4):
        page = client.get(reverse("money:papers")).text

    assert page.count("paper.pdf") == count


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"q": "2"}, ["Quote 2"]),
        ({"q": "brass"}, ["Work order 1"]),
        ({"kind": "quote", "sort": "paper"}, ["Quote 1", "Quote 2"]),
        ({"since": "2050-01-01"}, []),
    ],
)
def test_papers_are_found(client_of, manager, asked, found):
    project = ProjectFactory(name="Fanfares", client__name="Pier Records")
    strings, brass = (
        RecordingSessionFactory(title=title, project=project) for title in ("Strings", "Brass")
    )
    MoneyPaperFactory(session=strings)
    MoneyPaperFactory(session=strings, number=2)
    MoneyPaperFactory(kind=PaperKind.WORK_ORDER, session=brass)

    page = client_of(manager).get(reverse("money:papers"), asked)

    assert [str(row.record) for row in page.context["table"].rows] == found


def test_papers_as_csv_give_plain_figures(client_of, manager):
    MoneyPaperFactory(net=Decimal(1000), tax=Decimal(200), total=Decimal(1200), note="=1+1")

    answer = client_of(manager).get(reverse("money:papers"), {"csv": "1"})

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    [row] = csv.DictReader(io.StringIO(text, newline=""))
    assert (row["kind"], row["number"], row["total"], row["note"]) == (
        "quote",
        "1",
        "1200.00",
        "'=1+1",
    )
