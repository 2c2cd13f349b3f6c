"""The stamp of the house while several people write."""

from threading import Event, Thread

import pytest
from django.db import connection, transaction

from sessions.clients.models import Client
from sessions.papers.pdf import PaperSize
from sessions.papers.stored.kinds import Wanted
from sessions.papers.stored.stamps import stamp_of
from sessions.recall.sheet.keeping import RECALL_SHEET
from tests.factories import ClientFactory, UserFactory

WANTED = Wanted(RECALL_SHEET, 1, PaperSize.A4, "http://localhost/recall/songs/1/")


@pytest.mark.django_db
def test_stamp_costs_one_query(django_assert_num_queries, engineer):
    with django_assert_num_queries(1):
        stamp_of(WANTED, engineer)


@pytest.mark.django_db
def test_stamp_is_of_who_asks_for_what(engineer, manager):
    stamps = {
        stamp_of(Wanted(RECALL_SHEET, song, size, "http://localhost/"), user)
        for song in (1, 2)
        for size in PaperSize
        for user in (engineer, manager)
    }

    assert len(stamps) == 2 * len(PaperSize) * 2


@pytest.mark.postgres
def test_what_was_begun_before_and_ends_after_the_newest_change_is_noticed(
    on_postgresql, real_database
):
    """Its history has a lower number than the newest that could be seen meanwhile."""
    slow, quick, user = ClientFactory(), ClientFactory(), UserFactory()
    begun, may_end = Event(), Event()

    def write_slowly():
        with transaction.atomic():
            Client.objects.get(pk=slow.pk).save()
            begun.set()
            may_end.wait(10)
        connection.close()

    writer = Thread(target=write_slowly)
    writer.start()
    assert begun.wait(10)
    quick.save()
    meanwhile = stamp_of(WANTED, user)
    may_end.set()
    writer.join()

    assert stamp_of(WANTED, user) != meanwhile
