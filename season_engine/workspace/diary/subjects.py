"""The trees and kinds of tree that a line names, put in the place of their names."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache

from season_engine.files.spelling import Tokens
from season_engine.files.text import listed
from season_engine.species.names import KnownNames
from season_engine.species.nicknames import nicknames, ordinary_words
from season_engine.tree import POTS
from season_engine.workspace.diary.plain_names import Capitals, as_a_word, stands_as_word
from season_engine.workspace.diary.tokens import Place, Subject, Token, folded, folded_set, line_tokens
from season_engine.workspace.diary.tongue import Tongue

OTHER_PEOPLES = folded_set(
    "his her their your deren dessen deine dein seine sein seiner seinem seinen ihre ihr ihrer ihrem ihren"
)
NOBODYS = folded_set("it's that's there's here's she's he's what's let's today's year's week's")
WORDS_OF_ONE_LETTER = frozenset("ainuw")  # a, I, and, you, with
LOOK_BACK = 3  # words before a kind in which "a" or "all" is looked for


def with_places(tokens: Sequence[Token], sites: Sequence[str]) -> list[Token]:
    """The words of a line with yards in the place of their names."""
    found = list(tokens)
    for site in sorted(sites, key=len, reverse=True):
        name = line_tokens(site)
        at = 0
        while name and at + len(name) <= len(found):
            if found[at : at + len(name)] == name:
                found[at : at + len(name)] = [Place(site)]
            at += 1
    return found


def with_subjects(
    tokens: Sequence[Token], names: KnownNames, tongue: Tongue, capitals: Collection[str] = ()
) -> list[Token]:
    """The words of a line with trees and kinds in the place of their names; `capitals` are its words that
    begin with one.
    """
    trees, doubtful = _with_trees(list(tokens), names, tongue, capitals)
    found = _with_kinds(trees, names, tongue)
    if not any(isinstance(one, Subject) for one in found):
        found = [doubtful.get(one, one) if isinstance(one, str) else one for one in found]
    return _settled(found)


@lru_cache(maxsize=4)
def tree_phrases(names: KnownNames) -> dict[Tokens, Subject]:
    """What trees are called, as lines are read."""
    found: dict[Tokens, Subject] = {}
    for phrase, trees in names.trees.items():
        if len(trees) == 1:
            subject = Subject(tree=trees[0], species=names.species_of(trees[0]))
        else:
            ids = sorted(tree.id for tree in trees)
            asks = f"Write one line for each, by id: {listed(ids)}."
            subject = Subject(may_be=tuple(ids), asks=asks)
        found[tuple(folded(word) for word in phrase)] = subject
    return found


def _with_trees(
    tokens: list[Token], names: KnownNames, tongue: Tongue, capitals: Collection[str]
) -> tuple[list[Token], dict[str, Subject]]:
    """The words with trees in the place of their names, and the names that stand as ordinary words."""
    phrases = tree_phrases(names)
    longest = max((len(phrase) for phrase in phrases), default=0)
    found: list[Token] = []
    doubtful: dict[str, Subject] = {}
    within = {str(one) for one in tokens[1:] if one in capitals}
    written = Capitals(frozenset(capitals), any((one,) in phrases for one in within))
    at = 0
    while at < len(tokens):
        for size in range(longest, 0, -1):
            words = tuple(one for one in tokens[at : at + size] if isinstance(one, str))
            if len(words) < size:
                continue
            subject = phrases.get(words) or phrases.get(_owned(words))
            if subject and _behind_initial(tokens, at):
                continue
            if subject and size == 1 and stands_as_word(tokens, at, words[0], tongue, written):
                doubtful[words[0]] = as_a_word(subject, words[0])
            elif subject:
                found.append(subject)
                at += size
                break
        else:
            found.append(tokens[at])
            at += 1
    return found, doubtful


def _behind_initial(tokens: Sequence[Token], at: int) -> bool:
    """Whether a name has a letter before it, as "L. Cooper", which may be another tree's."""
    before = [one for one in tokens[max(0, at - 2) : at] if one != "."]
    last = before[-1] if before else ""
    return isinstance(last, str) and len(last) == 1 and last.isalpha() and last not in WORDS_OF_ONE_LETTER


def _owned(words: Sequence[Token]) -> Tokens:
    """A name with an s at its end, which many write without the apostrophe."""
    *first, last = (str(word) for word in words)
    return (*first, last.removesuffix("s") if len(last) > 3 else "")


def kind_words(token: str, names: KnownNames) -> tuple[str, ...]:
    """The words of species' names that a word means: itself, its singular, or what a nickname stands for."""
    for one in (
        token,
        token.removesuffix("'s"),
        token.removesuffix("s"),
        token.removesuffix("es"),
        token.removesuffix("n"),
        token.removesuffix("en"),
    ):
        if one in nicknames():
            return tuple(nicknames()[one].split())
    word = names.name_word(token) or names.name_word(token.removesuffix("'s"))
    return (word,) if word else ()


def _with_kinds(tokens: list[Token], names: KnownNames, tongue: Tongue) -> list[Token]:
    guards = tongue.guards
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        words, size = _kind_at(tokens, at, names)
        token = tokens[at]
        if words:
            back = [one for one in found[-LOOK_BACK:] if isinstance(one, str)]
            last = tokens[at + size - 1]
            plural = not guards.plural.isdisjoint(back) or (isinstance(last, str) and _is_plural(last, names))
            near = back[-2:] if back and back[-1] not in (",", ".") else []
            theirs = bool(back) and (
                back[-1] in OTHER_PEOPLES or (back[-1].endswith("'s") and back[-1] not in NOBODYS)
            )
            indefinite = not plural and (theirs or not guards.articles.isdisjoint(near))
            one = None if plural or theirs or not back else _of_size(words, names, back[-1], tongue)
            found += [one] if one else _meant(words, names, plural, indefinite)
            at += size
        elif (
            isinstance(token, str)
            and token in guards.everything
            and not (token == "lot" and (not found or found[-1] != "the"))
        ):
            followed = tokens[at + 1] if at + 1 < len(tokens) else ""
            kind_next = isinstance(followed, str) and kind_words(followed, names)
            found.append(token if token in guards.plural or kind_next else Subject(whole_yard=True))
            at += 1
        else:
            found.append(token)
            at += 1
    return found


def _is_plural(word: str, names: KnownNames) -> bool:
    if any(word.endswith(end) and word.removesuffix(end) in nicknames() for end in ("n", "en", "e", "s")):
        return True
    if word in nicknames():
        return word.endswith("s") and names.name_word(word.removesuffix("s")) is not None
    return word.endswith("s") and names.name_word(word) not in (word, None)


def _kind_at(tokens: Sequence[Token], at: int, names: KnownNames) -> tuple[list[str], int]:
    """The longest row of words from there on that some species has in its names, and how many it takes."""
    words: list[str] = []
    size = 0
    best: tuple[list[str], int] = ([], 0)
    while at + size < len(tokens):
        token = tokens[at + size]
        more = kind_words(token, names) if isinstance(token, str) else ()
        if not more or not names.with_all([*words, *more]):
            break
        words += more
        size += 1
        if tuple(words) in names.longer_names or words[-1] not in ordinary_words():
            best = (list(words), size)
    return best[0], _with_more(tokens, at, best, names)


def _with_more(tokens: Sequence[Token], at: int, best: tuple[list[str], int], names: KnownNames) -> int:
    """How many words a kind takes with those behind it that only say it again: "scots" pine."""
    words, size = best
    kinds = names.with_all(words) if words else set()
    while kinds and at + size < len(tokens):
        token = tokens[at + size]
        written = tokens[at : at + size]
        meant = token in words and token not in written  # "crab" alone means a crab apple
        again = isinstance(token, str) and (token not in ordinary_words() or meant)
        more = kind_words(str(token), names) if again else ()
        if not more or not kinds <= names.with_all(more):
            break
        size += 1
    return size


def _meant(words: Sequence[str], names: KnownNames, plural: bool, indefinite: bool) -> list[Token]:
    kinds = names.kinds(words)
    if indefinite:
        if len(kinds) == 1:
            return [Subject(species=kinds[0], indefinite=True)]
        return [Subject(indefinite=True, may_be=tuple(kinds), asks=_could_be(words, names))]
    if len(kinds) > 1 and not (plural and all(names.trees_of(kind) for kind in kinds)):
        return [Subject(may_be=tuple(kinds), asks=_could_be(words, names))]
    found: list[Token] = []
    for kind in kinds:
        trees = names.trees_of(kind)
        if len(trees) == 1:
            found.append(Subject(tree=trees[0], species=kind))
        else:
            one_of = () if plural else tuple(sorted(one.id for one in trees))
            found.append(Subject(species=kind, one_of=one_of))
    return found


def _of_size(words: Sequence[str], names: KnownNames, told: str, tongue: Tongue) -> Subject | None:
    """The tree of a kind that "big" or "little" tells from all others of it."""
    caution = tongue.language.caution
    if told not in caution.big | caution.little:
        return None
    trees = [(kind, tree) for kind in names.kinds(words) for tree in names.trees_of(kind)]
    if len(trees) < 2:
        return None
    ends = max if told in caution.big else min
    sizes = list(POTS)
    end = ends(sizes.index(tree.size) for _, tree in trees)
    fitting = [(kind, tree) for kind, tree in trees if sizes.index(tree.size) == end]
    return Subject(tree=fitting[0][1], species=fitting[0][0]) if len(fitting) == 1 else None


def _could_be(words: Sequence[str], names: KnownNames) -> str:
    return names.could_be(words)


def _settled(tokens: list[Token]) -> list[Token]:
    """Without a kind that only says again what a tree named beside it is."""
    subjects = [token for token in tokens if isinstance(token, Subject)]
    clear = [one for one in subjects if not one.unclear and not one.whole_yard]
    kinds = {one.species for one in clear}
    named = {one.tree.id for one in clear if one.tree}
    found: list[Token] = []
    for token in tokens:
        if isinstance(token, Subject) and token.unclear and not token.indefinite:
            fitting = [one for one in token.may_be if one in kinds or one in named]
            if len(fitting) == 1 and len(token.may_be) > 1:
                continue
        found.append(token)
    return found
