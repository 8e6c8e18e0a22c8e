"""The week's mails as files to look at before any is sent: each as a page, and as the mail itself."""

from __future__ import annotations

from collections.abc import Iterator

from season_engine.delivery.deliver import Delivery
from season_engine.delivery.folder import write_folder
from season_engine.delivery.message import compose, preview, subject

NOBODY = "nobody@example.invalid"  # a name nobody can own (RFC 2606)


def write_previews(delivery: Delivery) -> Iterator[str]:
    """Write the mails into a folder beside the week's report; yields a line for each.

    The folder is made anew. Where no mail account is set up yet it holds one mail on all sites, to nobody.

    Raises GrowerError where the folder can't be written.
    """
    email = delivery.workspace.email
    readers = list(delivery.readers()) if email else [(NOBODY, delivery.report)]
    contents: dict[str, str | bytes] = {}
    told = []
    for number, (to, report) in enumerate(readers, 1):
        sender = email.sender if email else NOBODY
        message = compose(report, sender=sender, to=to, again=0, now=delivery.now)
        name = f"mail-{number}"
        contents |= {f"{name}.html": preview(message, report), f"{name}.eml": message.as_bytes()}
        told.append((name, f"to {to if email else 'nobody yet'}: {subject(report)}"))
    folder = write_folder(contents, delivery.written.with_name(f"{delivery.written.name}-mail"))
    for name, text in told:
        yield f"wrote {(folder / name).absolute()}.html and .eml, {text}"
