"""The plain text: 80 columns, every section, nothing said twice that need be said once."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.advice.alarms import Spell
from season_engine.advice.choice import Choice
from season_engine.advice.first_screen import FirstScreen
from season_engine.advice.moves import Move, WeatherSince
from season_engine.note import Note
from season_engine.prints.report import report_text
from season_engine.species.schema import Years
from season_engine.trees.need import Need
from season_engine.trees.need_why import ByYears, Weak
from season_engine.weather.faults import Missing
from season_engine.windows.assessment import Quantiles
from season_engine.windows.hazard import ColdNight, Hazard, HotDays
from season_engine.windows.tree_notes import OffLater
from season_engine.windows.why_today import Risky
from season_engine.words import notices, prose
from season_engine.words.first_screen import moved_sentences
from season_engine.words.hazards import hazard_lines
from season_engine.words.speech import said
from tests.factories import (
    AS_OF,
    RIDGE,
    a_first_screen,
    a_harm,
    a_report,
    a_site_report,
    an_assessment,
    days,
    some_weather,
    weeks_ahead,
)


def flat(text: str) -> str:
    return " ".join(text.split())


def test_no_line_is_longer_than_80_columns():
    assert max(map(len, report_text(a_report()).splitlines())) <= 80


def headings(text: str) -> list[str]:
    return [line for line in text.splitlines() if line and not line.startswith(" ")]


def test_it_opens_with_the_first_screen_and_ends_with_where_it_comes_from():
    assert headings(report_text(a_report())) == [
        "Cover P2 by Wed 12 Aug; repot Lantern by Tue 1 Sep; one bud to look at",
        "Tue 11 Aug 2026",
        "ridge",
        "Protect",
        "Work first",
        "See whether",
        "Moved",
        "ridge in full",
        "Now or later",
        "What a look is worth",
        "Closing",
        "Opening soon",
        "The rest",
        "Your trees",
        "Weather that could hurt",
        "The season so far",
        "Data",
        "Notes",
        "What daily temperatures can't see",
        "Work safely",
        "Sources",
    ]


def first_screen(text: str) -> str:
    return text[: text.index("ridge in full")]


def test_the_first_screen_says_what_to_work_look_at_and_protect_what_moved_and_how_to_answer():
    told = first_screen(report_text(a_report()))
    assert len(told.splitlines()) <= 40
    said = flat(told)
    for sentence in (
        "Lantern (Japanese maple). Repotting by Tue 1 Sep. Goes well 80 in 100, then 70, 40, 20, 10.",
        "Gatepost (Chinese elm). Buds swell (4 in 10).",
        '"Gatepost buds swelling not yet"',
        "22 in 100 for a night of -2 °C or colder within ten days: move P2 (repotting on 2 Aug) under cover "
        "by the evening of Wed 12 Aug.",
        "Six of the seven days since Tue 4 Aug were colder than usual: repotting of Chinese elm opens five "
        "days later than it looked then (about Mon 17 Aug); repotting of Japanese black pine opens three",
    ):
        assert sentence in said, sentence


def test_the_job_chosen_weighs_now_against_later():
    text = flat(report_text(a_report()))
    assert (
        "Repot today: 18 in 100 that a night of -2 °C or colder comes within 42 days; in two weeks 18 in "
        "100, with 35 in 100 that it has closed by then. No week of the next five is better than this one. "
        "In the last three years the closing date given on this day was four days out."
    ) in text


def test_a_mild_week_in_which_nothing_moved_has_neither_heading():
    quiet = a_site_report(first=a_first_screen(protect=(), moved=()))
    assert not {"Protect", "Moved"} & set(headings(report_text(a_report(sites=(quiet,)))))


def test_with_nothing_to_work_it_says_so_and_what_comes_next():
    idle = a_site_report(first=FirstScreen(), windows=(), trees=(), look_at=())
    assert "Nothing for the bench this week." in first_screen(report_text(a_report(sites=(idle,))))
    soon = an_assessment(AS_OF + days(30), AS_OF + days(90), verdict="wait")
    text = report_text(a_report(sites=(replace(idle, windows=(soon,)),)))
    assert "Next to open: Japanese maple, repotting (spring), about Thu 10 Sep." in flat(text)


def test_three_hundred_trees_of_one_species_make_one_line():
    trees = tuple(an_assessment(tree=f"T{n:03d}") for n in range(300))
    text = report_text(a_report(sites=(a_site_report(trees=trees),)))
    assert "T000, T001, T002, T003, T004, T005 and 294 more (Japanese maple). Repotting (spring) by" in flat(
        text
    )
    assert len(text.splitlines()) < 150


WEAK = Need("leave", Weak(), "weak")
LATELY = ByYears(dt.date(2026, 3, 28), Years(2, 3), "leave")


def test_a_weak_tree_and_one_that_has_had_its_work_are_not_listed():
    trees = (
        an_assessment(tree="M1"),
        an_assessment(tree="M2", today="no", need=Need("leave", LATELY, "years", dt.date(2026, 3, 28))),
        an_assessment(tree="M3", verdict="soon", today="no", opens=AS_OF + days(9), need=WEAK),
    )
    site = a_site_report(trees=trees, weak=("M3",), first=FirstScreen())
    text = flat(report_text(a_report(sites=(site,))))
    assert (
        "Your trees - Lantern (Japanese maple). Repotting (spring) by about Sun 6 Sep. One other tree "
        "needs nothing now. Left alone, since weak: M3." in text
    )


def test_what_a_job_would_keep_from_a_tree_is_told_with_it():
    off = OffLater("defoliation", dt.date(2026, 12, 6))
    repotted = an_assessment(tree="M1", of_tree=(off,), ahead=weeks_ahead(0.8, 0.7, 0.4, 0.2, 0.1))
    site = a_site_report(trees=(repotted,), first=FirstScreen(work=(Choice((repotted,), 0.2),)))
    text = flat(report_text(a_report(sites=(site,))))
    told = "That rules out defoliation about 6 Dec 2026."
    assert text.count(told) == 2, "among what to work first, and among the trees"


def test_weather_that_could_hurt_is_not_told_of_work_that_only_weak_trees_could_have():
    of_weak, of_sound = (
        a_site_report(windows=(an_assessment(),), trees=(an_assessment(tree="M3", need=need),))
        for need in (WEAK, None)
    )
    assert hazard_lines(of_sound) != ((), "")
    assert hazard_lines(of_weak) == ((), "")


def test_no_two_paragraphs_of_one_report_are_the_same():
    text = report_text(a_report(sites=(a_site_report(), a_site_report(site=replace(RIDGE, name="valley")))))
    one = text[text.index("ridge in full") : text.index("valley in full")]
    told = [flat(part) for part in re.split(r"\n  - |\n\n", one)]
    long = [part for part in told if len(part) > 40]
    assert len(long) == len(set(long))


def test_forty_windows_that_wait_make_one_sentence():
    waiting = tuple(
        an_assessment(AS_OF + days(30 + n), AS_OF + days(90), verdict="wait", common_name=f"kind {n}")
        for n in range(40)
    )
    idle = a_site_report(windows=waiting, trees=(), look_at=(), first=FirstScreen())
    text = flat(report_text(a_report(sites=(idle,))))
    assert "40 other windows rest. Next to open: kind 0, repotting (spring), about Thu 10 Sep;" in text
    assert text.count("kind ") == 4 + 1, "and the next one on the first screen"


def test_a_chill_portion_is_explained_once_where_it_is_first_printed():
    text = flat(report_text(a_report()))
    explained = prose.plain(notices.CHILL_PORTION)
    assert text.count(explained) == 1
    assert text.index("52 of 45") < text.index(explained) < text.index("Opening soon")


def test_what_temperatures_cannot_see_is_said_once_for_all_sites():
    text = flat(report_text(a_report(sites=(a_site_report(), a_site_report()))))
    assert text.count("hail, wind, rain") == 1


def test_invented_weather_is_called_invented():
    invented = a_site_report(weather=some_weather(invented=True))
    assert said(notices.INVENTED) in flat(report_text(a_report(sites=(invented,))))
    assert said(notices.DEMONSTRATION) in flat(report_text(a_report(demo=True, sites=(invented,))))
    assert said(notices.INVENTED) not in flat(report_text(a_report()))


def test_a_refusal_stands_in_the_place_of_advice():
    refused = a_site_report(weather=None, refusal="the last reading is 75 days old", windows=(), trees=())
    text = report_text(a_report(sites=(refused, a_site_report())))
    assert "Nothing can be said this week\n  The last reading is 75 days old." in text
    assert text.count("Work first") == 1


def test_a_mild_chance_makes_no_alarm_of_its_own():
    text = flat(report_text(a_report()))
    assert "Less likely than 5 in 100: a day of 30 °C." in text
    assert text.count("a day of 30 °C") == 1
    assert "18 in 100 that a night of -2 °C or colder" in text


def test_faults_that_bear_on_this_season_are_shown_and_older_ones_counted():
    one = some_weather().faults[0]
    faults = tuple(replace(one, last_day=AS_OF - days(52 + 2 * n), found=Missing(20 + n)) for n in range(9))
    text = flat(report_text(a_report(sites=(a_site_report(weather=some_weather(faults=faults)),))))
    assert [n for n in range(9) if f"missing for {20 + n} days; filled." in text] == [0, 1, 2], (
        "the last three, no more"
    )
    assert "Nine faults mended; season-engine weather lists them." in text


@settings(max_examples=20)
@given(st.text(), st.text(), st.text())
def test_any_name_or_note_stays_within_its_line(name, tree, note):
    site = a_site_report(tree_names={"M1": tree}, not_covered=(note,))
    site = replace(site, site=replace(site.site, name=name))
    text = report_text(a_report(sites=(site,)))
    assert max(map(len, text.splitlines())) <= 80
    assert all(c.isprintable() or c in "\n\u200c\u200d" for c in text)
    plain_lines = report_text(a_report()).count("\n")
    assert abs(text.count("\n") - plain_lines) <= 2 + (len(name) + 3 * len(tree) + len(note)) // 20


def test_species_that_share_job_and_dates_share_a_line():
    windows = (an_assessment(), an_assessment(species="Acer x", common_name="field maple"))
    site = a_site_report(trees=(), windows=windows, first=FirstScreen(), look_at=())
    text = flat(report_text(a_report(sites=(site,))))
    assert "Japanese maple and field maple, repotting (spring). Closes about Sun 6 Sep" in text
    assert text.count("Closes about") == 1


def test_a_long_part_is_cut_short_and_says_so():
    windows = tuple(
        an_assessment(common_name=f"kind {n}", species=f"k {n}", closes=AS_OF + days(20 + n))
        for n in range(30)
    )
    site = a_site_report(trees=(), windows=windows, first=FirstScreen(), look_at=())
    text = flat(report_text(a_report(sites=(site,))))
    assert text.count("that it is open today") == 10
    assert "And 20 more. windows.csv lists them all." in text


def test_jobs_of_one_species_with_the_same_dates_share_a_line():
    windows = (an_assessment(), an_assessment(job="winter-tidy", window="winter-tidy"))
    site = a_site_report(trees=(), windows=windows, first=FirstScreen(), look_at=())
    assert "Japanese maple, repotting (spring) and winter tidy. Closes" in flat(
        report_text(a_report(sites=(site,)))
    )


def test_a_note_of_the_window_stands_with_it_and_a_caution_at_the_end():
    text = flat(report_text(a_report()))
    assert text.index("Leave a third of the old soil.") < text.index("Opening soon")
    assert text.count("Lifting. ") == 1
    assert text.index("Work safely") < text.index("Lifting. ")


def test_a_window_none_of_whose_trees_may_be_worked_is_not_told():
    weak = an_assessment(tree="M2", today="no", today_why=Weak(), need=WEAK)
    site = a_site_report(windows=(an_assessment(),), trees=(weak,), first=FirstScreen(), look_at=())
    text = flat(report_text(a_report(sites=(site,))))
    assert "In window now" not in text and "Closes" not in text
    both = replace(site, trees=(weak, an_assessment(tree="M1")))
    assert "For Lantern." in flat(report_text(a_report(sites=(both,))))


def test_a_window_to_hold_says_why():
    text = flat(report_text(a_report()))
    assert "Japanese black pine, winter tidy. Closes about Tue 18 Aug" in text
    why = "The odds are too even to call it open; go by the tree itself."
    assert f"7 in 10 that it is open today. {why} For " in text


def test_a_window_to_hold_for_the_weather_leaves_the_odds_to_the_weather():
    frost = Hazard("frost", 0.45, 42, ColdNight(-2.0))
    held = an_assessment(today="hold", today_why=Risky(frost), hazards=(frost,))
    site = a_site_report(windows=(held,), trees=(), first=FirstScreen(), look_at=())
    text = flat(report_text(a_report(sites=(site,))))
    assert "that it is open today. Wait for safer weather. " in text
    assert text.count("45 in 100 that a night of -2 °C or colder comes within 42 days") == 1


def test_what_this_place_never_has_is_said_with_the_first_report_of_a_season():
    fig = "Fewer than half the seasons here have: repotting (spring) of evergreen fig."
    assert fig not in flat(report_text(a_report()))
    assert fig in flat(report_text(a_report(as_of=dt.date(2026, 4, 3))))


def test_two_yards_stand_side_by_side_with_what_both_have():
    valley = a_site_report(site=replace(RIDGE, name="valley"), windows=later(a_site_report().windows, 8))
    text = flat(report_text(a_report(sites=(a_site_report(), valley))))
    assert text.index("Side by side") < text.index("ridge in full")
    assert (
        "Chinese elm, repotting (spring). Next opens about Mon 17 Aug at ridge (nine days earlier than "
        "usual) and about Tue 25 Aug at valley (about as usual), eight days later."
    ) in text
    assert "Side by side" not in report_text(a_report())


def later(windows, by):
    def moved(q):
        return Quantiles(*(None if date is None else date + days(by) for date in (q.p10, q.p50, q.p90)))

    return tuple(replace(a, opens=moved(a.opens), closes=moved(a.closes)) for a in windows)


def test_the_season_is_early_by_its_windows_and_by_its_heat():
    assert "The season runs nine days early." in report_text(a_report())
    few = a_site_report(windows=a_site_report().windows[:1])
    assert "By its heat the season runs" in report_text(a_report(sites=(few,)))


def test_notes_and_weather_are_told_apart():
    maple = an_assessment()
    note = Note(AS_OF - days(2), "ridge", species="Acer palmatum", bbch=1)
    by_note = Move(maple, "closes", AS_OF - days(7), AS_OF + days(18), AS_OF + days(26), 1, 7, (note,), True)
    by_weather = Move(maple, "closes", AS_OF - days(7), AS_OF + days(30), AS_OF + days(26), -4, 0, (), False)
    first, second = moved_sentences((by_note, by_weather), WeatherSince(7, 1.8, 1, 5), AS_OF)
    assert first == (
        "By your note of 9 Aug: repotting of Japanese maple closes eight days later than said then "
        "(about Sun 6 Sep)."
    )
    assert second.startswith("Five of the seven days since Tue 4 Aug were warmer than usual: repotting of")
    assert "closes four days earlier than it looked then" in second


def test_a_date_that_moved_since_a_note_was_taken_back_says_so():
    dates = (AS_OF - days(7), AS_OF + days(18), AS_OF + days(26))
    (told,) = moved_sentences((Move(an_assessment(), "closes", *dates, 1, 7, (), True),), None, AS_OF)
    assert told.startswith(
        "By a note that you took back: repotting of Japanese maple closes eight days later"
    )


def test_two_windows_of_one_job_that_moved_apart_are_told_by_their_names():
    early, late = (an_assessment(window=name) for name in ("spring", "late spring"))
    dates = (AS_OF - days(7), AS_OF + days(9), AS_OF + days(5), -4, 0, (), True)
    opened = Move(early, "opens", AS_OF - days(7), AS_OF + days(3), AS_OF - days(1), -4, 0, (), True)
    (told,) = moved_sentences((opened, Move(late, "opens", *dates)), None, AS_OF)
    assert "repotting (spring) of Japanese maple opened four days earlier than said then" in told
    assert "; repotting (late spring) of Japanese maple opens four days earlier" in told
    alike = Move(early, "opens", *dates), Move(late, "opens", *dates)
    assert "(spring)" not in moved_sentences(alike, None, AS_OF)[0], "with one date they are one"


def test_a_week_like_others_is_not_called_cold_or_warm():
    move = Move(
        an_assessment(), "closes", AS_OF - days(7), AS_OF + days(22), AS_OF + days(26), 4, 0, (), False
    )
    (told,) = moved_sentences((move,), WeatherSince(7, 0.2, 2, 3), AS_OF, forecast_used=True)
    assert told.startswith("With the weather since Tue 4 Aug, the forecast counted in: repotting")


def told_of_harm(*harms) -> str:
    site = a_site_report(first=a_first_screen(protect=harms))
    return flat(report_text(a_report(sites=(site,))))


def test_a_forecast_frost_names_its_day_what_to_do_and_what_is_too_heavy_to_move():
    night = Spell(AS_OF + days(3), AS_OF + days(3), -9.2)
    harm = a_harm(
        face="cold night", trees=("M1", "P1"), heavy=("P1",), spell=night, by=AS_OF + days(2), job=""
    )
    assert (
        "-9 °C forecast for the night to Fri 14 Aug: by the evening of Thu 13 Aug, move Lantern under cover, "
        "and wrap and mulch Harbour pine in place."
    ) in told_of_harm(harm)
    assert told_of_harm(harm).startswith("Cover or wrap Lantern and Harbour pine by Thu 13 Aug;")
    by_night = replace(harm, face="late frost", trees=("P1", "M1"))
    assert told_of_harm(by_night).startswith("Lantern and Harbour pine in by night or under fleece from Thu")
    assert told_of_harm(replace(by_night, trees=("P1",))).startswith("Fleece over Harbour pine by night from")


def test_heat_asks_for_shade_and_water_and_sends_nobody_into_the_sun():
    hot = Spell(AS_OF + days(1), AS_OF + days(4), 43.0)
    harm = a_harm(
        face="heat", trees=("M1",), event=HotDays(35.0), spell=hot, by=AS_OF, job="", worked_on=None
    )
    text = told_of_harm(harm)
    assert (
        "Up to 43 °C forecast, Wed 12 Aug to Sat 15 Aug: shade Lantern by tonight, water twice a day, no "
        "feed."
    ) in text
    assert "Nobody works in the sun above 35 °C." in text


def test_what_goes_on_is_one_short_line_and_what_is_over_is_told():
    lasts = a_harm(face="cold night", stage="lasts", trees=("M1",), until=AS_OF + days(30))
    nightly = a_harm(face="late frost", stage="lasts", trees=("E1",), heavy=("E1",))
    over = a_harm(face="cold night", stage="ends", trees=("M2",))
    text = told_of_harm(over, lasts, nightly)
    assert (
        "As before: keep Lantern under cover (at least to about 10 Sep); Gatepost under fleece by night."
    ) in text
    assert "Old split maple may come out again: likely nights do no harm now." in text


def test_another_window_of_the_same_job_is_no_second_job_for_a_tree():
    first, other = (an_assessment(tree="M1", window=name) for name in ("spring", "late spring"))
    site = a_site_report(windows=(), trees=(first, other), first=FirstScreen(), look_at=())
    trees = flat(report_text(a_report(sites=(site,)))).partition("Your trees")[2]
    assert "Lantern" in trees and "Also" not in trees
