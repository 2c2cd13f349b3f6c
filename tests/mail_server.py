"""A real SMTP server (aiosmtpd, RFC 5321) that a test runs, and that does not always do as it is told."""

import asyncio
import email
import email.policy
import socket
from contextlib import contextmanager
from dataclasses import dataclass, field
from email.message import EmailMessage

from aiosmtpd.controller import Controller
from django.test import override_settings


@dataclass
class MailServer:
    """`taken` is what it has in its hands, in order, as Python's email policy reads it. `refused` are
    addresses with the answer they get; `delay` are seconds before it answers a letter; the next
    `cuts` letters are taken and the connection is cut before the answer. `in_doubt` are the Message-IDs
    of those whose sender may not have had an answer."""

    taken: list[tuple[str, EmailMessage]] = field(default_factory=list)
    refused: dict[str, str] = field(default_factory=dict)
    delay: float = 0
    cuts: int = 0
    in_doubt: set[str] = field(default_factory=set)
    port: int = 0
    _controller: Controller | None = None

    def start(self) -> None:
        if not self.port:
            with socket.socket() as free:
                free.bind(("127.0.0.1", 0))
                self.port = free.getsockname()[1]
        self._controller = Controller(self, hostname="127.0.0.1", port=self.port)
        self._controller.start()

    def stop(self) -> None:
        if self._controller:
            self._controller.stop()
            self._controller = None

    def of(self, address: str) -> list[EmailMessage]:
        return [message for to, message in self.taken if to == address]

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if address in self.refused:
            return self.refused[address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        message = email.message_from_bytes(envelope.original_content, policy=email.policy.default)
        if self.delay or self.cuts:
            self.in_doubt.add(message["Message-ID"])
        await asyncio.sleep(self.delay)
        self.taken += [(to, message) for to in envelope.rcpt_tos]
        if self.cuts:
            self.cuts -= 1
            server.transport.abort()
        return "250 Taken"


@contextmanager
def mail_server(*, timeout: float = 5):
    """A server that runs, to which the settings send."""
    server = MailServer()
    server.start()
    settings = {
        "EMAIL_BACKEND": "django.core.mail.backends.smtp.EmailBackend",
        "EMAIL_HOST": "127.0.0.1",
        "EMAIL_PORT": server.port,
        "EMAIL_TIMEOUT": timeout,
    }
    try:
        with override_settings(**settings):
            yield server
    finally:
        server.stop()
