"""Somebody’s name is put into every text of every table that the factories fill, and sought in all of the
database once it is erased."""

import inspect

import pytest
from django.apps import apps
from django.db import DatabaseError, transaction
from django.db.models import JSONField
from factory.django import DjangoModelFactory

from gear.editing.history import history_models
from sessions.clients.models import Client, Person
from studio.erasing.actions import erase, plan
from studio.erasing.fields import PLACES, texts_of, walked, walked_models
from studio.erasing.whom import whom
from studio.erasures import Erasure
from studio.models import User
from tests import factories
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db

NAME, EMAIL, PHONE = "Ysólde O’Farrant", "ysolde@farrant.example", "01632 960987"

WHO = (Person, User, Client)  # with whom they would share it


@pytest.fixture
def them():
    return PersonFactory(name=NAME, email=EMAIL, phone=PHONE)


@pytest.fixture
def studio(them):
    """A row of everything that there is a factory for, and its history; theirs are the first."""
    for _, factory in sorted(inspect.getmembers(factories, inspect.isclass)):
        if issubclass(factory, DjangoModelFactory):
            factory()


def put(value, model):
    """Into every text of one row."""
    row = model._base_manager.order_by("pk").first()
    if getattr(model, "instance_type", model) in WHO:
        return False
    fields = [each for each in walked(model) if (each.max_length or 99) > len(value)]
    if row is None or not fields:
        return False
    facts = {
        each.name: {value: [value, 1]} if isinstance(each, JSONField) else value for each in fields
    }
    try:
        with transaction.atomic():
            model._base_manager.filter(pk=row.pk).update(**facts)
    except DatabaseError:
        return False
    return True


def tables_with(*words):
    """In which any text says any of them, whatever field it stands in."""
    found = set()
    for model in apps.get_models(include_auto_created=True):
        label = getattr(model, "instance_type", model)._meta.label_lower
        names = [each.name for each in texts_of(model) if each.name not in PLACES.get(label, ())]
        for row in model._base_manager.values_list(*names) if names else ():
            if any(word.casefold() in str(row).casefold() for word in words):
                found.add(label)
    return found


def test_nothing_says_the_name_any_more_but_what_was_issued_or_signed(them, studio):
    with Erasure.opened():
        filled = {model.__name__ for model in walked_models() if put(NAME, model)}
    assert len(filled) > 100
    assert {model.__name__ for model in history_models() if walked(model)} & filled

    found = whom(person=them, user=None)
    erase(found, plan(found))

    assert tables_with(NAME, EMAIL, PHONE) == set()
    assert plan(found) == {}
