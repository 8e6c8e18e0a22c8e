"""Each week's report to each reader once: who gets what, what is still to go, what became of it.

A run anywhere in the ISO week sends what has not gone out yet, so a missed Monday is caught up on Tuesday.
A letter left over from an earlier week is dropped, not sent: its advice is out of date, and this week's
report is on its way. One left over from an earlier day of the week is written anew, under its Message-ID.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from season_engine.delivery.folder import write_folder
from season_engine.delivery.lock import one_run_in
from season_engine.delivery.log import LOG
from season_engine.delivery.mail import read_password, send, try_login
from season_engine.delivery.message import compose, report_for, subject
from season_engine.delivery.outbox import Letter, Outbox, open_outbox
from season_engine.errors import DeliveryError, GrowerError
from season_engine.report.contents import Report
from season_engine.words import prose, timing
from season_engine.workspace.mail_settings import EmailSettings
from season_engine.workspace.workspace import Workspace


@dataclass(frozen=True, slots=True)
class Delivery:
    """One report on its way out."""

    workspace: Workspace
    report: Report
    written: Path  # the folder it was written to
    now: dt.datetime  # for the date of a mail
    part: str = ""  # names of the sites asked for with --site; empty: all
    again: bool = False

    @property
    def week(self) -> str:
        """ISO year and week."""
        return timing.iso_week(self.report.as_of)

    def readers(self) -> Iterator[tuple[str, Report]]:
        """Each mail address with the report it gets; those who get none of the sites are left out."""
        email = self.workspace.email
        for address in email.addresses if email else ():
            own = report_for(self.report, email.sites_for(address) if email else None)
            if own.sites:
                yield address, own


def refuse_to_deliver(workspace: Workspace) -> None:
    """Raise GrowerError where nothing may leave: the demo, invented weather, nowhere to send it."""
    settings = workspace.folder / "season.toml"
    if workspace.demo:
        raise GrowerError(
            "There is no season.toml here, and the demo is never sent.",
            hint="Is this the right folder? Name it with --workspace.",
            file=settings,
        )
    if workspace.invented_sites:
        raise GrowerError(
            f"The weather of {prose.listing(workspace.invented_sites)} is invented, so no report is sent.",
            hint='Give it real weather: source = "logger" or "station".',
            file=settings,
            field="site.weather.source",
        )
    if workspace.email is None and workspace.delivery_folder is None:
        raise GrowerError(
            "Nobody is named to get the report.", hint="Add an [email] or a [delivery] table.", file=settings
        )


def deliver(delivery: Delivery) -> None:
    """Send this week's report to everybody who hasn't got it yet.

    Raises DeliveryError with a line for each failure; what failed for a while is left for the next run.
    """
    workspace = delivery.workspace
    with one_run_in(workspace.outbox_folder), open_outbox(workspace.outbox_folder) as outbox:
        _give_up_what_is_over(delivery, outbox)
        faults = [*_copy(delivery, outbox), *_mail(delivery, outbox)]
    if faults:
        raise DeliveryError("\n".join(faults))


def would_deliver(delivery: Delivery) -> Iterator[str]:
    """What `deliver` would do, a line for each reader; nothing is sent."""
    folder = delivery.workspace.outbox_folder
    with one_run_in(folder), open_outbox(folder) as outbox:

        def is_to_go(addressee: str) -> bool:
            last = outbox.last(delivery.week, addressee, delivery.part)
            return _number_to_go(delivery, last) is not None

        for to, report in delivery.readers():
            yield f"would send to {to}: {subject(report)}" if is_to_go(to) else f"{to} has nothing to come"
        copies = delivery.workspace.delivery_folder
        if copies is not None:
            yield f"would copy it to {copies}" if is_to_go(str(copies)) else f"{copies} has its copy"


def would_reach(workspace: Workspace) -> str:
    """Try the mail server as `deliver` would use it; what was found, empty where no mail is set up.

    Raises DeliveryError where no mail would get through, with what to mend.
    """
    email = workspace.email
    if email is None:
        return ""
    try:
        password = read_password(email, workspace.folder)
    except GrowerError as error:
        raise DeliveryError(error.problem, hint=error.hint) from None
    try_login(email, password)
    encrypted = "" if email.security == "none" else ", encrypted"
    login = f'the login of "{email.username}" is fine' if email.username else "no login is asked for"
    return f"{email.host}, port {email.port}, answers{encrypted}; {login}"


def _number_to_go(delivery: Delivery, last: Letter | None) -> int | None:
    """Count of the letter to send, given the last one; None where it is settled and not asked for again."""
    if last is None:
        return 0
    if last.state in ("queued", "dropped"):
        return last.again
    return last.again + 1 if delivery.again else None


def _give_up_what_is_over(delivery: Delivery, outbox: Outbox) -> None:
    workspace = delivery.workspace
    known = {*(workspace.email.addresses if workspace.email else ()), str(workspace.delivery_folder)}
    for letter in outbox.queued():
        if letter.week < delivery.week:
            why = f"replaced by the report for {delivery.week}"
        elif letter.addressee not in known:
            why = "no longer named in season.toml"
        else:
            continue
        outbox.settle(letter, "dropped", why)
        LOG.warning("%s for %s never got through: %s", letter.week, letter.addressee, why)


def _enqueue(
    delivery: Delivery, outbox: Outbox, addressee: str, write: Callable[[int], bytes]
) -> Iterator[str]:
    """Put a letter into the outbox unless it is there or settled; yields the line of an earlier refusal."""
    last = outbox.last(delivery.week, addressee, delivery.part)
    number = _number_to_go(delivery, last)
    day = delivery.report.as_of.isoformat()
    if number is not None:
        if last is None or last.state != "queued" or last.as_of != day:
            letter = Letter(delivery.week, addressee, delivery.part, number, day, write(number))
            outbox.put(letter)
    elif last is not None and last.state == "refused":
        yield _refusal(last, last.note)
    else:
        LOG.info("%s has gone to %s already", delivery.week, addressee)


def _to_go(delivery: Delivery, outbox: Outbox, addressees: Collection[str]) -> list[Letter]:
    return [one for one in outbox.queued() if one.week == delivery.week and one.addressee in addressees]


def _mail(delivery: Delivery, outbox: Outbox) -> Iterator[str]:
    """Queue and send the mails; yields a line for each failure."""
    email = delivery.workspace.email
    if email is None:
        return
    for address, report in delivery.readers():
        yield from _enqueue(delivery, outbox, address, partial(_message, delivery, email, address, report))
    letters = _to_go(delivery, outbox, email.addresses)
    if not letters:
        return
    refusals: list[str] = []

    def settle(letter: Letter, refusal: str) -> None:
        outbox.settle(letter, "refused" if refusal else "sent", refusal)
        if refusal:
            refusals.append(_refusal(letter, refusal))
        else:
            LOG.info("sent %s to %s", letter.week, letter.addressee)

    try:
        password = read_password(email, delivery.workspace.folder)
        left, why = send(email, password, letters, settle)
    except GrowerError as error:
        left, why = letters, str(error)
    yield from refusals
    if left:
        names = prose.listing(list(dict.fromkeys(letter.addressee for letter in left)))
        yield f"The report for {delivery.week} has not gone to {names} yet: {why.rstrip('.')}."


def _message(delivery: Delivery, email: EmailSettings, address: str, report: Report, again: int) -> bytes:
    message = compose(report, sender=email.sender, to=address, again=again, now=delivery.now)
    return message.as_bytes()


def _refusal(letter: Letter, why: str) -> str:
    return (
        f"The report for {letter.week} was refused for {letter.addressee}: {why.rstrip('.')}. "
        "Mend the address in season.toml, or send it again with --again."
    )


def _copy(delivery: Delivery, outbox: Outbox) -> Iterator[str]:
    """Copy the report into the grower's folder, whole; yields a line where that fails."""
    folder = delivery.workspace.delivery_folder
    if folder is None:
        return
    yield from _enqueue(delivery, outbox, str(folder), lambda _number: b"")
    for letter in _to_go(delivery, outbox, [str(folder)]):
        try:
            copy_report(delivery.written, folder)
        except GrowerError as error:
            yield f"The report for {letter.week} has not been copied. {error}"
        else:
            outbox.settle(letter, "sent")
            LOG.info("copied %s to %s", letter.week, folder)


def copy_report(written: Path, folder: Path) -> Path:
    """A copy of a week's folder inside `folder`, whole or not at all.

    Raises GrowerError where `folder` is not there: it may be a disk or a share that isn't mounted.
    """
    if not folder.is_dir():
        raise GrowerError("There is no such folder.", hint="Make it, or mount it, first.", file=folder)
    contents = {path.name: path.read_bytes() for path in sorted(written.iterdir())}
    return write_folder(contents, folder / written.name)
