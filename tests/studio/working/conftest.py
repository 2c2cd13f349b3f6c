import pytest
from django.db import connections


@pytest.fixture(autouse=True)
def _connection_stays_open(monkeypatch):
    """A worker closes its connection between tasks; on PostgreSQL that would end the transaction in
    which a test runs."""
    monkeypatch.setattr(connections["default"], "close", lambda: None)
