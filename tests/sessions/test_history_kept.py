"""No code of ours, and no person at a database’s prompt, changes history by mistake."""

import pytest
from django.db import IntegrityError, connection, transaction

from gear.editing.history import history_models
from sessions import constraints
from sessions.clients.models import Person
from sessions.setups.models import Chain
from studio.erasures import Erasure
from tests.factories import PartFactory, PersonFactory, RevisionFactory

pytestmark = pytest.mark.django_db


def refused(change, says="history_kept"):
    with pytest.raises(IntegrityError, match=says), transaction.atomic():
        change()


def test_history_is_neither_changed_nor_deleted():
    person = PersonFactory(name="Ysolde Farrant")

    refused(lambda: person.history.update(name="Somebody"))
    refused(lambda: person.history.all().delete())
    refused(lambda: Person.history.all()._raw_delete("default"))

    assert person.history.get().name == "Ysolde Farrant"


def test_history_of_links_is_kept_as_well():
    chain = RevisionFactory().chain
    chain.parts.add(PartFactory())
    links = Chain.history.model.parts.model.objects.all()

    refused(lambda: links.update(part=None))
    refused(lambda: links._raw_delete("default"))

    assert links.exists()


def test_each_history_table_has_both_rules():
    kept = {(rule.table, rule.event) for rule in constraints.history_triggers()}

    tables = {model._meta.db_table for model in history_models()}
    assert kept == {(table, event) for table in tables for event in ("UPDATE", "DELETE")}
    assert len({rule.name for rule in constraints.history_triggers()}) == len(kept)
    assert (
        max(len(rule.name) for rule in constraints.history_triggers()) <= 63
    )  # PostgreSQL’s limit


def test_only_an_open_erasure_changes_history():
    person = PersonFactory(name="Ysolde Farrant")

    with Erasure.opened() as erasure:
        person.history.update(name="Somebody")
        refused(lambda: person.history.all()._raw_delete("default"))

    assert person.history.get().name == "Somebody"
    refused(lambda: person.history.update(name="Nobody"))
    refused(lambda: Erasure.objects.filter(pk=erasure.pk).update(changed={}), "erasure_kept")
    refused(lambda: Erasure.objects.filter(pk=erasure.pk).update(still_open=0), "erasure_kept")
    refused(lambda: Erasure.objects.all()._raw_delete("default"), "erasure_kept")


def test_no_erasure_is_open_to_itself_or_another_which_could_be_committed():
    with Erasure.opened() as closed:
        own = closed.pk
        refused(lambda: Erasure.objects.filter(pk=own).update(still_open=own), "erasure_kept")
    new = own + 1

    refused(lambda: Erasure.objects.create(pk=new, still_open_id=new), "erasure_kept")
    refused(lambda: Erasure.objects.create(still_open=closed), "erasure_kept")
    refused(lambda: Erasure.objects.create(pk=0), "erasure_kept")
    with Erasure.opened() as open_one:
        to_none = Erasure.objects.filter(pk=open_one.pk)
        refused(lambda: to_none.update(id=0), "erasure_kept")


def test_history_is_not_written_over():
    """INSERT OR REPLACE on SQLite, TRUNCATE on PostgreSQL."""
    person = PersonFactory(name="Ysolde Farrant")
    table = Person.history.model._meta.db_table
    over = {
        "sqlite": f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}",  # noqa: S608
        "postgresql": f"TRUNCATE {table}",
    }
    connection.check_constraints()  # PostgreSQL empties no table whose keys are still to be checked
    with connection.cursor() as cursor:
        refused(lambda: cursor.execute(over[connection.vendor]))

    assert person.history.get().name == "Ysolde Farrant"
    names = [rule.name for rule in constraints.triggers("postgresql")]
    assert max(map(len, names)) <= 63
    assert len(names) == len(set(names))


def test_erasure_that_stays_open_is_not_committed(real_database):
    with pytest.raises(IntegrityError), transaction.atomic():
        Erasure.objects.create(still_open_id=0)

    assert not Erasure.objects.exists()
    assert constraints.missing(connection) == set()
