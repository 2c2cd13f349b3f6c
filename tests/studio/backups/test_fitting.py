"""What SQLite keeps and PostgreSQL refuses is told by its place, before anything is written."""

import pytest
from django.db import connection
from django.db.backends.base.operations import BaseDatabaseOperations

from studio.backups.contents import models
from studio.backups.fitting import misfits
from studio.backups.reading import opened
from tests.factories import ClientFactory, LetterFactory, TakeFactory

pytestmark = pytest.mark.django_db


class Engine:
    """What `misfits` asks of an engine that keeps to the lengths and ranges of its columns."""

    vendor = "postgresql"
    ops = BaseDatabaseOperations(connection)


def test_what_the_other_engine_refuses_is_told_by_its_place(backup_of):
    client = ClientFactory(name="N" * 300, note="Nul\0")
    letter = LetterFactory(told={"deep": [{"a": "\ud800"}]})
    TakeFactory(number=2**40)
    with opened(backup_of()) as archive:
        said = list(misfits(archive, models(), Engine))

    assert f"studio_sessions_client, id {client.pk}, name: 300 letters, where 120 fit." in said
    assert f"studio_sessions_client, id {client.pk}, note: it holds the sign NUL." in said
    assert f"studio_sessions_letter, id {letter.pk}, told: it holds half of a sign." in said
    assert any("number: 1099511627776 is out of range" in each for each in said)
