"""Numbers of requests, and what a page takes; real bodies: `tests/served/test_bodies.py`."""

import pytest
from django.urls import reverse

from studio import access

pytestmark = pytest.mark.django_db


def test_every_answer_and_every_error_page_holds_its_number(client_of, engineer):
    web = client_of(engineer)

    page, missing = web.get(reverse("home")), web.get("/no-such-page/")

    numbers = [answer.headers["X-Request-ID"] for answer in (page, missing)]
    assert len(set(numbers)) == 2
    assert numbers[1] in missing.text


@pytest.mark.parametrize("key", [2**63, 99999999999999999999, "9" * 5000])
def test_key_that_no_database_counts_to_is_not_there(client_of, engineer, key):
    assert client_of(engineer).get(f"/songs/{key}/").status_code == 404


def test_body_larger_than_the_page_takes_is_refused_in_words(client_of, manager):
    web, much = client_of(manager), "a" * access.BODY_LIMIT

    refused = web.post(reverse("clients:create"), {"name": much})

    assert refused.status_code == 413
    assert "It is larger than the 2.5" in refused.text


def test_every_page_that_takes_files_is_one(client):
    assert set(access.TAKES_FILES) <= set(access.PAGES)
    assert all(0 < limit < 64 << 20 for limit in access.TAKES_FILES.values())


def test_unreadable_form_is_answered_in_words(client_of, manager):
    answer = client_of(manager).post(
        reverse("clients:create"), b"--", content_type="multipart/form-data"
    )

    assert answer.status_code == 400
    assert "The form could not be read" in answer.text
