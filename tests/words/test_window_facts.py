"""What is decided about a window has words for every case of it, in English and in German."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import get_args

import pytest

from season_engine.facts import Text
from season_engine.species.schema import Sections, Years
from season_engine.trees.need_why import (
    Barred,
    BySigns,
    ByStage,
    ByYears,
    InParts,
    NoDateKnown,
    OldAndUnknown,
    Part,
    Sick,
    ToRescue,
    Weak,
    WouldBar,
)
from season_engine.trees.programme import PartYear, Programme
from season_engine.trees.spacing import Bar
from season_engine.weather.notices import TooFewCommonDays
from season_engine.windows.assessment import LearntSummary, OwnNumber
from season_engine.windows.hazard import (
    ColdNight,
    ColdRoots,
    ForecastExtreme,
    Hazard,
    HazardName,
    HotDays,
    HotRoots,
    WeatherEvent,
)
from season_engine.windows.why_today import (
    ClosingNow,
    HardlyEverWell,
    LightTrimOnly,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    RescueNow,
    Risky,
    Stale,
    Unsure,
    WhyToday,
)
from season_engine.windows.window_notes import HowDone, Noted, RivalSchools, WindowNote
from season_engine.words.learnt import learnt_sentence
from season_engine.words.one_hazard import (
    event_text,
    forecast_text,
    hazard_brief,
    hazard_name,
    hazard_text,
    mild_sentence,
)
from season_engine.words.own_numbers import own_number_text
from season_engine.words.speech import for_programs, speaking
from season_engine.words.today import today_why, today_why_brief
from season_engine.words.warnings import warning_texts
from season_engine.words.weather_notices import notice_text
from season_engine.words.window_notes import note_text

ON = dt.date(2026, 4, 11)
FROST = Hazard("frost", 0.42, 21, ColdNight(-2.0), ForecastExtreme(ON, -3.2))
HEAT = Hazard("hot spell", 0.31, 14, HotDays(33.0, 3))
HOT_ROOTS = Hazard("root heat", 0.35, 42, HotRoots(38.0))
SHORT = Hazard("short season", 0.6, 0, None)

WHY = [
    (NotOpen("wait"), "It is too early.", "Es ist zu früh."),
    (
        HardlyEverWell(0.12),
        "Here it seldom goes well: at best 12 in 100 that nothing hurts the tree.",
        "Hier geht es selten gut aus: bestenfalls 12 von 100, dass dem Baum nichts schadet.",
    ),
    (
        NotOpen("soon"),
        "It is a little too early; get ready, the window opens soon.",
        "Es ist etwas zu früh; alles vorbereiten, das Fenster öffnet bald.",
    ),
    (
        NotOpen("closed"),
        "It is too late; the window has closed for this season.",
        "Es ist zu spät; das Fenster hat sich für diese Saison geschlossen.",
    ),
    (
        NotOpen("not-here"),
        "This window does not come at this site in most years.",
        "Dieses Fenster gibt es an diesem Ort in den meisten Jahren nicht.",
    ),
    (
        LightTrimOnly(ON),
        "It is too late; the window has closed for this season. A light trim of the roots may still be done, "
        "until about 11 Apr.",
        "Es ist zu spät; das Fenster hat sich für diese Saison geschlossen. Ein leichter Wurzelschnitt geht "
        "noch, bis etwa 11. Apr.",
    ),
    (
        RescueNow(frozenset({"sour smell"})),
        "Its roots are dying (its roots smell sour), and the window isn't open: rescue it, and no more. Lift "
        "it whole, cut off what is rotten, give it a coarse mix and a larger box, then shade and no frost. "
        "Never in heat or while the ground is frozen.",
        "Seine Wurzeln sterben (seine Wurzeln riechen sauer), und das Fenster ist nicht offen: retten und "
        "nicht mehr. Im Ganzen herausheben, Faules abschneiden, in grobes Substrat und eine größere Kiste "
        "setzen, dann Schatten und kein Frost. Nie bei Hitze oder gefrorenem Boden.",
    ),
    (
        Weak(),
        "This tree is marked weak; let it gain strength first.",
        "Dieser Baum ist als schwach markiert; er soll erst zu Kräften kommen.",
    ),
    (
        Sick(ON),
        "It has been ill since 11 Apr 2026: nothing but what helps it until it is well.",
        "Er ist seit 11. Apr. 2026 krank: nur was ihm hilft, bis er gesund ist.",
    ),
    (
        Barred(Bar("roots-after-roots", "repotting", ON, dt.date(2027, 10, 11))),
        "It had repotting on 11 Apr 2026. Not before 11 Oct 2027.",
        "Am 11. Apr. 2026 war Umtopfen dran. Nicht vor dem 11. Okt. 2027.",
    ),
    (
        ByYears(dt.date(2024, 7, 20), Years(3, 5), "leave"),
        "Its roots were last worked in July 2024, and such a tree is repotted every three to five years: not "
        "due yet, unless water hardly drains.",
        "An seinen Wurzeln wurde zuletzt im Juli 2024 gearbeitet, und so ein Baum wird alle drei bis fünf "
        "Jahre umgetopft: noch nicht fällig, außer Wasser läuft kaum noch ab.",
    ),
    (
        BySigns(frozenset({"roots lift", "drains slowly"}), None),
        "It is due whatever the years say: water drains slowly and roots lift it out of its pot.",
        "Es ist fällig, was auch die Jahre sagen: Wasser läuft langsam ab und Wurzeln heben ihn aus "
        "dem Topf.",
    ),
    (
        ToRescue(frozenset({"roots rotten"})),
        "Its roots are dying (its roots are black and soft): that can't wait for another year.",
        "Seine Wurzeln sterben (seine Wurzeln sind schwarz und weich): Das kann kein weiteres Jahr warten.",
    ),
    (
        NoDateKnown(),
        "When it was repotted last isn't noted: it may be, if roots fill its pot.",
        "Wann er zuletzt umgetopft wurde, ist nicht notiert: Es geht, wenn Wurzeln den Topf füllen.",
    ),
    (
        OldAndUnknown(),
        "An old conifer, and when it was repotted last isn't noted: lift it and look at its roots first.",
        "Ein alter Nadelbaum, und wann er zuletzt umgetopft wurde, ist nicht notiert: erst herausheben und "
        "die Wurzeln ansehen.",
    ),
    (
        InParts(3),
        "Its root ball is renewed in three parts, over years, never the whole at once.",
        "Sein Wurzelballen wird über Jahre in drei Teilen erneuert, nie auf einmal.",
    ),
    (
        Part(Programme(3, (), (PartYear(1, ON, False), PartYear(2, None, False)))),
        "Part 1 of 3 of its root ball is next; what lies under the trunk comes last.",
        "Teil 1 von 3 seines Wurzelballens ist der nächste; was unter dem Stamm liegt, kommt zuletzt.",
    ),
    (
        ByStage("young", "leave"),
        "It isn't done on a young tree.",
        "An einem jungen Baum macht man es nicht.",
    ),
    (
        WouldBar("repotting", ON),
        "It would keep repotting from the tree, which it is due for about 11 Apr 2026.",
        "Danach ginge Umtopfen nicht mehr, fällig für diesen Baum etwa 11. Apr. 2026.",
    ),
    (
        Unsure(),
        "The odds are too even to call it open; go by the tree itself.",
        "Die Chancen stehen zu gleich, um es offen zu nennen; nach dem Baum selbst gehen.",
    ),
    (
        Stale(9),
        "The last reading is 9 days old, too old to work by.",
        "Der letzte Messwert ist 9 Tage alt, zu alt, um danach zu arbeiten.",
    ),
    (
        Risky(FROST),
        "Wait for safer weather: 42 in 100 that a night of -2 °C or colder comes within 21 days of doing it "
        "today; frost of about -3 °C is forecast for the night to Sat 11 Apr.",
        "Auf sichereres Wetter warten: 42 von 100, dass eine Nacht mit -2 °C oder kälter innerhalb von 21 "
        "Tagen nach der Arbeit heute kommt; Frost von etwa -3 °C ist für die Nacht auf Sa., 11. Apr. "
        "vorhergesagt.",
    ),
    (
        Risky(HEAT),
        "Better not now: 31 in 100 that 3 days of 33 °C running come within 14 days of doing it today.",
        "Besser nicht jetzt: 31 von 100, dass 3 Tage mit 33 °C in Folge innerhalb von 14 Tagen nach der "
        "Arbeit heute kommen.",
    ),
    (
        NeedsCover(replace(FROST, forecast=None)),
        "Needs cover afterwards: 42 in 100 that a night of -2 °C or colder comes within 21 days of doing "
        "it today.",
        "Braucht danach Schutz: 42 von 100, dass eine Nacht mit -2 °C oder kälter innerhalb von 21 Tagen "
        "nach der Arbeit heute kommt.",
    ),
    (
        NeedsShade(HOT_ROOTS),
        "Needs shade at midday afterwards: 35 in 100 that a rise of the pot's middle to 38 °C comes within "
        "42 days of doing it today.",
        "Braucht danach mittags Schatten: 35 von 100, dass ein Erwärmen der Topfmitte auf 38 °C innerhalb "
        "von 42 Tagen nach der Arbeit heute kommt.",
    ),
    (
        OpenNow(),
        "The window is open, and what past years brought from here on is safe enough for it.",
        "Das Fenster ist offen, und was frühere Jahre von hier an brachten, ist sicher genug dafür.",
    ),
    (
        ClosingNow(),
        "The window is open but closing; do it now or leave it for another year.",
        "Das Fenster ist offen, schließt aber; jetzt machen oder ein Jahr warten.",
    ),
]


@pytest.mark.parametrize(("why", "english", "german"), WHY)
def test_why_today(why: WhyToday, english: str, german: str) -> None:
    assert today_why(why) == english
    with speaking("de"):
        assert today_why(why) == german


def test_every_reason_for_todays_advice_is_tried() -> None:
    assert {type(why) for why, _, _ in WHY} == set(get_args(WhyToday))
    shut = {why.verdict for why, _, _ in WHY if isinstance(why, NotOpen)}
    assert shut == {"wait", "soon", "closed", "not-here"}


@pytest.mark.parametrize(("why", "english", "german"), WHY)
def test_in_brief_it_is_the_same_without_a_hazards_odds(why: WhyToday, english: str, german: str) -> None:
    for language, whole in (("en", english), ("de", german)):
        with speaking(language):
            brief = today_why_brief(why)
        if isinstance(why, Risky | NeedsCover | NeedsShade):
            assert whole.startswith(f"{brief}: ") and ":" not in brief
        else:
            assert brief == whole


@pytest.mark.parametrize(
    ("event", "english", "german"),
    [
        (ColdNight(-2.0), "a night of -2 °C or colder", "eine Nacht mit -2 °C oder kälter"),
        (
            ColdRoots(-6.5),
            "a fall of the pot's middle to -6.5 °C",
            "ein Abkühlen der Topfmitte auf -6,5 °C",
        ),
        (HotRoots(38.0), "a rise of the pot's middle to 38 °C", "ein Erwärmen der Topfmitte auf 38 °C"),
        (
            HotRoots(38.0, 3),
            "a rise of the pot's middle to 38 °C 3 days running",
            "ein Erwärmen der Topfmitte auf 38 °C 3 Tage in Folge",
        ),
        (HotDays(35.0), "a day of 35 °C", "ein Tag mit 35 °C"),
        (HotDays(33.0, 3), "3 days of 33 °C running", "3 Tage mit 33 °C in Folge"),
    ],
)
def test_what_would_hurt(event: WeatherEvent, english: str, german: str) -> None:
    assert event_text(event) == english
    with speaking("de"):
        assert event_text(event) == german
    assert {ColdNight, ColdRoots, HotDays, HotRoots} == set(get_args(WeatherEvent))


@pytest.mark.parametrize(
    ("hazard", "english", "german"),
    [
        (
            FROST,
            "42 in 100 that a night of -2 °C or colder comes within 21 days",
            "42 von 100, dass eine Nacht mit -2 °C oder kälter innerhalb von 21 Tagen kommt",
        ),
        (
            HEAT,
            "31 in 100 that 3 days of 33 °C running come within 14 days",
            "31 von 100, dass 3 Tage mit 33 °C in Folge innerhalb von 14 Tagen kommen",
        ),
        (
            SHORT,
            "60 in 100 that too little warmth is left for it to recover",
            "60 von 100, dass zu wenig Wärme bleibt, um sich zu erholen",
        ),
    ],
)
def test_a_hazard_in_brief(hazard: Hazard, english: str, german: str) -> None:
    assert hazard_brief(hazard) == english
    with speaking("de"):
        assert hazard_brief(hazard) == german


def test_too_little_warmth_goes_by_the_work_of_today() -> None:
    assert hazard_text(SHORT) == "60 in 100 that too little warmth is left for it to recover, done today"
    with speaking("de"):
        assert hazard_text(SHORT) == (
            "60 von 100, dass zu wenig Wärme bleibt, um sich von der Arbeit heute zu erholen"
        )


@pytest.mark.parametrize(
    ("hazard", "told"),
    [
        (FROST, "frost of about -3 °C is forecast for the night to Sat 11 Apr"),
        (
            Hazard("cold night", 0.4, 21, ColdNight(4.0), ForecastExtreme(ON, 3.4)),
            "a night of about 3 °C is forecast for the night to Sat 11 Apr",
        ),
        (
            Hazard("heat", 0.4, 21, HotDays(33.0), ForecastExtreme(ON, 34.5)),
            "about 34 °C is forecast for Sat 11 Apr",
        ),
        (
            Hazard("root frost", 0.4, 42, ColdRoots(-2.0), ForecastExtreme(ON, -3.4)),
            "by the forecast the pot's middle falls to about -3 °C in the night to Sat 11 Apr",
        ),
        (
            replace(HOT_ROOTS, forecast=ForecastExtreme(ON, 40.2)),
            "by the forecast the pot's middle reaches about 40 °C on Sat 11 Apr",
        ),
        (HEAT, ""),
    ],
)
def test_what_is_forecast(hazard: Hazard, told: str) -> None:
    assert forecast_text(hazard) == told


def test_a_hazard_in_other_units_and_for_programs() -> None:
    with speaking("en", "degF"):
        assert "a night of 28 °F or colder" in hazard_text(FROST)
        assert "frost of about 27 °F is forecast" in hazard_text(FROST)
    with for_programs("degC"):
        assert "a night of -2 degC or colder" in hazard_text(FROST)


def test_every_hazard_has_a_name_in_german() -> None:
    with speaking("de"):
        names = {name: hazard_name(Hazard(name, 0.5, 1, None)) for name in get_args(HazardName)}
    assert [name for name, told in names.items() if told == name] == []
    assert len(set(names.values())) == len(names)


NOTES = [
    (
        RivalSchools("late", ("early", "autumn")),
        'Growers disagree: "late" is one school, "early" and "autumn" the others. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        "Hier gibt es verschiedene Schulen:",
    ),
    (
        RivalSchools("late", ("early",)),
        'Growers disagree: "late" is one school, "early" the other. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        "Hier gibt es verschiedene Schulen:",
    ),
    (
        HowDone("needle-work"),
        "Last year's needles and older: most off strong shoots, few off middling ones, none off weak.",
        "Vorjährige und ältere Nadeln: von starken Trieben die meisten, von mittleren wenige, von schwachen "
        "keine.",
    ),
    (Noted(Text("In my own words.")), "In my own words.", "In my own words."),
    (
        Sections.model_validate({"parts": 2, "years_apart": (1, 3), "trees": "old ones", "from": "practice"}),
        "In halves, about 1 to 3 years apart, for old ones.",
        "In Hälften, im Abstand von etwa 1 bis 3 Jahren, für old ones.",
    ),
    (
        Sections.model_validate({"parts": 5, "years_apart": (2, 2), "trees": "old ones", "from": "practice"}),
        "In 5 parts, about 2 years apart, for old ones.",
        "In 5 Teilen, im Abstand von etwa 2 Jahren, für old ones.",
    ),
]


@pytest.mark.parametrize(("note", "english", "german"), NOTES)
def test_notes_of_window_and_species(note: WindowNote, english: str, german: str) -> None:
    assert note_text(note) == english
    with speaking("de"):
        assert note_text(note).startswith(german)
    assert {type(one) for one, _, _ in NOTES} == set(get_args(WindowNote))


@pytest.mark.parametrize(
    ("learnt", "english", "german"),
    [
        (None, "", ""),
        (
            LearntSummary(1, 3, seen_this_season=False),
            "By one note of yours it runs 3 days later than the catalogue has it.",
            "Nach einer deiner Notizen läuft es 3 Tage später als im Katalog.",
        ),
        (
            LearntSummary(4, -1, seen_this_season=True),
            "By 4 notes of yours it runs 1 day earlier than the catalogue has it. "
            "What you saw this season is counted in.",
            "Nach 4 deiner Notizen läuft es einen Tag früher als im Katalog. "
            "Was du in dieser Saison gesehen hast, ist eingerechnet.",
        ),
        (
            LearntSummary(2, 0, seen_this_season=False),
            "By 2 notes of yours it runs as the catalogue has it.",
            "Nach 2 deiner Notizen läuft es wie im Katalog.",
        ),
        (
            LearntSummary(0, 0, seen_this_season=True),
            "What you saw this season is counted in.",
            "Was du in dieser Saison gesehen hast, ist eingerechnet.",
        ),
    ],
)
def test_what_notes_changed(learnt: LearntSummary | None, english: str, german: str) -> None:
    assert learnt_sentence(learnt) == english
    with speaking("de"):
        assert learnt_sentence(learnt) == german


OWN = OwnNumber("mine.toml", 7, "buds", "Acer palmatum", "repotting", "late-spring", "opens", "ridge", 30)
PLACE = 'In mine.toml, line 7: "buds" of Acer palmatum'
ORT = "In mine.toml, Zeile 7:"


@pytest.mark.parametrize(
    ("changes", "english", "german"),
    [
        (
            {},
            "puts the opening of repotting (late spring) at ridge 30 days later than the number it replaces.",
            'Durch "buds" von Acer palmatum liegt der Beginn von ',
        ),
        (
            {"days": -25, "end": "closes"},
            "puts the closing of repotting (late spring) at ridge 25 days earlier than the number it "
            "replaces.",
            'Durch "buds" von Acer palmatum liegt das Ende von ',
        ),
        (
            {"days": 5, "past": True},
            "puts the opening of repotting (late spring) at ridge 5 days later than the number it replaces, "
            "after a stage that closes it.",
            'Durch "buds" von Acer palmatum liegt der Beginn von ',
        ),
        (
            {"days": -5, "past": True, "end": "closes"},
            "puts the closing of repotting (late spring) at ridge before its opening.",
            'Durch "buds" von Acer palmatum liegt das Ende von ',
        ),
        (
            {"days": None},
            "leaves most seasons at ridge without a window for repotting (late spring).",
            'Mit "buds" von Acer palmatum haben die meisten Jahre in ridge kein Fenster für ',
        ),
    ],
)
def test_what_a_number_of_the_growers_own_does(changes, english: str, german: str) -> None:
    one = replace(OWN, **changes)
    assert own_number_text(one) == f"{PLACE} {english}"
    with speaking("de"):
        assert own_number_text(one).startswith(f"{ORT} {german}")
    few = TooFewCommonDays(60)
    assert warning_texts((few, one)) == [notice_text(few), f"{PLACE} {english}"]


def test_what_is_unlikely_is_told_with_its_level_since_a_lesser_frost_may_be_sure():
    hard, harder = (
        Hazard("frost", chance, 21, ColdNight(level)) for chance, level in ((0.04, -8.0), (0.01, -12.0))
    )
    late = Hazard("short season", 0.02, 0, None)
    told = "Less likely than 5 in 100: a night of -8 °C or colder and short season."
    assert mild_sentence((harder, late, hard)) == told
    assert mild_sentence(()) == ""
    with speaking("de"):
        assert (
            mild_sentence((hard,))
            == "Weniger wahrscheinlich als 5 von 100: eine Nacht mit -8 °C oder kälter."
        )


@pytest.mark.parametrize("event", [ColdNight(-8.0), ColdRoots(-4.0), HotDays(33.0, 3), HotRoots(38.0)])
def test_an_unlikely_event_names_its_level(event: WeatherEvent):
    for units, unit in (("degC", "°C"), ("degF", "°F")):
        with speaking("en", units):
            assert unit in mild_sentence((Hazard("heat", 0.01, 21, event),))
