"""The studio behind a server of its own, in processes whose umask shuts nobody out."""

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart

ROOT = Path(__file__).resolve().parents[2]
HOST = "127.0.0.1"
PATIENCE = 60  # seconds until gunicorn must answer


def free_port() -> int:
    with socket.create_server((HOST, 0)) as free:
        return free.getsockname()[1]


class Served:
    """By gunicorn alone, or as `serve` says by `manage.py serve`, with its workers."""

    def __init__(self, folder, database_url, *, workers=1, serve=(), **environment):
        self.cookies = {}
        self.data, self.log = folder / "data", folder / "log"
        self.port = free_port()
        command = [sys.executable, "-m", "gunicorn", "studio.wsgi", "--workers", str(workers)]
        command += ["-c", ROOT / "studio/serving/gunicorn.conf.py", "--log-level", "warning"]
        if serve:
            command = [sys.executable, ROOT / "manage.py", "serve", *serve]
        command += ["--bind", f"{HOST}:{self.port}"]
        facts = {"DJANGO_SETTINGS_MODULE": "tests.served.settings", "DATA_DIR": str(self.data)}
        with self.log.open("wb") as log:
            self.server = subprocess.Popen(
                command,
                env=os.environ | facts | {"DATABASE_URL": database_url} | environment,
                stdout=log,
                stderr=log,
                start_new_session=True,
                umask=0,
            )
        until = time.monotonic() + PATIENCE
        while not self._answers():
            if time.monotonic() > until:
                self.stop()
                raise RuntimeError(self.log.read_text())
            time.sleep(0.1)

    def _answers(self) -> bool:
        try:
            return self.ask("/static/nothing").status in {301, 404}  # 301: to https
        except OSError:
            return False

    def connect(self) -> socket.socket:
        return socket.create_connection((HOST, self.port), timeout=PATIENCE)

    def ask(self, address, facts=None, *, method="", body=None, **headers):
        """The answer, with its text; `facts` are posted as a browser posts a form, a `body` as a
        script sends it."""
        web = http.client.HTTPConnection(HOST, self.port)
        web.sock = self.connect()
        if facts is not None:
            token = {"csrfmiddlewaretoken": self.cookies.get("csrftoken", "")}
            facts = encode_multipart(BOUNDARY, facts | token)
            headers |= {"Content-Type": MULTIPART_CONTENT}
        if body is not None:
            headers |= {"X-CSRFToken": self.cookies["csrftoken"]}
        headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        web.request(method or ("GET" if facts is None else "POST"), address, facts or body, headers)
        answer = web.getresponse()
        answer.content = answer.read()
        answer.text = answer.content.decode(errors="replace")
        for cookie in answer.headers.get_all("Set-Cookie") or ():
            name, value = re.match(r"(\w+)=([^;]*)", cookie).groups()
            self.cookies[name] = value
        web.close()
        return answer

    def sign_in(self, username, password):
        self.ask("/sign-in/")
        return self.ask("/sign-in/", {"username": username, "password": password})

    def stop(self) -> None:
        os.killpg(self.server.pid, signal.SIGTERM)
        self.server.wait()
