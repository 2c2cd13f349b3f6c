"""A line to the studio that can be cut, for browsers that cannot be told to be off line."""

import socket
from collections.abc import Iterable, Iterator
from contextlib import suppress
from socketserver import BaseRequestHandler, ThreadingTCPServer
from threading import Thread
from urllib.parse import urlsplit


class Network(ThreadingTCPServer):
    """`address` leads to the studio until `cut()`, and again from `mend()` on. To be served in a thread."""

    daemon_threads = True

    def __init__(self, studio: str, line=None):
        parts = urlsplit(studio)
        self.studio = parts.hostname, parts.port
        self.is_cut, self.in_use = False, set()
        super().__init__((parts.hostname, 0), line or Line)
        self.address = f"http://{parts.hostname}:{self.server_address[1]}"

    def cut(self) -> None:
        """What is under way comes to nothing, and what is tried anew too."""
        self.is_cut = True
        for end in list(self.in_use):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def mend(self) -> None:
        self.is_cut = False


class Line(BaseRequestHandler):
    def handle(self):
        with (
            suppress(ConnectionRefusedError),
            socket.create_connection(self.server.studio) as studio,
        ):
            ends = {self.request, studio}
            self.server.in_use |= ends
            if self.server.is_cut:
                return
            answers = Thread(target=self.pass_on, args=(blocks(studio), self.request))
            answers.start()
            self.pass_on(self.asked(), studio)
            answers.join()
            self.server.in_use -= ends

    def asked(self):
        """What the browser sends."""
        return blocks(self.request)

    def pass_on(self, said: Iterable[bytes], to: socket.socket) -> None:
        with suppress(OSError):
            for block in said:
                to.sendall(block)
        with suppress(OSError):
            to.shutdown(socket.SHUT_WR)


def blocks(source: socket.socket) -> Iterator[bytes]:
    while block := source.recv(65536):
        yield block
