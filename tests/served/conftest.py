import pytest

from tests.served.serving import Served
from tests.shared_database import SharedDatabase


@pytest.fixture
def served(real_database, tmp_path):
    """`served()`: the studio over HTTP, with the people and things of the test so far."""
    started = []

    def start(**environment):
        started.append(Served(tmp_path, SharedDatabase(tmp_path).url, **environment))
        return started[-1]

    yield start
    for one in started:
        one.stop()
