import pytest

from tests.sessions.recall.rebuilds.vocal import recorded_vocal, started


@pytest.fixture
def vocal():
    return recorded_vocal()


@pytest.fixture
def rebuild(vocal, engineer):
    return started(vocal, engineer)
