"""The JSON documents against their schemas and against the contract's own list of keys."""

from __future__ import annotations

import json
from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from season_engine.documents.check import Check, DateChance, Reason, assessment_document
from season_engine.documents.comparison import Spread
from season_engine.documents.model import Document, json_text, json_values
from season_engine.documents.report import WaterDemand, report_document
from season_engine.documents.weather import Place, weather_document
from season_engine.facts import Text
from season_engine.windows import assessment
from season_engine.windows.assessment import Assessment, Quantiles, Usual
from season_engine.windows.window_notes import Noted
from tests.factories import AS_OF, RIDGE, a_report, a_site_report, an_assessment, some_weather
from tests.schemas import assert_valid, validator

# The outside contract of `check --json`, as it was fixed before this code was written.
CONTRACT = [
    "site", "species", "job", "window", "as_of", "data_through", "hemisphere", "season", "verdict", "today",
    "today_why", "chance_given", "chance_open_now", "opens", "closes", "next", "usual", "reasons", "hazards",
    "sources", "warnings",
]  # fmt: skip
CONTRACT_REASON = ["marker", "text", "have", "need", "unit", "met", "date_p50", "by", "from"]


def test_check_has_the_keys_of_the_contract_in_its_order():
    document = json_values(assessment_document(an_assessment()))
    assert list(document) == [
        *CONTRACT,
        "tree",
        "floor",
        "weeks",
        "days",
        "cautions",
        "ahead",
        "best",
        "learnt",
        "explanation",
        "severity",
        "school",
        "aftercare",
        "standing",
        "refused",
        "opens_too_late",
        "others",
        "invented_weather",
        "by",
        "opens_by",
        "closes_by",
        "seldom_well",
        "of_tree",
        "need",
        "recovery",
        "course",
        "programme",
        "follow_ups",
    ]
    assert list(document["reasons"][0]) == CONTRACT_REASON
    assert list(document["next"]) == ["season", "opens", "closes"]
    assert list(document["usual"]) == ["opens_p50", "closes_p50", "years"]
    assert list(document["hazards"][0]) == ["name", "chance", "days", "text", "forecast_on"]
    assert document["reasons"][0]["from"] == "common practice, no source"
    assert document["opens"] == {"p10": "2026-07-25", "p50": "2026-08-03", "p90": "2026-08-12"}


def test_no_field_of_an_assessment_is_left_out_in_silence():
    said = set(Check.model_fields)
    assert {f.name for f in fields(Assessment)} - said == {"common_name", "notes"}  # notes: among "cautions"
    of_a_step = {"reach", "stretched"}
    in_words = {"label", "so_far", "provenance", "source"}  # as "text" and "from"
    assert {f.name for f in fields(assessment.Reason)} - set(CONTRACT_REASON) == {
        *in_words,
        "role",
        "from_the_start",  # what prose leaves out
        *of_a_step,
    }


def test_documents_keep_to_their_schemas():
    report = a_report(sites=(a_site_report(), a_site_report(weather=None, refusal="no readings", windows=())))
    assert_valid(json_values(report_document(report)), "report")
    assert_valid(json_values(weather_document([(RIDGE, some_weather()), (RIDGE, None)], AS_OF)), "weather")
    for a in report.sites[0].windows + report.sites[0].trees:
        assert_valid(json_values(assessment_document(a)), "check")


def test_a_window_that_is_never_given_has_nulls_not_dates():
    none = Quantiles(None, None, None)
    bare = replace(
        an_assessment(), verdict="not-here", opens=none, closes=none, next=None,
        usual=Usual(None, None, 0), reasons=(), weeks=(),
    )  # fmt: skip
    document = json_values(assessment_document(bare))
    assert_valid(document, "check")
    assert document["opens"] == {"p10": None, "p50": None, "p90": None}
    assert document["next"] is None


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("verdict",), "maybe"),
        (("today",), "yes"),
        (("chance_given",), 1.2),
        (("as_of",), "11 Aug 2026"),
        (("opens", "p50"), "2026-13-01"),
        (("opens", "p99"), "2026-08-11"),
        (("season",), "2026"),
        (("extra",), 1),
        (("reasons", 0, "note"), "x"),
        (("reasons", 0, "have"), "much"),
        (("hazards", 0, "days"), -1),
        (("sources",), None),
    ],
)
def test_the_schema_refuses_what_the_contract_does_not_know(path, value):
    document = json_values(assessment_document(an_assessment()))
    place = document
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value
    assert list(validator("check").iter_errors(document))
    whole = json_values(report_document(a_report()))
    whole["sites"][0]["windows"][0] = document
    assert list(validator("report").iter_errors(whole)), "the report's schema holds each window to check's"


@pytest.mark.parametrize("key", CONTRACT)
def test_the_schema_wants_every_key(key):
    document = json_values(assessment_document(an_assessment()))
    del document[key]
    assert list(validator("check").iter_errors(document))


@given(st.text(), st.dictionaries(st.text(), st.text()), st.one_of(st.none(), st.floats()))
def test_any_text_and_number_comes_back_as_it_went_in(note, names, have):
    reason = replace(an_assessment().reasons[0], have=have)
    window = an_assessment(reasons=(reason,), notes=(Noted(Text(note)),))
    site = a_site_report(tree_names=names, not_covered=(note,), windows=(window,), trees=(), sums=())
    document = json.loads(json_text(report_document(a_report(sites=(site,)))))
    assert_valid(document, "report")
    assert document["sites"][0]["not_covered"] == [note]
    assert document["sites"][0]["notes"] == []
    assert document["sites"][0]["tree_names"] == names


NAN, INFINITY = float("nan"), float("inf")


@pytest.mark.parametrize("value", [NAN, INFINITY, -INFINITY])
def test_a_number_that_is_not_finite_is_never_printed(value):
    """It is null where there may be none, and else an error."""
    reason = replace(an_assessment().reasons[0], have=value)
    assert Reason.model_validate(reason).have is None
    with pytest.raises(ValidationError, match="chance"):
        DateChance.model_validate(replace(an_assessment().weeks[0], chance=value))
    with pytest.raises(ValidationError, match="latitude"):
        Place.model_validate(replace(RIDGE, latitude=value))
    with pytest.raises(ValidationError, match="finite number"):
        Spread(p10=0.0, p50=value, p90=0.0)


def test_numbers_are_written_as_they_always_were():
    """To four places, whole ones with their nought, and small ones without an exponent."""
    assert json_text(Spread(p10=-0.0, p50=1e-05, p90=2.0)) == (
        '{\n "p10": -0.0,\n "p50": 0.00001,\n "p90": 2.0\n}\n'
    )
    water = WaterDemand.model_validate({"through": AS_OF, "last_week_mm": 24, "week_before_mm": 1.00006})
    assert json_text(water).splitlines()[2:4] == [' "last_week_mm": 24.0,', ' "week_before_mm": 1.0001']


def test_a_document_takes_no_key_that_it_does_not_know_and_wants_all_of_its_own():
    given = {"p10": 0.0, "p50": 1.0, "p90": 2.0}
    assert isinstance(Spread.model_validate(given), Document)
    with pytest.raises(ValidationError, match="p99"):
        Spread.model_validate({**given, "p99": 3.0})
    with pytest.raises(ValidationError, match="p90"):
        Spread.model_validate({"p10": 0.0, "p50": 1.0})
    with pytest.raises(ValidationError, match="verdict"):
        assessment_document(replace(an_assessment(), verdict="maybe"))
