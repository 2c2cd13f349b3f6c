import pytest

from tests.sessions.recall.then_and_now.measured import rebuilt


@pytest.fixture
def browser(client_of, engineer):
    return client_of(engineer)


@pytest.fixture
def rebuild(engineer):
    """Of the lead vocal, whose whole chain was measured while it was recorded."""
    return rebuilt(engineer)
