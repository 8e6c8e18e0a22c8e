"""Letters by SMTP: encrypted, certificates verified, tried again where that may help.

A refusal with a code from 500 up is final for that reader; one from 400 up, a cut connection and a server
that can't be reached are tried again in a while (RFC 5321, 4.2.1). A fault of the account or of the
certificate is the grower's to mend, so it is told at once.
"""

from __future__ import annotations

import os
import smtplib
import ssl
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from time import sleep

from tenacity import RetryCallState, Retrying, retry_if_exception_type, stop_after_attempt, wait_exponential

from season_engine.delivery.log import LOG
from season_engine.delivery.outbox import Letter
from season_engine.errors import DeliveryError, GrowerError
from season_engine.files.text import shortened
from season_engine.workspace.mail_settings import EmailSettings

ATTEMPTS = 4
FIRST_WAIT_S, WAIT_GROWS = 10.0, 4.0  # 10, 40 and 160 s: past the minutes that greylisting servers ask for
TIMEOUT_S = 30.0
LONGEST_REPLY = 200
FINAL = 500  # reply codes from here up mean "don't send this again"

Settle = Callable[[Letter, str], None]  # a letter the server took, or the words it refused it with


class Unreached(Exception):
    """The server took nothing more, and trying again now won't help; the text says why."""

    def __init__(self, why: str, mend: str = "") -> None:
        super().__init__(why)
        self.mend = mend  # what to do about it, where that is known


class TryLater(Unreached):
    """The same, but it may work in a while."""


def read_password(settings: EmailSettings, folder: Path) -> str | None:
    """The password from the environment or from its file, named from `folder`; None without a login.

    Raises GrowerError, which never holds the password.
    """
    if settings.password_env is not None:
        password = os.environ.get(settings.password_env, "")
        place = f'the environment variable "{shortened(settings.password_env)}"'
    elif settings.password_file is not None:
        path = folder / settings.password_file
        place = str(path)
        try:
            password = path.read_text("utf-8").strip("\r\n")
        except (OSError, ValueError):
            password = ""
    else:
        return None
    if not password:
        raise GrowerError(f"There is no password in {place}.", hint="The mail server's belongs there.")
    if not password.isascii():  # SMTP logins of Python's library can't carry it
        raise GrowerError(f"The password in {place} holds a letter that can't be sent in a login.")
    return password


def send(
    settings: EmailSettings, password: str | None, letters: Sequence[Letter], settle: Settle
) -> tuple[list[Letter], str]:
    """Send each letter; `settle` is called as soon as the server has taken or refused one.

    Returns the letters it has neither taken nor refused, and why.
    """
    waiting = list(letters)
    attempts = Retrying(
        stop=stop_after_attempt(ATTEMPTS),
        wait=wait_exponential(multiplier=FIRST_WAIT_S, exp_base=WAIT_GROWS),
        retry=retry_if_exception_type(TryLater),
        sleep=sleep,
        before_sleep=_told,
        reraise=True,
    )
    try:
        attempts(_attempt, settings, password, waiting, settle)
    except Unreached as error:
        return waiting, str(error)
    return [], ""


def _told(state: RetryCallState) -> None:
    """That nothing went yet, and when it is tried again: somebody may be waiting."""
    why = state.outcome.exception() if state.outcome else None
    LOG.warning("%s; trying again in %.0f s", str(why).rstrip("."), state.upcoming_sleep)


def try_login(settings: EmailSettings, password: str | None) -> None:
    """Connect, encrypt and log in as `send` does, once; send nothing.

    Raises DeliveryError, which says what to mend.
    """
    try:
        with _told_in_words(settings, [settings.host]), _connection(settings, password) as server:
            server.noop()
    except Unreached as error:
        raise DeliveryError(f"{str(error).rstrip('.')}.", hint=error.mend) from None


def _attempt(settings: EmailSettings, password: str | None, waiting: list[Letter], settle: Settle) -> None:
    """One connection for all waiting letters; those that are settled leave the list."""
    later = ""
    with _told_in_words(settings, waiting), _connection(settings, password) as server:
        for letter in tuple(waiting):
            code, reply = _answer(server, settings.sender, letter)
            if 0 < code < FINAL:
                later = f"{settings.host} put {letter.addressee} off ({_words(code, reply)})"
                continue
            waiting.remove(letter)
            settle(letter, _words(code, reply) if code else "")
    if later:
        raise TryLater(later)


def _answer(server: smtplib.SMTP, sender: str, letter: Letter) -> tuple[int, bytes | str]:
    """Code and words the server turned the letter down with; code 0 where it took it."""
    try:
        server.sendmail(sender, [letter.addressee], letter.message)
    except smtplib.SMTPRecipientsRefused as error:
        return error.recipients[letter.addressee]
    except smtplib.SMTPDataError as error:
        return error.smtp_code, error.smtp_error
    return 0, b""


def _connection(settings: EmailSettings, password: str | None) -> smtplib.SMTP:
    """A server ready to take letters; nothing but a loopback one is ever spoken to in the clear."""
    host = settings.host.strip("[]")
    context = ssl.create_default_context()  # honours SSL_CERT_FILE
    server: smtplib.SMTP
    if settings.security == "tls":
        server = smtplib.SMTP_SSL(host, settings.port, timeout=TIMEOUT_S, context=context)
    else:
        server = smtplib.SMTP(host, settings.port, timeout=TIMEOUT_S)
    try:
        if settings.security == "starttls":
            server.ehlo_or_helo_if_needed()
            if not server.has_extn("starttls"):
                raise Unreached(
                    f"{settings.host} offers no encryption (STARTTLS); nothing was sent",
                    'A server that encrypts from the start wants security = "tls", mostly with port = 465.',
                )
            server.starttls(context=context)
        if settings.username is not None and password is not None:
            server.login(settings.username, password)
    except BaseException:
        server.close()
        raise
    return server


@contextmanager
def _told_in_words(settings: EmailSettings, waiting: Sequence[object]) -> Iterator[None]:
    """Any failure of the connection as `TryLater` or `Unreached`; none where all was done before it."""
    try:
        yield
    except (smtplib.SMTPException, OSError, UnicodeError) as error:
        if waiting:
            raise _in_words(error, settings) from None


def _in_words(error: Exception, settings: EmailSettings) -> Unreached:
    host = settings.host
    if isinstance(error, smtplib.SMTPAuthenticationError):
        # The server's own words are left out: some repeat what they were sent.
        kind = Unreached if error.smtp_code >= FINAL else TryLater
        return kind(
            f'{host} refused the login of "{settings.username}" (code {error.smtp_code})',
            "Look at the username and the password; many services want one made for programs.",
        )
    if isinstance(error, smtplib.SMTPResponseException):
        kind = Unreached if error.smtp_code >= FINAL else TryLater
        what = f'the sender "{settings.sender}"' if isinstance(error, smtplib.SMTPSenderRefused) else "us"
        return kind(f"{host} refused {what} ({_words(error.smtp_code, error.smtp_error)})")
    if isinstance(error, smtplib.SMTPServerDisconnected | ssl.SSLEOFError | ConnectionResetError):
        return TryLater(f"{host} cut the connection")
    if isinstance(error, ssl.SSLCertVerificationError):
        return Unreached(
            f"the certificate of {host} is not valid: {error.verify_message}",
            'Give as "host" the name that the certificate bears.',
        )
    if isinstance(error, ssl.SSLError):
        return Unreached(f'{host} speaks no TLS on port {settings.port}; check "port" and "security"')
    if isinstance(error, OSError) and not isinstance(error, smtplib.SMTPException):
        why = "it does not answer" if isinstance(error, TimeoutError) else error.strerror or str(error)
        return TryLater(
            f"{host}, port {settings.port}, can't be reached: {why}",
            'Look at "host" and "port", and whether this machine is on the network.',
        )
    return Unreached(
        f"{host} offers no login that can be used here",
        "A server that wants none is given no username and no password.",
    )


def _words(code: int, reply: bytes | str) -> str:
    """The server's answer in one short line."""
    text = reply.decode("utf-8", "replace") if isinstance(reply, bytes) else reply
    shown = "".join(letter if letter.isprintable() else " " for letter in f"{code} {text}")
    return " ".join(shown.split())[:LONGEST_REPLY]
