from __future__ import annotations

import pytest

from season_engine.errors import GrowerError
from season_engine.facts import Text
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.species.files import head_of, shared_set, shipped, species_in
from season_engine.species.schema import CatalogueFile, SharedSet

GROUP = """
group = "trial"
takes = ["seasons"]

[marker.warm]
kind = "heat_after"
label = "it has been warm"
after = "season_start"
need = 100
unit = "growing degree days above 5 degC"
sd_days = 5
from = "memory"

[[window]]
job = "repotting"
name = "spring"
opens = ["season_start"]
closes = ["warm"]

[species."Quercus inventa"]
common = ["made-up oak"]

[species."Quercus altera"]
common = ["other oak"]

[species."Quercus altera".marker.warm]
kind = "heat_after"
label = "it has been warm"
after = "season_start"
need = 150
unit = "growing degree days above 5 degC"
from = "fit"
source = "seven invented years"
"""


def catalogue_with(text: str) -> Catalogue:
    return Catalogue([TomlText("trial.toml", text)])


def test_species_inherit_and_override_whole_tables() -> None:
    catalogue = catalogue_with(GROUP)
    first, second = catalogue.find("Quercus inventa"), catalogue.find("other oak")
    assert (first.markers["warm"].need, first.markers["warm"].sd_days) == (100, 5)
    assert (second.markers["warm"].need, second.markers["warm"].sd_days) == (150, 0)
    assert second.markers["warm"].source == Text("seven invented years")


def test_a_group_takes_shared_sets_and_says_which_file_each_marker_stands_in() -> None:
    oak = catalogue_with(GROUP).find("made-up oak")
    assert oak.markers["season_start"].day == 0
    assert oak.files == {
        "season_start": "species/shared/seasons.toml",
        "midwinter": "species/shared/seasons.toml",
        "midsummer": "species/shared/seasons.toml",
        "warm": "trial.toml",
    }


def test_a_groups_own_table_replaces_that_of_a_set_whole() -> None:
    own = '[marker.midsummer]\nkind = "season_day"\nlabel = "late summer"\nday = 300\nfrom = "memory"\n'
    oak = catalogue_with(GROUP.replace("[marker.warm]", f"{own}\n[marker.warm]", 1)).find("made-up oak")
    assert (oak.markers["midsummer"].day, oak.files["midsummer"]) == (300, "trial.toml")


def test_a_job_of_the_group_that_a_species_goes_without() -> None:
    text = GROUP.replace('common = ["other oak"]', 'common = ["other oak"]\nwithout = ["repotting"]')
    catalogue = catalogue_with(text)
    assert catalogue.find("other oak").windows == ()
    assert [one.job for one in catalogue.find("made-up oak").windows] == ["repotting"]


def test_a_set_in_two_sets_is_an_error_that_names_both(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two made-up sets that share a marker: the group has to have its own, or take one only."""
    marker = '[marker.same]\nkind = "season_day"\nlabel = "some day"\nday = {}\nfrom = "memory"\n'
    sets = {name: TomlText(f"{name}.toml", f'set = "{name}"\n{marker.format(5)}') for name in ("a", "b")}
    monkeypatch.setattr(
        "season_engine.species.catalogue.shared_set",
        lambda name: (checked(sets[name], SharedSet), sets[name]),
    )
    text = GROUP.replace('["seasons"]', '["a", "b"]').replace('"season_start"', '"same"')
    with pytest.raises(GrowerError) as caught:
        catalogue_with(text).find("made-up oak")
    assert (caught.value.file, caught.value.line, caught.value.field) == ("trial.toml", 3, "takes")
    assert 'the sets "a" and "b" both have a marker "same"' in str(caught.value)
    own = catalogue_with(text.replace("[marker.warm]", f"{marker.format(7)}\n[marker.warm]", 1))
    assert own.find("made-up oak").markers["same"].day == 7


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ('takes = ["seasons"]', 'takes = ["saesons"]', 3, 'no set "saesons". Did you mean "seasons"?'),
        ('takes = ["seasons"]', 'takes = ["late summer roots"]', 3, 'It comes with the set "late summer'),
        ('opens = ["season_start"]', 'opens = ["begin"]', 14, '"begin" that does not exist'),
        ('after = "season_start"', 'after = "begin"', 5, 'counted from "begin"'),
        ('after = "season_start"', 'after = "warm"', 5, "loop"),
        ("above 5 degC", "above 5 degF", 10, "is not known"),
        ('from = "memory"', 'from = "published"', 5, "needs its source"),
        ('closes = ["warm"]', 'closes = ["season_start"]', 14, "comes before it opens"),
        (
            'opens = ["season_start"]\ncloses = ["warm"]',
            'opens = ["warm"]\ncloses = ["season_start"]',
            14,
            "comes before it opens",
        ),
        ('job = "repotting"', 'job = "dancing"', 15, '"dancing" is not one of'),
        ('name = "spring"', 'name = "spring"\ninstead_of = "cuttings"', 14, "goes with a school"),
        ('name = "spring"', 'name = "spring"\nseverity = "hard"', 17, '"light trim", "full" or "bare root"'),
        ("need = 100", "need = -1", 9, "greater than 0"),
        ("sd_days = 5", "spread = 5", 11, '"spread" is not a key of [marker.warm]'),
        ('kind = "heat_after"', 'kind = "moon"', 6, 'got "moon"'),
        ("[species", "[[[species", 20, "not valid TOML"),
        ('group = "trial"', "", 1, "of which group"),
        ('group = "trial"', 'group = "juniper"', 2, 'there is a group "juniper" already'),
        ('common = ["made-up oak"]', "", 20, "needs a common name"),
        ('common = ["made-up oak"]', 'common = ["olive"]', 20, '"olive" is a name of Olea europaea already'),
        ('"Quercus inventa"', '"Acer polymorphum"', 20, "is in the catalogue as Acer palmatum"),
        ('common = ["other oak"]', 'common = ["other oak"]\nwithout = ["dance"]', 25, '"dance" is not one'),
    ],
)
def test_a_faulty_file_is_an_error_that_names_file_and_line(old: str, new: str, line: int, said: str) -> None:
    with pytest.raises(GrowerError, match=r"trial\.toml") as caught:
        assert catalogue_with(GROUP.replace(old, new, 1)).species
    assert said in str(caught.value)
    first = getattr(caught.value, "errors", [caught.value])[0]
    assert first.line == line, str(caught.value)


@pytest.mark.parametrize(
    "name", ["Pinus thunbergii", "pinus  THUNBERGII", "Japanese black pine", "black-pine"]
)
def test_a_species_is_found_by_any_of_its_names(name: str) -> None:
    assert load_catalogue().find(name).name == "Pinus thunbergii"


@pytest.mark.parametrize(
    ("name", "species"),
    [
        ("Acer palmatum 'Deshojo'", "Acer palmatum"),
        ("acer palmatum \u2018Deshojo\u2019", "Acer palmatum"),
        ('Japanese maple "Deshojo"', "Acer palmatum"),
        ("Acer palmatum cv. 'Shishigashira'", "Acer palmatum"),
        ("Prunus \N{MULTIPLICATION SIGN} yedoensis", "Prunus x yedoensis"),
        ("Prunus \N{MULTIPLICATION SIGN}yedoensis 'Somei-yoshino'", "Prunus x yedoensis"),
    ],
)
def test_a_cultivar_that_is_not_in_the_catalogue_is_its_species(name: str, species: str) -> None:
    found = load_catalogue().find(name)
    assert found.name == species
    assert found.is_called(name)


def test_a_word_that_several_species_go_by_is_answered_with_their_names() -> None:
    with pytest.raises(GrowerError, match='"juniper" could be "California juniper", "Chinese juniper",'):
        load_catalogue().find("juniper")
    with pytest.raises(GrowerError, match=r'"Acer" could be .* or \d+ more\. Say which\.'):
        load_catalogue().find("Acer")


def test_a_misspelt_species_is_asked_about() -> None:
    for name in ("Pinus thunbergi", "Pinus thunbergi 'Kotobuki'"):
        with pytest.raises(GrowerError, match=r'Did you mean "Pinus thunbergii"\?'):
            load_catalogue().find(name)


def test_an_unknown_species_lists_the_genera_there_are() -> None:
    with pytest.raises(GrowerError, match=r"The catalogue holds species of Abies, Acer, Adenium"):
        load_catalogue().find("Zzzz")


def test_no_two_species_share_a_name() -> None:
    names = [name.casefold() for species in load_catalogue().species.values() for name in species.names]
    assert len(names) == len(set(names))


def test_names_read_without_the_whole_file_are_those_in_it() -> None:
    for toml in shipped("groups"):
        whole = checked(toml, CatalogueFile)
        names = {name: (*one.common, *one.synonyms) for name, one in whole.species.items()}
        assert (head_of(toml), species_in(toml)) == (whole.group, names)
    assert all(shared_set(head_of(toml))[0].set == head_of(toml) for toml in shipped("shared"))


def test_only_the_file_of_the_species_asked_for_is_read() -> None:
    catalogue = Catalogue()
    catalogue.find("olive")
    assert set(catalogue._read) == {"species/groups/olive.toml"}


def test_every_shared_set_is_taken_by_a_group() -> None:
    taken = {name for toml in shipped("groups") for name in checked(toml, CatalogueFile).takes}
    assert {head_of(toml) for toml in shipped("shared")} == taken


def test_every_marker_of_a_group_is_used() -> None:
    """A marker with a growth stage is used by notes; any other has to lead to a window."""
    for species in load_catalogue().species.values():
        used = {name for window in (*species.windows, *species.set_aside) for name in window.markers}
        for name in reversed(list(species.markers)):  # each after those it depends on
            if name in used or species.markers[name].bbch is not None:
                used.update((name, *species.markers[name].depends_on))
        shared = {name for name, file in species.files.items() if "/shared/" in file}
        assert set(species.markers) - used - shared == set(), species.name


def test_numbers_without_evidence_are_spread_wide() -> None:
    """Heat needs known only from practice or memory must not look surer than a week."""
    for species in load_catalogue().species.values():
        for name, marker in species.markers.items():
            if marker.kind in ("heat_after", "heat_softened_by_chill") and marker.provenance in (
                "practice",
                "memory",
            ):
                assert marker.sd_days >= 6, (species.name, name)


def test_a_stage_whose_label_says_more_has_what_to_look_for() -> None:
    for species in load_catalogue().species.values():
        for name, marker in species.markers.items():
            if marker.bbch is not None and ", " in marker.label.template:
                assert marker.label.template.startswith(f"{marker.look_for.template}, "), (species.name, name)
