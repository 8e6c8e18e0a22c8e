"""Who gets the report, as season.toml says it."""

from __future__ import annotations

from pathlib import Path

import pytest

from season_engine.errors import GrowerError, InputErrors
from season_engine.workspace.workspace import Workspace, load_workspace

SITES = "".join(
    f'[[site]]\nname = "{name}"\nlatitude = 50\nlongitude = 10\n[site.weather]\nsource = "demo"\n'
    for name in ("ridge", "hut")
)
MAIL = '[email]\nhost = "mail.example.org"\nfrom = "yard@example.org"\n'
TO = 'to = ["a@example.org", "b@example.org"]\n'
SOME = '[[email.recipient]]\nto = "c@example.org"\nsites = ["HUT"]\n'


def read(folder: Path, text: str) -> Workspace:
    (folder / "season.toml").write_text(SITES + text, "utf-8")
    return load_workspace(folder)


def fault(folder: Path, text: str) -> str:
    with pytest.raises(InputErrors) as caught:
        read(folder, text)
    (one,) = caught.value.errors
    assert isinstance(one, GrowerError)
    assert one.line is not None
    return f"{one.line - SITES.count(chr(10))} {one.field}: {one.problem} {one.hint}"


def test_readers_of_all_sites_and_of_some(tmp_path: Path) -> None:
    email = read(tmp_path, MAIL + TO + SOME).email
    assert email is not None
    assert email.addresses == ("a@example.org", "b@example.org", "c@example.org")
    assert [email.sites_for(address) for address in email.addresses] == [None, None, ("HUT",)]


def test_readers_of_some_sites_are_enough(tmp_path: Path) -> None:
    email = read(tmp_path, MAIL + SOME).email
    assert email is not None and email.addresses == ("c@example.org",)


def test_a_folder_for_copies_is_named_from_the_workspace(tmp_path: Path) -> None:
    assert read(tmp_path, "").delivery_folder is None
    assert read(tmp_path, '[delivery]\nfolder = "out"\n').delivery_folder == tmp_path / "out"
    assert read(tmp_path, '[delivery]\nfolder = "/srv/out"\n').delivery_folder == Path("/srv/out")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (MAIL, "1 email.to: to needs at least one entry."),
        (MAIL + "to = []\n", "4 email.to: to needs at least one entry."),
        (MAIL + 'to = ["a@b", "A@b"]\n', '4 email.to: "A@b" is named twice.'),
        (MAIL + 'to = ["c@example.org"]\n' + SOME, '5 email.recipient: "c@example.org" is named twice.'),
        (MAIL + 'to = ["grün@example.org"]\n', "4 email.to: to "),
        (MAIL + TO + SOME.replace("HUT", "huts"), '7 email.recipient.sites: there is no site "huts"'),
        (MAIL + TO + SOME.replace('["HUT"]', "[]"), "7 email.recipient.sites: sites needs at least one"),
        (MAIL + SOME.replace("c@example.org", "c"), "5 email.recipient.to: to must hold plain"),
        (MAIL + TO + '[[email.recipient]]\nto = "d@e"\n', '5 email.recipient.sites: "sites" is missing'),
        (MAIL + TO + "[email.recipient]\n", "5 email.recipient: [email.recipient] is a single table"),
        ("[delivery]\n", '1 delivery.folder: "folder" is missing'),
        ("[delivery]\nfolder = 3\n", "2 delivery.folder: folder must be text"),
    ],
)
def test_a_fault_is_named_with_line_and_field(tmp_path: Path, text: str, said: str) -> None:
    assert fault(tmp_path, text).startswith(said), fault(tmp_path, text)
