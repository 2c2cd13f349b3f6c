"""The shipped proxy file before a gunicorn, in Debian's nginx."""

import getpass
import os
import shutil
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.served.serving import HOST, PATIENCE, Served, free_port

SERVING = Path(__file__).resolve().parents[2] / "studio" / "serving"
NAME = "studio.lan"
#: What a studio behind the proxy has in its environment.
BEHIND = {
    "HTTPS_ONLY": "True",
    "ALLOWED_HOSTS": f"{NAME},{HOST}",
    "TRUSTED_PROXIES": HOST,
    "PROXY_SENDS_FILES": "True",
}


def nginx() -> str | None:
    return shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin")


def make_certificate(folder: Path) -> Path:
    subprocess.run([SERVING / "certificate", folder, NAME, HOST], check=True, capture_output=True)
    return folder


@contextmanager
def proxy_before(studio: Served, certificate: Path, folder: Path) -> Iterator[Path]:
    """From now on the studio is asked through the proxy, by somebody who trusts the house's certificate
    alone. Gives the file of all that the proxy logs."""
    https, log, config = free_port(), folder / "proxy.log", folder / "nginx.conf"
    site = _here(
        {
            "listen 80;": f"listen {HOST}:{free_port()};",
            "listen 443 ssl;": f"listen {HOST}:{https} ssl;",
            "/etc/studio/certificate": str(certificate),
            "/var/log/nginx/studio.log": str(log),
            "/var/lib/studio/files/": f"{studio.data}/files/",
            "127.0.0.1:8000": f"{HOST}:{studio.port}",
        }
    )
    config.write_text(
        f"user {getpass.getuser()}; daemon off; pid {folder}/pid; worker_processes 2; error_log {log} info;"
        "events { worker_connections 768; }"
        f"http {{ client_body_temp_path {folder}/body; proxy_temp_path {folder}/answers; {site} }}"
    )
    trusting = ssl.create_default_context(cafile=certificate / "house.crt")

    def connect() -> ssl.SSLSocket:
        plain = socket.create_connection((HOST, https), timeout=PATIENCE)
        return trusting.wrap_socket(plain, server_hostname=NAME)

    command = [nginx(), "-p", folder, "-c", config, "-e", log]
    subprocess.run([*command, "-t", "-q"], check=True)
    server = subprocess.Popen(command)
    try:
        _wait_for(https)
        studio.connect = connect
        yield log
    finally:
        server.terminate()
        server.wait()


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
