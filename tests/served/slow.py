"""Clients that are slow or hang, each on a connection that it keeps."""

import socket
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager

from tests.served.serving import Served

NOBODYS = "00000000-0000-4000-8000-000000000000"
WAYS = ("headers", "body", "piece", "download", "idle")


@contextmanager
def slow_clients(studio: Served, count: int, *, download: str) -> Iterator[None]:
    """So many, in every way there is, signed in as the studio's last asker is; they hold on until the
    block ends. `download` is the address of a file larger than what fits into the machine's buffers."""
    with ExitStack() as held:
        for number in range(count):
            way = WAYS[number % len(WAYS)]
            held.enter_context(_begin(studio, way, download))
        yield


def _begin(studio: Served, way: str, download: str) -> socket.socket:
    cookies = "; ".join(f"{name}={value}" for name, value in studio.cookies.items())
    head = f"Host: studio.lan\r\nCookie: {cookies}\r\n"
    form = "Content-Type: application/x-www-form-urlencoded\r\n"
    begun = {
        "headers": f"GET / HTTP/1.1\r\n{head}X-Slow",
        "body": f"POST /sign-in/ HTTP/1.1\r\n{head}{form}Content-Length: 2000\r\n\r\nusername=",
        "piece": f"PATCH /uploads/{NOBODYS}/ HTTP/1.1\r\n{head}Content-Length: 8000000\r\n\r\nRIFF",
        "download": f"GET {download} HTTP/1.1\r\n{head}\r\n",
        "idle": "",
    }[way]
    connection = studio.connect()
    connection.sendall(begun.encode())
    if way == "download":
        connection.recv(1000)
    return connection
