"""Which tree or species a grower means by a name: the one place where every command looks."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from functools import cached_property

from season_engine.errors import GrowerError
from season_engine.files.spelling import Tokens, plain_name, tokens_of, without_cultivar
from season_engine.files.text import listed, shortened
from season_engine.species.nicknames import nicknames
from season_engine.tree import Tree

LEAST_LIKENESS = 70  # of a hundred, for a name to be offered
TREES_TOLD = 12
EQUALLY_LIKE = 5
SHORTEST_GUESSED = 4  # letters: a shorter word is like too many others
MOST_NAMED = 8  # of the species that go by a word such as "maple"


class KnownNames:
    """The names that may be used: those of the grower's trees and of all species.

    `species` gives for every name the one to write down; a tree's species may be a name it lacks. Of the
    species that a word may mean, those the grower keeps, at the sites `at` if these are given, come first.
    """

    def __init__(
        self, species: Mapping[str, str], trees: Sequence[Tree], at: Container[str] | None = None
    ) -> None:
        self._spelt = dict(species)
        for tree in trees:
            self._spelt.setdefault(tree.species, tree.species)
        self._names: dict[Tokens, str] = {}
        for spelt, one in self._spelt.items():
            self._names.setdefault(tokens_of(spelt), one)
        self._words: dict[str, set[str]] = {}
        for name, one in self._names.items():
            for part in name:
                self._words.setdefault(part, set()).add(one)
        self._kept: dict[str, tuple[Tree, ...]] = {}
        self._trees, self._at = tuple(trees), at
        for tree in self._here(trees):
            kind = self.species_of(tree)
            self._kept[kind] = (*self._kept.get(kind, ()), tree)
        self.trees = _by_phrase(trees)

    @cached_property
    def words(self) -> set[str]:
        """Every word of a species' name."""
        return set(self._words)

    @cached_property
    def kept_words(self) -> set[str]:
        """Every word of the names of species that the grower keeps."""
        return {word for word, kinds in self._words.items() if kinds & self._kept.keys()}

    @property
    def ids(self) -> set[str]:
        """The ids of the grower's trees."""
        return {tree.id for tree in self._trees}

    def slips_in(self, words: str) -> str:
        """A sentence that offers the tree or kind which a word of a line is most like, or nothing."""
        known = {word for phrase in self.trees for word in phrase} | self.words
        strange = (one for one in tokens_of(words) if not {one, one.removesuffix("s")} & known)
        return next((f'Did you mean "{meant}"?' for one in strange if (meant := _near(one, known))), "")

    @cached_property
    def _botanical(self) -> set[Tokens]:
        return {tokens_of(one) for one in self._spelt.values()}

    @cached_property
    def longer_names(self) -> dict[Tokens, Tokens]:
        """Species' names of several words as these words, and those with a genus's initial alone."""
        whole = {name: name for name in self._names if len(name) > 1}
        return {**self._abbreviated, **whole}

    @cached_property
    def _abbreviated(self) -> dict[Tokens, Tokens]:
        """``A. palmatum``, where it can be one species only."""
        found: dict[Tokens, set[Tokens]] = {}
        for name in self._botanical:
            if len(name) > 1:
                found.setdefault((name[0][0], *name[1:]), set()).add(name)
        return {short: name for short, (name, *others) in found.items() if not others}

    def with_all(self, words: Sequence[str]) -> set[str]:
        """The species that have all these words in one of their names."""
        first, *others = (self._words.get(word, set()) for word in words)
        apart = first.intersection(*others)  # the words may be of several of its names
        asked = set(words)
        return {one for name, one in self._names.items() if one in apart and asked.issubset(name)}

    def kinds(self, words: Sequence[str]) -> list[str]:
        """The species that these words may mean: those the grower keeps, else all that have them."""
        fitting = self.with_all(words)
        fitting = fitting & self._kept.keys() or fitting
        exact = self._names.get(tuple(words))
        return [exact] if exact in fitting and len(fitting) > 1 else sorted(fitting)

    def could_be(self, words: Sequence[str]) -> str:
        """What words may mean that fit several species, in a sentence."""
        try:
            return f'"{" ".join(words)}" is {self._species(words)}.'
        except GrowerError as several:
            return f"{several.problem} {several.hint}"

    def name_word(self, token: str) -> str | None:
        """The word of a species' name that `token` is, or is the plural of."""
        singulars = (token, token.removesuffix("s"), token.removesuffix("es"))
        return next((word for word in singulars if word in self._words), None)

    def species_of(self, tree: Tree) -> str:
        """The species of one of the grower's trees."""
        return self._names[tokens_of(tree.species)]

    def trees_of(self, species: str) -> tuple[Tree, ...]:
        """The grower's trees of a species."""
        return self._kept.get(species, ())

    def tree_called(self, name: str) -> Tree:
        """The tree of that id or name; raises GrowerError."""
        if tree := self._tree(name):
            return tree
        hint = self._did_you_mean(name, self._tree_names()) or "The ids stand in trees.csv."
        raise GrowerError(f'There is no tree "{shortened(name)}".', hint=hint, field="tree")

    def species_called(self, name: str) -> str:
        """The species of that name, in any of the ways a grower writes it; raises GrowerError."""
        if found := self._species_by(name):
            return found
        hint = self._did_you_mean(name, self._spelt)
        problem = f'The catalogue has no species "{shortened(name)}".'
        raise GrowerError(problem, hint=hint or self._genera(), field="species")

    def all_called(self, name: str) -> list[str]:
        """Every species that a name may mean, that of a tree for one; raises GrowerError where none is."""
        if tree := self._tree(name):
            return [self.species_of(tree)]
        for asked in (self._whole(tokens_of(spelt)) for spelt in (name, without_cultivar(name))):
            if asked in self._names:
                return [self._names[asked]]
            words = [word for token in asked if (word := self.name_word(token))]
            if words and len(words) == len(asked) and (found := self._with_words(words)):
                return sorted(found)
        return [self.species_called(name)]

    def called(self, name: str) -> Tree | str:
        """The tree of that id or name, else the species; raises GrowerError, listing what it may be."""
        if found := self._tree(name) or self._species_by(name):
            return found
        hint = self._did_you_mean(name, {**self._spelt, **self._tree_names()})
        raise GrowerError(
            f'There is no tree and no species "{shortened(name)}".', hint=hint or self._own_trees()
        )

    def meant(
        self, trees: Iterable[tuple[Tree, ...]], words: Sequence[str]
    ) -> tuple[Tree | None, str | None]:
        """The one tree and species that a line names, or neither; raises GrowerError where it is unclear."""
        found = {tree.id: tree for group in trees for tree in group}
        if not found:
            return None, self._species(words) if words else None
        fitting = [
            tree
            for tree in found.values()
            if all(self.species_of(tree) in self._words[word] for word in words)
        ]
        if not fitting:
            raise GrowerError(f'{listed(sorted(found))} is no "{" ".join(words)}".')
        if len(fitting) > 1:
            ids = listed(sorted(tree.id for tree in fitting))
            raise GrowerError(
                "it could be about several trees.", hint=f"Write one line for each, by id: {ids}."
            )
        return fitting[0], self.species_of(fitting[0])

    def _tree(self, name: str) -> Tree | None:
        by_id = [tree for tree in self._trees if tree.id.casefold() == name.strip().casefold()]
        by_name = self.trees.get(tokens_of(name)) or self.trees.get(without_article(name)) or ()
        found = by_id or self._here(by_name) or list(by_name)
        if len(found) > 1:
            several = either([f"{tree.id} ({self.species_of(tree)}, at {tree.site})" for tree in found])
            raise GrowerError(f'"{shortened(name)}" could be {several}.', hint="Name one by its id.")
        return found[0] if found else None

    def _here(self, trees: Iterable[Tree]) -> list[Tree]:
        return [tree for tree in trees if self._at is None or tree.site in self._at]

    def _species_by(self, name: str) -> str | None:
        """The species of that name; None where a word of it is unknown."""
        whole, bare = (self._whole(tokens_of(spelt)) for spelt in (name, without_cultivar(name)))
        if whole in self._botanical:  # which means what it names, whatever else is kept
            return self._names[whole]
        if bare != whole and bare in self._names:
            return self._names[bare]
        for asked in (whole, bare, _spelt_out(whole)):
            words = [word for token in asked if (word := self.name_word(token))]
            if words and len(words) == len(asked):
                return self._species(words, name)
        return None

    def _whole(self, tokens: Tokens) -> Tokens:
        """A species' name with its genus written out, where that was an initial."""
        return self._abbreviated.get(tokens, tokens)

    def _species(self, words: Sequence[str], typed: str = "") -> str:
        """The species with all these words in its names; those the grower keeps come first."""
        typed = shortened(typed) or " ".join(words)
        fitting = self._with_words(words)
        fitting = fitting & self._kept.keys() or fitting
        exact = self._names.get(tuple(words))
        if len(fitting) > 1 and exact in fitting:
            fitting = {exact}
        if not fitting:
            raise GrowerError(f'"{typed}" is no one species.', hint="Write one line for each.")
        if len(fitting) > 1:
            named = sorted(self._told(one, words) for one in fitting)
            rest = len(named) - MOST_NAMED
            several = f"{', '.join(named[:MOST_NAMED])} or {rest} more" if rest > 0 else either(named)
            raise GrowerError(f'"{typed}" could be {several}.', hint="Say which.")
        return fitting.pop()

    def _with_words(self, words: Sequence[str]) -> set[str]:
        """The species that have all words in one of their names, else those that have them in several."""
        asked = set(words)
        in_one = {one for name, one in self._names.items() if asked.issubset(name)}
        return in_one or set.intersection(*(self._words[word] for word in words))

    def _told(self, species: str, words: Sequence[str]) -> str:
        """A species by the name that has these words, with the grower's trees of it."""
        names = (name for name, one in self._spelt.items() if one == species)
        name = next((name for name in names if set(words).issubset(tokens_of(name))), species)
        trees = ", ".join(tree.id for tree in self.trees_of(species))
        return f'"{name}" ({trees})' if trees else f'"{name}"'

    def _tree_names(self) -> dict[str, str]:
        """Ids and names of the trees, with the tree each means."""
        return {name: tree.id for tree in self._trees for name in (tree.id, tree.name) if name}

    def _did_you_mean(self, name: str, known: Mapping[str, str]) -> str:
        """A sentence that offers the names most like this one, one for each thing they name."""
        from rapidfuzz import process  # only a misspelt name pays for this import

        spelt = {plain_name(one): one for one in known}
        asked = plain_name(without_cultivar(name))
        near = process.extract(asked, spelt.keys(), limit=3, score_cutoff=LEAST_LIKENESS) if asked else []
        as_near = [spelt[key] for key, likeness, _ in near if likeness >= near[0][1] - EQUALLY_LIKE]
        meant = {known[one]: one for one in reversed(as_near)}
        return f"Did you mean {listed(reversed(meant.values()))}?" if meant else ""

    def _own_trees(self) -> str:
        ids = [tree.id for tree in self._trees]
        if not ids:
            return self._genera()
        told = ", ".join(ids[:TREES_TOLD]) + (" and more" if len(ids) > TREES_TOLD else "")
        return f"Your trees are {told}; a species goes by its botanical name or a common one."

    def _genera(self) -> str:
        genera = sorted({one.split()[0] for one in self._spelt.values()})
        return f"The catalogue holds species of {', '.join(genera)}."


def _spelt_out(tokens: Tokens) -> Tokens:
    """Short and foreign words for kinds of tree as the catalogue has them: ``shimpaku``, ``jbp``."""
    singulars = (token if token in nicknames() else token.removesuffix("s") for token in tokens)
    return tuple(word for one in singulars for word in nicknames().get(one, one).split())


def _near(word: str, known: Iterable[str]) -> str:
    """The known word that is one edit from another, if that is long enough to tell."""
    from rapidfuzz.distance import OSA

    near = sorted(
        one
        for one in known
        if len(one) >= SHORTEST_GUESSED and "'" not in one and OSA.distance(one, word) == 1
    )
    return near[0] if len(word) >= SHORTEST_GUESSED and len(near) == 1 else ""


def without_article(name: str) -> Tokens:
    """The words of a tree's name, without a "the" before it."""
    tokens = tokens_of(name)
    return tokens[1:] if tokens[:1] == ("the",) else tokens


def _by_phrase(trees: Iterable[Tree]) -> dict[Tokens, tuple[Tree, ...]]:
    """Trees by their ids, and by their names with and without the article where no id is written so.

    Each as its owner's too: "Ember's roots".
    """
    found: dict[Tokens, tuple[Tree, ...]] = {}
    for tree in trees:
        found[tokens_of(tree.id)] = (*found.get(tokens_of(tree.id), ()), tree)
    ids = set(found)
    for tree in trees:
        for phrase in {tokens_of(tree.name), without_article(tree.name)} - ids - {()}:
            found[phrase] = (*found.get(phrase, ()), tree)
    of_theirs = {(*phrase[:-1], f"{phrase[-1]}'s"): group for phrase, group in found.items() if phrase}
    return {**of_theirs, **{phrase: group for phrase, group in found.items() if phrase}}


def either(named: Sequence[str]) -> str:
    """``a, b or c``, of two and more."""
    return f"{', '.join(named[:-1])} or {named[-1]}"
