import pytest
from django.apps import apps
from django.db.models import PROTECT, ProtectedError

from gear.editing.history import history_models
from sessions.setups.models import Chain
from tests.factories import UserFactory


def test_whoever_a_history_names_is_not_deleted(db, manager):
    other = UserFactory()
    other.first_name = "Ysolde"
    other._history_user = manager
    other.save()

    with pytest.raises(ProtectedError):
        manager.delete()


def test_all_histories_are_found_and_keep_their_users():
    documented = {
        model.history.model
        for model in apps.get_models()
        if hasattr(model._meta, "simple_history_manager_attribute")
    }

    found = history_models()

    assert documented < set(found)
    assert Chain.history.model.parts.model in found
    users = [model._meta.get_field("history_user") for model in documented]
    assert {field.remote_field.on_delete for field in users} == {PROTECT}
