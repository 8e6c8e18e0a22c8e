"""Pages that stand outside docs/, shown in the site without a copy, and the links to them.

In the repository links go by its folders, so that they lead somewhere in any viewer; here each is brought
to the page it has in the site. Of a link to a file that has none the words are kept: the site stands alone.
"""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

PROJECT = Path(__file__).parents[2]
OUTSIDE = {
    "season_engine/species/KNOWLEDGE.md": "knowledge.md",
    "DEVELOPERS.md": "developers.md",
    "CHANGELOG.md": "changes.md",
}
LINK = re.compile(r"(?<!!)\[(?P<words>[^\[\]]+)\]\((?P<to>[^()\s:]+)\)")


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Put the pages from outside among those of docs/."""
    for source, name in OUTSIDE.items():
        files.append(File.generated(config, name, content=(PROJECT / source).read_text("utf-8")))
    return files


def on_page_markdown(markdown: str, page: Page, files: Files, **_config: object) -> str:
    """The page with its links brought to those of the site."""
    outside = {name: source for source, name in OUTSIDE.items()}
    name = page.file.src_uri
    here = posixpath.dirname(outside.get(name, f"docs/{name}"))

    def brought(link: re.Match[str]) -> str:
        path, hash_, anchor = link["to"].partition("#")
        if not path:
            return link[0]
        source = posixpath.normpath(posixpath.join(here, path))
        if (PROJECT / source).is_dir():
            source = posixpath.join(source, "README.md")
        to = OUTSIDE.get(source, source.removeprefix("docs/"))
        if files.get_file_from_path(to) is not None:
            return (
                f"[{link['words']}]({posixpath.relpath(to, posixpath.dirname(name) or '.')}{hash_}{anchor})"
            )
        return link["words"] if (PROJECT / source).exists() else link[0]

    return LINK.sub(brought, markdown)
