"""The same week a year ago in words, and where they stand."""

from __future__ import annotations

import datetime as dt
import html
import json
from dataclasses import replace

import pytest

from season_engine.delivery.message import compose
from season_engine.documents.model import json_text
from season_engine.documents.report import report_document
from season_engine.pages.page import report_page
from season_engine.prints.report import report_text
from season_engine.report.year_ago import RemarkThen, StageThen, Whose, WorkThen, YearAgo
from season_engine.words.speech import speaking
from season_engine.words.year_ago import STAGES, year_ago_sentences
from season_engine.workspace.journal_words import PINE_STAGE_WORDS, STAGE_WORDS
from tests.factories import AS_OF, a_report, a_site_report, days
from tests.schemas import assert_valid

DAY = dt.date(2025, 8, 11)
MAPLES = Whose(("M1", "M2"), "Acer palmatum", "Japanese maple")
PINES = Whose((), "Pinus thunbergii", "Japanese black pine")
SWELLING = StageThen(DAY - days(3), MAPLES, 1, "seen", AS_OF + days(5))
DONE = WorkThen(DAY, MAPLES, "repotting"), WorkThen(DAY + days(2), PINES, "needle-work")
SAID = RemarkThen(DAY, Whose(("M1",), "Acer palmatum", "Japanese maple"), "Ties off")
YEAR_AGO = YearAgo(DAY - days(7), DAY + days(7), (SWELLING,), DONE, (SAID,))


def told(**changes) -> tuple[str, ...]:
    return year_ago_sentences(a_site_report(year_ago=YearAgo(DAY, DAY, **changes)), AS_OF)


def test_one_line_on_stages_and_one_on_what_was_done() -> None:
    assert year_ago_sentences(a_site_report(year_ago=YEAR_AGO), AS_OF) == (
        "Buds swelling on 8 Aug (Lantern and Old split maple); this year about 16 Aug, eight days later.",
        "Done: repotting of Lantern and Old split maple (11 Aug) and needle work of Japanese black pine "
        '(13 Aug). Noted: "Ties off" (Lantern, 11 Aug).',
    )


def test_nothing_noted_is_nothing_said() -> None:
    assert year_ago_sentences(a_site_report(), AS_OF) == ()
    for text in (report_text(a_report()), report_page(a_report())):
        assert "A year ago" not in text
    (site,) = json.loads(json_text(report_document(a_report())))["sites"]
    assert site["year_ago"] is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"this_season": AS_OF - days(3)}, "; this year about 8 Aug, on the same day."),
        ({"this_season": AS_OF - days(4)}, "; this year about 7 Aug, one day earlier."),
        ({"this_season": AS_OF - days(4), "seen": True}, "; this year on 7 Aug, one day earlier."),
        ({"this_season": None}, "Buds swelling on 8 Aug (Lantern and Old split maple)."),
        ({"this_season": None, "sighting": "not-yet"}, "Not yet buds swelling on 8 Aug"),
        ({"this_season": None, "sighting": "already"}, "Buds swelling already on 8 Aug"),
        ({"this_season": None, "bbch": 33}, "BBCH 33 on 8 Aug"),
        (
            {"this_season": None, "bbch": 10, "whose": PINES},
            "Needles showing on 8 Aug (Japanese black pine).",
        ),
    ],
)
def test_a_stage(changes, words: str) -> None:
    (line,) = told(stages=(replace(SWELLING, **changes),))
    assert words in line


def test_a_full_week_stays_short() -> None:
    many = told(
        stages=(SWELLING,) * 9,
        works=tuple(WorkThen(DAY, Whose(), "feeding") for _ in range(9)),
        remarks=tuple(RemarkThen(DAY, Whose(), f"{n} " + "wind " * 99) for n in range(9)),
    )
    assert len(many) == 2
    assert "and five more" in many[1] and "and seven more" in many[1]
    assert all(len(line) < 400 for line in many)
    assert "…" in many[1], "cut at a word"


def test_each_stage_that_the_journal_names_can_be_said_in_every_language() -> None:
    names = {words[0] for table in (STAGE_WORDS, PINE_STAGE_WORDS) for words in table.values()}
    assert {text.template for text in STAGES} == names


def test_german() -> None:
    with speaking("de"):
        stage, done = year_ago_sentences(a_site_report(year_ago=YEAR_AGO), AS_OF)
    assert stage == (
        "Knospen schwellen am 8. Aug. (Lantern und Old split maple); dieses Jahr etwa am 16. Aug., "
        "acht Tage später."
    )
    assert done.startswith("Gemacht: Lantern und Old split maple, Umtopfen (11. Aug.)")


def test_text_page_mail_and_json_have_it() -> None:
    report = a_report(sites=(a_site_report(year_ago=YEAR_AGO),))
    now = dt.datetime(2026, 8, 11, tzinfo=dt.UTC)
    mail = compose(report, sender="a@example.org", to="b@example.org", again=0, now=now)
    body = mail.get_body(("html",))
    for text in (report_text(report), html.unescape(report_page(report)), html.unescape(body.get_content())):
        whole = " ".join(text.split())
        assert "A year ago this week" in whole
        assert "this year about 16 Aug, eight days later." in whole
        assert 'Noted: "Ties off" (Lantern, 11 Aug).' in whole
    document = json.loads(json_text(report_document(report)))
    assert_valid(document, "report")
    then = document["sites"][0]["year_ago"]
    assert then["stages"] == [
        {
            "date": "2025-08-08", "trees": ["M1", "M2"], "species": "Acer palmatum", "stage": 1,
            "sighting": "seen", "this_season": "2026-08-16", "seen": False, "later_days": 8,
        }
    ]  # fmt: skip
    assert [one["job"] for one in then["works"]] == ["repotting", "needle-work"]
    assert then["works"][1]["trees"] == [] and then["remarks"][0]["words"] == "Ties off"
