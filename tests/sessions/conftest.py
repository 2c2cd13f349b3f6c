import pytest


@pytest.fixture
def web(client_of, manager):
    return client_of(manager)
