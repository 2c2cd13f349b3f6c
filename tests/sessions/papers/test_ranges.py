"""Which stretch of a file is meant; cases by RFC 9110, section 14."""

import pytest
from django.test import RequestFactory

from sessions.papers.ranges import Unsatisfiable, wanted_range

ETAG = '"abc"'


def wanted(value, *, method="get", size=1000, **headers):
    request = getattr(RequestFactory(), method)("/", headers={"Range": value, **headers})
    return wanted_range(request, size=size, etag=ETAG)


@pytest.mark.parametrize(
    ("value", "stretch"),
    [
        ("bytes=0-499", (0, 499)),
        ("bytes=500-999", (500, 999)),
        ("bytes=-500", (500, 999)),
        ("bytes=9-", (9, 999)),
        ("bytes=0-0", (0, 0)),
        ("bytes=990-5000", (990, 999)),
        ("bytes=-5000", (0, 999)),
    ],
)
def test_a_single_range_is_cut_to_the_file(value, stretch):
    assert wanted(value) == stretch


@pytest.mark.parametrize(
    "value", ["", "bytes=-", "bytes=5-2", "bytes=a-b", "lines=0-9", "bytes=0-1,5-6", "bytes=٣-٤"]
)
def test_what_is_no_single_range_is_passed_over(value):
    assert wanted(value) is None


@pytest.mark.parametrize("value", ["bytes=1000-", "bytes=5000-6000", "bytes=-0"])
def test_a_range_behind_the_end_cannot_be_had(value):
    with pytest.raises(Unsatisfiable):
        wanted(value)


def test_a_range_holds_only_for_the_file_that_was_meant():
    assert wanted("bytes=0-9", **{"If-Range": ETAG}) == (0, 9)
    assert wanted("bytes=0-9", **{"If-Range": '"other"'}) is None
    assert wanted("bytes=0-9", **{"If-Range": "Mon, 01 Jun 2026 10:00:00 GMT"}) is None


def test_a_range_means_nothing_where_no_content_is_asked_for():
    assert wanted("bytes=0-9", method="head") is None
