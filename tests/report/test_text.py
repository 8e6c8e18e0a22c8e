"""The plain text: 80 columns, every section, nothing said twice that need be said once."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.report import phrases
from season_engine.report.text import report_text

from .factories import AS_OF, a_report, a_site_report, an_assessment, days, some_weather


def flat(text: str) -> str:
    return " ".join(text.split())


def test_no_line_is_longer_than_80_columns():
    assert max(map(len, report_text(a_report()).splitlines())) <= 80


def test_it_opens_with_what_to_do_and_ends_with_where_it_comes_from():
    lines = report_text(a_report()).splitlines()
    headings = [line for line in lines if line and not line.startswith(" ")]
    assert headings == [
        "Season report for Tue 11 Aug 2026, week 2026-W33",
        "ridge",
        "What to do this week",
        "In window now",
        "Opening soon",
        "Closed lately",
        "The rest",
        "Not at this place",
        "Your trees",
        "Weather that could hurt",
        "The season so far",
        "Health of the weather data",
        "Notes",
        "What daily temperatures can't see",
        "Work safely",
        "Sources",
    ]


def test_it_says_which_tree_to_work_and_why_another_is_left():
    text = flat(report_text(a_report()))
    assert "Do: - Repotting (spring). Japanese maple (Lantern) by about" in text
    assert "Leave alone: - Repotting (spring): Japanese maple (Old split maple). Marked weak" in text
    assert "Hold: - Winter tidy: Japanese black pine (Harbour pine)" in text
    assert "A night near -5 °C is likely" in text


def test_eighty_trees_of_one_species_make_one_line_of_advice_not_eighty():
    trees = tuple(an_assessment(tree=f"T{n:02d}") for n in range(80))
    text = flat(report_text(a_report(sites=(a_site_report(trees=trees),))))
    assert "Japanese maple (T00, T01, T02, T03, T04, T05 and 74 more) by about" in text
    assert "T79. Japanese maple" in text, "and each is still listed among the trees"


def test_forty_windows_that_wait_make_one_sentence():
    waiting = tuple(
        an_assessment(AS_OF + days(30 + n), AS_OF + days(90), verdict="wait", common_name=f"kind {n}")
        for n in range(40)
    )
    text = flat(report_text(a_report(sites=(a_site_report(windows=waiting, trees=(), look_at=()),))))
    assert "40 other windows rest. Next to open: kind 0, repotting (spring), about Thu 10 Sep;" in text
    assert text.count("kind ") == 4
    assert phrases.NOTHING_NOW in text


def test_a_chill_portion_is_explained_once_where_it_is_first_printed():
    text = flat(report_text(a_report()))
    assert text.count(phrases.CHILL_PORTION) == 1
    assert text.index("52 of 45") < text.index(phrases.CHILL_PORTION) < text.index("Opening soon")


def test_what_temperatures_cannot_see_is_said_once_for_all_sites():
    text = flat(report_text(a_report(sites=(a_site_report(), a_site_report()))))
    assert text.count("hail, wind, rain") == 1


def test_invented_weather_is_called_invented():
    invented = a_site_report(weather=some_weather(invented=True))
    assert phrases.INVENTED in flat(report_text(a_report(sites=(invented,))))
    assert phrases.INVENTED in flat(report_text(a_report(demo=True, sites=(invented,))))
    assert phrases.INVENTED not in flat(report_text(a_report()))


def test_a_refusal_stands_in_the_place_of_advice():
    refused = a_site_report(weather=None, refusal="the last reading is 75 days old", windows=(), trees=())
    text = report_text(a_report(sites=(refused, a_site_report())))
    assert "Nothing can be said this week\n  The last reading is 75 days old." in text
    assert text.count("What to do this week") == 1


def test_a_mild_chance_makes_no_alarm_of_its_own():
    text = flat(report_text(a_report()))
    assert "Less likely than 5 in 100: early heat." in text
    assert "a day of 30 °C" not in text
    assert "18 in 100 that a night of -2 °C or colder" in text


def test_faults_that_bear_on_this_season_are_shown_and_older_ones_counted():
    one = some_weather().faults[0]
    faults = tuple(replace(one, last_day=AS_OF - days(52 + 2 * n), text=f"fault {n}") for n in range(9))
    text = flat(report_text(a_report(sites=(a_site_report(weather=some_weather(faults=faults)),))))
    assert [n for n in range(9) if f"Fault {n}." in text] == [0, 1, 2, 3, 4]
    assert "Four older faults mended; season-engine weather lists them." in text


@settings(max_examples=50)
@given(st.text(), st.text(), st.text())
def test_any_name_or_note_stays_within_its_line(name, tree, note):
    site = a_site_report(tree_names={"M1": tree}, notes=(note,))
    site = replace(site, site=replace(site.site, name=name))
    text = report_text(a_report(sites=(site,)))
    assert max(map(len, text.splitlines())) <= 80
    assert all(c.isprintable() or c in "\n\u200c\u200d" for c in text)
    plain_lines = report_text(a_report()).count("\n")
    assert abs(text.count("\n") - plain_lines) <= 2 + (len(name) + 3 * len(tree) + len(note)) // 20


def test_species_with_the_same_job_share_a_line():
    trees = (an_assessment(tree="A"), an_assessment(tree="B", species="Acer x", common_name="field maple"))
    text = flat(report_text(a_report(sites=(a_site_report(trees=trees, windows=()),))))
    assert "Repotting (spring). Japanese maple (A) by about Sun 6 Sep; field maple (B) by about" in text


def test_species_that_share_a_window_to_the_day_share_a_card():
    windows = (an_assessment(), an_assessment(species="Acer x", common_name="field maple"))
    text = flat(report_text(a_report(sites=(a_site_report(trees=(), windows=windows),))))
    assert text.count("Opened about") == 1
    assert "Japanese maple and field maple, repotting (spring)." in text


def test_a_caution_of_the_window_stands_with_it_and_one_of_the_job_at_the_end():
    text = flat(report_text(a_report()))
    assert text.index("Leave a third of the old soil.") < text.index("Opening soon")
    assert text.count("Lift a heavy pot") == 1
    assert text.index("Work safely") < text.index("Lift a heavy pot")


def test_a_window_never_says_do_over_a_tree_that_must_be_left():
    weak = an_assessment(tree="M2", today="no", today_why="marked weak")
    text = flat(report_text(a_report(sites=(a_site_report(windows=(an_assessment(),), trees=(weak,)),))))
    assert "Your trees: Old split maple (leave)." in text
    assert " Do. " not in text
    both = a_site_report(windows=(an_assessment(),), trees=(weak, an_assessment(tree="M1")))
    text = flat(report_text(a_report(sites=(both,))))
    assert "Do. The window is open" in text
    assert "Your trees: Old split maple (leave) and Lantern." in text
