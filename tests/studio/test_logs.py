"""What a log line and a mail say; behind a real server: `tests/served/test_logs.py`."""

import logging

import pytest
from django.core import mail
from django.test import RequestFactory

from studio.logs import AdminMail, RequestFormatter, public_path

SECRET = "moored-at-the-third-bollard"


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        ("/songs/12/", "/songs/12/"),
        (f"/feeds/{SECRET}.ics", "/feeds/-.ics"),
        (f"/feeds/{SECRET}", "/feeds/…"),
        ("/no-such\npage", "/no-such%0Apage"),
    ],
)
def test_path_is_shown_without_its_secret(path, shown):
    assert public_path(path) == shown


def test_request_line_of_the_development_server_holds_no_secret():
    line = (f"GET /feeds/{SECRET}.ics?x=1 HTTP/1.1", "200", "812")
    record = logging.LogRecord("django.server", logging.INFO, "", 0, '"%s" %s %s', line, None)

    said = RequestFormatter().format(record)

    assert said.endswith('"GET /feeds/-.ics HTTP/1.1" 200 812')


@pytest.fixture
def record():
    request = RequestFactory().post("/password/", {"old_password": "herring-by-lamplight"})
    request.id = "a1b2c3"
    assert request.POST
    record = logging.LogRecord("django.request", logging.ERROR, "", 0, "No row %s", (), None)
    record.args, record.request = ("(7, herring-by-lamplight)",), request
    return record


def test_password_that_was_posted_is_in_no_log(record):
    said = RequestFormatter().format(record)

    assert said.endswith("request=a1b2c3 user=- POST /password/ No row (7, …)")


def test_administrators_get_what_the_log_says_and_no_more(record, settings):
    settings.ADMINS = [("", "ops@quay-steps.example")]
    handler = AdminMail()
    handler.setFormatter(RequestFormatter())

    handler.emit(record)

    [sent] = mail.outbox
    assert sent.subject == "[Django] Error in request a1b2c3"
    assert sent.body == RequestFormatter().format(record)
