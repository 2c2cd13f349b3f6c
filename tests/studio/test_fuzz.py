"""A share of what `python -m tests.measure long fuzz` sends for longer."""

import pytest

from tests.fuzzing import fuzz


@pytest.mark.filterwarnings("ignore:Use '__' to separate path components")  # of a crafted `sort`
@pytest.mark.django_db
def test_no_crafted_request_is_answered_by_an_error():
    fuzzed = fuzz(250, seed=9)

    assert sum(fuzzed.statuses.values()) >= 250
    assert list(map(str, fuzzed.failures.values())) == []
