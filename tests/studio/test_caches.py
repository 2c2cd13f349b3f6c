"""Every page is walked for this, too, by all roles: `test_access.py`, `caching.py`."""

import json
import re
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories import DeliverableFileFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("asked", ["/no-such-page/", "/songs/999/", "/clients/new/", "/?csv=1"])
def test_no_error_and_no_list_is_kept(client_of, engineer, asked):
    for web in (client_of(engineer), Client()):
        assert web.get(asked)["Cache-Control"] == "no-store"


def test_page_that_breaks_is_not_kept(client_of, engineer, monkeypatch):
    def breaks(*args, **kwargs):
        raise RuntimeError("a page that breaks")

    monkeypatch.setattr("sessions.songs.views.list_page", breaks)
    web = client_of(engineer)
    web.raise_request_exception = False

    answer = web.get(reverse("songs:list"))

    assert (answer.status_code, answer["Cache-Control"]) == (500, "no-store")


def test_file_that_is_kept_is_asked_for_again_and_not_sent_again(client_of, engineer):
    """RFC 9111, 4.3: `no-cache` is kept, and used only once the server says that it is still the same."""
    file = DeliverableFileFactory(file__data=b"a rough mix")
    where, web = reverse("deliverables:download", args=[file.pk]), client_of(engineer)

    first = web.get(where)
    known = {"If-None-Match": first["ETag"]}
    again, signed_out = web.get(where, headers=known), Client().get(where, headers=known)

    assert (first["Cache-Control"], first.getvalue()) == ("private, no-cache", b"a rough mix")
    assert (again.status_code, again.content) == (304, b"")
    assert again["Cache-Control"] == "private, no-cache"
    assert (signed_out.status_code, signed_out["Cache-Control"]) == (302, "no-store")


def test_htmx_keeps_no_page_on_the_device(client_of, engineer):
    """Its documentation, "Disabling History Snapshots" and `htmx.config.historyEnabled`."""
    page = client_of(engineer).get(reverse("home")).text
    config = json.loads(re.search(r"name=\"htmx-config\" content='([^']+)'", page)[1])

    assert config["historyEnabled"] is False
    templates = [each.read_text() for each in Path("templates").rglob("*.html")]
    assert not [text for text in templates if re.search(r"hx-(push-url|replace-url|boost)", text)]
