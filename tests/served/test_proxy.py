"""The proxy file and the certificate of `studio/serving/`, as README.md has them used."""

import re
from concurrent.futures import ThreadPoolExecutor
from uuid import UUID

import pytest
from django.urls import NoReverseMatch, reverse

from studio import access
from tests.conftest import skip_or_fail
from tests.factories import PASSWORD, DeliverableFileFactory
from tests.served.proxy import BEHIND, NAME, SERVING, make_certificate, nginx, proxy_before
from tests.served.slow import slow_clients

SIZE = 16 << 20
SECRETS = (
    "/d/moored-at-the-third-bollard/",
    "/d/moored-at-the-third-bollard/pack.zip",
    "/feeds/moored-at-the-third-bollard.ics",
    "/feeds/moored-at-the-third-bollard",
    "//feeds/moored-at-the-third-bollard.ics",
    "/fed/moored-at-the-third-bollard.ics?x",
)


@pytest.fixture
def proxied(served, tmp_path):
    """The studio behind the shipped file, and what the proxy logs."""
    if nginx() is None:
        skip_or_fail("there is no nginx: apt-get install nginx-light")
    certificate = make_certificate(tmp_path / "certificate")
    studio = served(**BEHIND)
    with proxy_before(studio, certificate, tmp_path) as log:
        yield studio, log


@pytest.fixture
def sound(settings, tmp_path, db):
    """A sound file larger than what a connection holds that nobody reads from."""
    settings.MEDIA_ROOT = tmp_path / "data" / "files"
    content = b"0123456789abcdef" * (SIZE // 16)
    return DeliverableFileFactory(file__data=content, original_name="Neap – take 2.wav")


def sign_in(studio, user):
    asked = {"Host": NAME, "Referer": f"https://{NAME}/sign-in/"}
    page = studio.ask("/sign-in/", **asked)
    typed = {"username": user.username, "password": PASSWORD}
    return page, studio.ask("/sign-in/", typed, **asked, **{"X-Forwarded-For": "203.0.113.9"})


def test_somebody_signs_in_through_the_proxy_under_the_houses_certificate(engineer, proxied):
    studio, log = proxied

    page, signed_in = sign_in(studio, engineer)
    worker = studio.ask("/tracking-worker.js", Host=NAME)
    secrets = [studio.ask(address, Host=NAME).status for address in SECRETS]

    assert [answer.status for answer in (page, signed_in, worker)] == [200, 302, 200]
    assert secrets == [404] * len(SECRETS)
    assert "Secure" in signed_in.headers["Set-Cookie"]
    assert page.headers["Strict-Transport-Security"]
    logged = log.read_text()
    assert "POST /sign-in/ 302" in logged
    assert "GET /feeds/- 404" in logged
    assert "bollard" not in logged


def test_hundred_slow_clients_hold_nobody_up(sound, engineer, proxied):
    """Ten people work on beside them, and one downloads; whoever stood in their way would do so until
    the end. The proxy sends the file, to whom a page lets have it."""
    studio, _ = proxied
    address = reverse("deliverables:download", args=[sound.pk])
    stranger = studio.ask(address, Host=NAME)
    sign_in(studio, engineer)

    with slow_clients(studio, 100, download=address), ThreadPoolExecutor(10) as people:
        pages = list(people.map(lambda _: studio.ask("/songs/", Host=NAME).status, range(20)))
        stretch = studio.ask(address, Host=NAME, Range=f"bytes={SIZE - 3}-")
    again = studio.ask(address, **{"Host": NAME, "If-None-Match": stretch.headers["ETag"]})
    past_the_page = studio.ask(f"/stored/{sound.file.name}", Host=NAME)

    assert pages == [200] * 20
    answers = (stranger, stretch, again, past_the_page)
    assert [each.status for each in answers] == [302, 206, 304, 404]
    assert stretch.text == "def"
    assert stretch.headers["Content-Range"] == f"bytes {SIZE - 3}-{SIZE - 1}/{SIZE}"
    assert stretch.headers["Content-Type"] == "audio/wav"
    assert "take%202.wav" in stretch.headers["Content-Disposition"]
    assert stretch.headers["Cache-Control"] == "private, no-cache"
    assert "default-src 'none'" in stretch.headers["Content-Security-Policy"]
    assert "X-Accel-Redirect" not in stretch.headers


def test_limits_of_proxy_and_pages_agree():
    """What takes more than a form passes the proxy; no body is over 16 MiB but a minute of sound."""
    conf = (SERVING / "nginx.conf").read_text()
    passed = re.findall(r"location ~ (\S+) \{\s+client_max_body_size (\d+)m;", conf)
    larger = {
        page: limit for page, limit in access.TAKES_FILES.items() if limit > access.BODY_LIMIT
    }
    refused = [
        page
        for page, limit in larger.items()
        if not any(
            limit < int(mebibytes) << 20 and re.match(pattern, address_of(page))
            for pattern, mebibytes in passed
        )
    ]

    assert refused == []
    assert [page for page, limit in larger.items() if limit >= 16 << 20] == ["proving:take_return"]


def address_of(page: str) -> str:
    for key in ([], [7], [UUID(int=7)]):
        try:
            return reverse(page, args=key)
        except NoReverseMatch:
            continue
    raise LookupError(page)
