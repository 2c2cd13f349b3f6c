"""The proxy file and the certificate of `studio/serving/`, as README.md has them used."""

import os
import shutil
import socket
import ssl
import subprocess
import time
from pathlib import Path

import pytest

from tests.conftest import skip_or_fail
from tests.factories import PASSWORD
from tests.served.serving import HOST, PATIENCE

SERVING = Path(__file__).resolve().parents[2] / "studio" / "serving"
NAME = "studio.lan"


@pytest.fixture
def certificate(tmp_path):
    """The folder with the house's own certificate for the studio's name."""
    folder = tmp_path / "certificate"
    subprocess.run([SERVING / "certificate", folder, NAME, HOST], check=True)
    return folder


@pytest.fixture
def proxied(certificate, served, tmp_path):
    """The studio behind the shipped file, asked by somebody who trusts the house's certificate alone,
    and what the proxy logs."""
    nginx = shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin")
    if nginx is None:
        skip_or_fail("there is no nginx: apt-get install nginx-light")
    studio = served(HTTPS_ONLY="True", ALLOWED_HOSTS=f"{NAME},{HOST}", TRUSTED_PROXIES=HOST)
    trusting = ssl.create_default_context(cafile=certificate / "house.crt")
    https = _free_port()

    def connect():
        plain = socket.create_connection((HOST, https), timeout=PATIENCE)
        return trusting.wrap_socket(plain, server_hostname=NAME)

    log, config = tmp_path / "access.log", tmp_path / "nginx.conf"
    site = _here(
        {
            "listen 80;": f"listen {HOST}:{_free_port()};",
            "listen 443 ssl;": f"listen {HOST}:{https} ssl;",
            "/etc/studio/certificate": str(certificate),
            "127.0.0.1:8000": f"{HOST}:{studio.port}",
        }
    )
    config.write_text(
        f"daemon off; pid {tmp_path}/pid; events {{}} http {{ access_log {log};"
        f"client_body_temp_path {tmp_path}/body; {site} }}"
    )
    command = [nginx, "-p", str(tmp_path), "-c", str(config), "-e", "stderr"]
    subprocess.run([*command, "-t"], check=True)
    proxy = subprocess.Popen(command)
    _wait_for(https)
    studio.connect = connect
    yield studio, log
    proxy.terminate()
    proxy.wait()


def _free_port() -> int:
    with socket.create_server((HOST, 0)) as free:
        return free.getsockname()[1]


def _here(changed: dict[str, str]) -> str:
    """The shipped file, with the ports and folders of a test."""
    site = (SERVING / "nginx.conf").read_text()
    for shipped, here in changed.items():
        assert shipped in site
        site = site.replace(shipped, here)
    return site


def _wait_for(port: int) -> None:
    until = time.monotonic() + PATIENCE
    while True:
        try:
            return socket.create_connection((HOST, port)).close()
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)


def test_somebody_signs_in_through_the_proxy_under_the_houses_certificate(engineer, proxied):
    studio, log = proxied
    asked = {"Host": NAME, "Referer": f"https://{NAME}/sign-in/", "X-Forwarded-For": "203.0.113.9"}

    page = studio.ask("/sign-in/", **asked)
    signed_in = studio.ask(
        "/sign-in/", {"username": engineer.username, "password": PASSWORD}, **asked
    )
    worker = studio.ask("/tracking-worker.js", **asked)
    secret = studio.ask("/feeds/moored-at-the-third-bollard.ics", **asked)

    answers = (page, signed_in, worker, secret)
    assert [answer.status for answer in answers] == [200, 302, 200, 404]
    assert "Secure" in signed_in.headers["Set-Cookie"]
    assert page.headers["Strict-Transport-Security"]
    logged = log.read_text()
    assert "POST /sign-in/" in logged
    assert "bollard" not in logged
