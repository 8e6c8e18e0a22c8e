"""The weekly report in another language: catalogues complete and up to date, and nothing left in English."""

from __future__ import annotations

import datetime as dt
import html
import io
import re
from gettext import GNUTranslations

import pytest
from babel import Locale
from babel.messages.catalog import Message as Entry
from babel.messages.pofile import read_po

from season_engine.delivery.message import compose
from season_engine.documents.calendar_feed import season_calendar, season_windows
from season_engine.documents.model import json_text
from season_engine.documents.report import report_document
from season_engine.facts import Degrees, Text
from season_engine.locale import ENGLISH, languages
from season_engine.pages.page import report_page
from season_engine.prints.report import report_text
from season_engine.report.contents import Report
from season_engine.tables.texts import bare_temperature, with_values
from season_engine.windows.assessment import Quantiles
from season_engine.words import naming, prose, timing, translations
from season_engine.words.speech import Day, for_programs, said, say, say_count, speaking
from season_engine.words.translations import (
    SPECIES,
    TEMPLATE,
    catalogue_file,
    catalogue_of,
    compiled,
    template,
    translated,
    written,
)
from season_engine.words.weather_faults import fault_text
from tests.workspaces import demo_facts

OTHERS = [name for name in languages() if name != ENGLISH]
AS_OF = dt.date(2026, 4, 14)
ENGLISH_WORDS = re.compile(r"\b(the|and|of|is|are|with|for|from|by|to|it|that|days?|weeks?|opens|spring)\b")
WRITTEN_IN_ENGLISH = re.compile(r'"[^"]*"|season-engine journal add|\w+\.(?:csv|toml)')  # commands, files


def key(entry: Entry) -> tuple[str, str | tuple[str, ...]]:
    words = entry.id if isinstance(entry.id, str) else tuple(entry.id)
    return entry.context or "", words


def entries(catalogue) -> dict[tuple[str, str | tuple[str, ...]], Entry]:
    return {key(entry): entry for entry in catalogue if entry.id}


@pytest.fixture(scope="module")
def english() -> Report:
    return demo_facts()


@pytest.fixture(scope="module")
def german(english: Report) -> Report:
    return Report(english.as_of, english.demo, english.sites, "de")


def test_the_template_holds_what_code_pages_and_catalogue_say():
    with TEMPLATE.open("rb") as file:
        kept = read_po(file)
    assert entries(kept).keys() == entries(template()).keys(), "run `make translations`"


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated_and_the_compiled_file_is_of_the_written_one(language):
    catalogue = catalogue_of(language)
    assert entries(catalogue).keys() == entries(template()).keys(), "run `make translations`"
    left = [entry.id for entry in catalogue if not translated(entry) and entry.context != SPECIES]
    assert left == []
    assert [entry.id for entry in catalogue if entry.fuzzy] == []
    with catalogue_file(language).with_suffix(".mo").open("rb") as file:
        assert said_by(GNUTranslations(file)) == said_by(GNUTranslations(io.BytesIO(compiled(catalogue))))


@pytest.mark.parametrize("language", OTHERS)
def test_a_species_without_a_translation_has_its_botanical_name(language):
    """Adding a species asks for no translation; what a translator wrote goes before."""
    catalogue = catalogue_of(language)
    catalogue.get("Japanese maple", SPECIES).string = ""
    catalogue.get("European larch", SPECIES).string = "a tree of that name"
    said = said_by(GNUTranslations(io.BytesIO(compiled(catalogue))))
    assert said[f"{SPECIES}\x04Japanese maple"] == "Acer palmatum"
    assert said[f"{SPECIES}\x04European larch"] == "a tree of that name"
    assert not catalogue.get("Japanese maple", SPECIES).string


def test_a_new_catalogue_has_a_plain_head(tmp_path, monkeypatch):
    monkeypatch.setattr(translations, "LOCALE", tmp_path)
    catalogue_file("nl").parent.mkdir(parents=True)
    catalogue_file("nl").touch()
    begun = catalogue_of("nl")
    begun.update(template(), no_fuzzy_matching=True)
    assert written(begun).decode().splitlines()[:5] == [
        "# Dutch translations of what season_engine prints.",
        'msgid ""',
        'msgstr ""',
        '"Language: nl\\n"',
        '"Plural-Forms: nplurals=2; plural=(n != 1);\\n"',
    ]
    catalogue_file("nl").write_bytes(written(begun))
    assert written(catalogue_of("nl")) == written(begun), "read again it stays as it is"


def said_by(found: GNUTranslations) -> dict[object, str]:
    """All it holds but its head, in which the writing library names itself."""
    return {text: said for text, said in vars(found)["_catalog"].items() if text}


@pytest.mark.parametrize("language", OTHERS)
def test_translations_name_the_same_values(language):
    values = re.compile(r"\{[^}]*\}")
    for entry in filter(translated, entries(catalogue_of(language)).values()):
        plural = not isinstance(entry.id, str)
        ids, strings = (entry.id, entry.string) if plural else ((entry.id,), (entry.string,))
        for place, string in enumerate(strings):
            counts = {"{n}"} if plural and place == 0 else set()  # a text for one may say the one in words
            wanted, given = ({*values.findall(text)} for text in (ids[min(place, 1)], string))
            assert given | counts == wanted | counts, string
            assert not bare_temperature(string), string


@pytest.mark.parametrize("language", OTHERS)
def test_plural_forms_are_those_of_the_locale(language):
    """Against the plural rules of CLDR, as Babel has them."""
    rule, catalogue = Locale.parse(language).plural_form, catalogue_of(language)
    forms = {rule(n) for n in range(30)}
    assert {len(entry.string) for entry in entries(catalogue).values() if entry.pluralizable} == {len(forms)}
    with speaking("de"):
        told = [say_count("{n} day late", "{n} days late", n, n=prose.number(n)) for n in (1, 2, 13)]
    assert told == ["einen Tag später", "zwei Tage später", "13 Tage später"]


def test_german_dates_and_numbers():
    """Short forms of CLDR's German dates: `Di., 11. Aug. 2026`."""
    with speaking("de"):
        assert timing.day(dt.date(2026, 8, 11), AS_OF) == "Di., 11. Aug."
        assert timing.full_day(dt.date(2026, 8, 11)) == "Di., 11. Aug. 2026"
        dates = Quantiles(None, dt.date(2026, 8, 11), None)
        assert say("Closes {about}.", about=timing.roughly(dates, AS_OF)) == (
            "Schließt etwa am Di., 11. Aug."
        )
        assert prose.amount(1234.0) == "1.234"
        assert prose.amount(7.25) == "7,2"
    assert timing.day(dt.date(2026, 8, 11), AS_OF) == "Tue 11 Aug"


def test_a_text_is_told_in_the_language_and_units_that_are_spoken():
    day = Day(AS_OF, weekday=True)
    told = Text("about {degrees} is forecast for {date}", (("degrees", Degrees(34.5)), ("date", day)))
    label = with_values("the root zone holds {8.5 degC} for a week, and buds swell")
    note = with_values("from {-5..-2 degC}, {0.5..2 K} and {1,250 degree days}")
    with for_programs("degC"):
        assert said(told) == "about 34.5 degC is forecast for Tue 14 Apr"
    with speaking("de"):
        assert said(told) == "etwa 34,5 °C sind für Di., 14. Apr. vorhergesagt"
        with speaking("de", "degF"):
            assert said(told) == "etwa 94,1 °F sind für Di., 14. Apr. vorhergesagt"
        assert said(label).startswith("die Wurzelzone hält eine Woche lang 8,5 °C")
        with speaking("de", "degF"):
            assert said(label).startswith("die Wurzelzone hält eine Woche lang 47,3 °F")
        assert said(note) == "from -5 bis -2 °C, 0,5 bis 2 °C and 1.250 Gradtage"
        with speaking("de", "degF"):
            assert said(note) == "from 23 bis 28 °F, 0,9 bis 4 °F and 2.250 Gradtage"
        assert prose.plain("a note of {mine}, in my own words") == "a note of {mine}, in my own words"
    with speaking("en", "degF"):
        assert said(told) == "about 94.1 °F is forecast for Tue 14 Apr"


def test_names_are_translated_where_a_name_is_known_else_botanical(german):
    a = next(one for one in german.sites[0].windows if one.species == "Acer palmatum")
    with speaking("de"):
        assert naming.species_name(a) == "Fächer-Ahorn"
        assert said(Text("old man banksia", context="species")) == "Banksia serrata"
        assert said(Text("an elm of my own", context="species")) == "an elm of my own"
    assert naming.species_name(a) == "Japanese maple"


def words_of_page(page: str) -> str:
    told = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    attributes = " ".join(re.findall(r'(?:content|aria-label|alt)="([^"]*)"', told))
    return html.unescape(f"{re.sub(r'<[^>]*>', ' | ', told)} {attributes}")


def english_left(text: str) -> list[str]:
    """Words of English left outside commands, names of files, and the list of what was read."""
    told = WRITTEN_IN_ENGLISH.sub("", " ".join(re.split(r"\bQuellen\b", text)[0].split()))
    return [told[max(0, found.start() - 40) : found.end() + 40] for found in ENGLISH_WORDS.finditer(told)]


def test_nothing_is_left_in_english(german):
    now = dt.datetime(2026, 4, 14, tzinfo=dt.UTC)
    mail = compose(german, sender="a@example.org", to="b@example.org", again=0, now=now)
    text, page = (part.get_content() for part in mail.walk() if part.get_content_maintype() == "text")
    feed = (season_calendar(german) + season_windows(german)).decode()
    feed = feed.replace("\r\n ", "").replace("\\n", " ")
    assert english_left(report_text(german)) == []
    assert english_left(words_of_page(report_page(german))) == []
    assert english_left(text) == []
    assert english_left(words_of_page(page)) == []
    assert english_left(feed) == []
    assert english_left(mail["Subject"]) == []
    assert "Broom umtopfen bis Do., 9. Apr." in mail["Subject"]
    for told in (report_text(german), text, words_of_page(report_page(german)), words_of_page(page)):
        assert " ".join(told.split()).count(mail["Subject"]) >= 1


def test_the_check_for_english_can_fail(english):
    assert len(english_left(report_text(english))) > 100


def test_the_page_names_its_language_and_json_stays_english(english, german):
    assert '<html lang="de">' in report_page(german)
    assert '<html lang="en">' in report_page(english)
    assert json_text(report_document(german)) == json_text(report_document(english))


def test_what_is_said_ends_with_the_language():
    with pytest.raises(ZeroDivisionError), speaking("de"):
        1 / 0  # noqa: B018
    assert said(Text("Work safely")) == "Work safely"


def test_what_is_wrong_with_readings_is_told_in_the_language_too(german):
    """All faults that the demo's weather holds, in German and in degF."""
    faults = [fault for site in german.sites for fault in site.weather.faults]
    with speaking("de", "degF"):
        told = " ".join(map(fault_text, faults))
    assert len(faults) > 10
    assert english_left(told) == []
    assert "°C" not in told
