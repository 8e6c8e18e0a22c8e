"""A real mail server on this machine, which can be told to misbehave."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session

HOST = "localhost"
USER, PASSWORD = "grower", "Weft-and-warp-7!"
CUT = "cut"  # in place of an answer: the line goes dead


@dataclass
class Mailbox:
    """What came in, and the answers to give before anything is taken."""

    received: list[tuple[str, bytes]] = field(default_factory=list)
    logins: list[bool] = field(default_factory=list)
    connections: int = 0
    on_sender: list[str] = field(default_factory=list)
    on_recipient: dict[str, list[str]] = field(default_factory=dict)
    on_data: list[str] = field(default_factory=list)  # after the letter has come
    at_data: list[str] = field(default_factory=list)  # before it comes

    def messages(self, to: str | None = None) -> list[EmailMessage]:
        found = []
        for address, content in self.received:
            if to in (None, address):
                message = message_from_bytes(content, policy=policy.default)
                assert isinstance(message, EmailMessage)
                found.append(message)
        return found

    async def handle_EHLO(
        self, server: SMTP, session: Session, envelope: Envelope, hostname: str, responses: list[str]
    ) -> list[str]:
        session.host_name = hostname
        return responses

    async def handle_MAIL(
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        envelope.mail_from = address
        envelope.mail_options.extend(options)
        return self.on_sender.pop(0) if self.on_sender else "250 OK"

    async def handle_RCPT(
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        if self.on_recipient.get(address):
            return self.on_recipient[address].pop(0)
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        answer = self.on_data.pop(0) if self.on_data else "250 OK"
        if answer == CUT:
            assert server.transport is not None
            server.transport.abort()
        elif answer.startswith("250"):
            assert isinstance(envelope.content, bytes)
            self.received += [(address, envelope.content) for address in envelope.rcpt_tos]
        return answer

    def authenticate(
        self, server: SMTP, session: Session, envelope: Envelope, mechanism: str, data: Any
    ) -> AuthResult:
        assert isinstance(data, LoginPassword)
        good = (data.login, data.password) == (USER.encode(), PASSWORD.encode())
        self.logins.append(good)
        return AuthResult(success=good, handled=False, message=None if good else f"535 not {data.password!r}")


class _Server(SMTP):
    def connection_made(self, transport: Any) -> None:
        if self.transport is None:  # it is called again once the line is encrypted
            self.event_handler.connections += 1
        super().connection_made(transport)

    async def smtp_DATA(self, arg: str) -> None:
        if self.event_handler.at_data and self.event_handler.at_data.pop(0) == CUT:
            await self.push("354 go on")
            assert self.transport is not None
            self.transport.abort()
            return
        await super().smtp_DATA(arg)


class _Controller(Controller):
    def factory(self) -> SMTP:
        return _Server(self.handler, **self.SMTP_kwargs)

    def _trigger_server(self) -> None:
        """Start it without a certificate's being judged by the library's own client."""
        with socket.create_connection(("127.0.0.1", self.port), 5) as first:
            if self.ssl_context is None:
                first.recv(1024)
            else:
                plain = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
                plain.check_hostname, plain.verify_mode = False, ssl.CERT_NONE
                plain.wrap_socket(first).recv(1024)


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        return int(one.getsockname()[1])


@contextmanager
def mail_server(
    mailbox: Mailbox, certificate: Any = None, *, security: str = "starttls", login: bool = True
) -> Iterator[int]:
    """Run it until the end of the block; the port it listens on."""
    context = None
    if certificate is not None:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        certificate.configure_cert(context)
    controller = _Controller(
        mailbox,
        hostname="127.0.0.1",
        port=free_port(),
        ssl_context=context if security == "tls" else None,
        tls_context=context if security == "starttls" else None,
        require_starttls=security == "starttls" and context is not None,
        authenticator=mailbox.authenticate if login else None,
        auth_required=login,
        auth_require_tls=security == "starttls",
        auth_exclude_mechanism=["LOGIN"],
        ready_timeout=20,
    )
    controller.start()
    mailbox.connections = 0
    try:
        yield controller.port
    finally:
        controller.stop()
