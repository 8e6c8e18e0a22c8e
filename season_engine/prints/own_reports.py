"""How past reports fared, as `backtest --own` prints it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from season_engine.facts import DEGREE_F
from season_engine.prints.layout import wrapped
from season_engine.verify.forecast_score import DaysAhead, ForecastScore
from season_engine.verify.own_score import CameBy, OwnReports, OwnSummary, bands, own_summary
from season_engine.words import prose, timing
from season_engine.words.forecast_score import forecast_score_sentence
from season_engine.words.speech import units

NOTHING_YET = (
    "No report is old enough yet to be held against what came. What each week's report says is kept, and "
    "an opening it foresaw is scored once the range given for it is past. Only reports written on the day "
    "they are about count."
)


_HEADINGS: dict[CameBy, str] = {
    "notes": "Held against the stages you noted",
    "weather": "Held against the same rules with the season's whole weather",
}


_LEGEND = (
    "Weeks: from the report to the date it gave. Each opening is one case, as the first report within those "
    "weeks foresaw it. Days throughout but for the share: MAE: mean error of the middle date, either way. "
    "usual: the same for the middle date of past seasons, as that report had it. Bias: above 0, the report "
    "was late. In 80: how often the day lay in the range given 8 chances in 10, and how wide that was. "
    "Where no note tells, only the error of not knowing the weather to come can show, not the rules' own."
)


_FORECASTS = (
    "Ahead: days from the issue to the day. Lows, highs: root of the mean squared error of the day's lowest "
    "and highest temperature, held against the site's own readings; usual: the same for the middle of past "
    "years about that date, which is what one would say without a forecast. Bias: above 0, the forecast was "
    "too warm."
)


_COLUMNS = ("weeks", "cases", "MAE", "usual", "bias", "RMSE", "in 80", "wide")
_AHEAD = ("ahead", "cases", "lows", "usual", "bias", "highs", "usual", "bias")


def own_text(own: OwnReports) -> str:
    """A table for each thing that reports were held against, 80 columns wide."""
    lines = []
    if own.outcomes:
        openings = len({(one.subject, one.site, one.season) for one in own.outcomes})
        first, last = timing.full_day(own.days[0]), timing.full_day(own.days[-1])
        reports = prose.counted(len(own.days), "report").capitalize()
        foreseen = prose.counted(openings, "opening")
        lines += wrapped(f"{reports} from {first} to {last}: {foreseen} foreseen and past.", "")
        for kind, group in groupby(bands(own.outcomes), key=lambda found: found[0]):
            lines += ["", *wrapped(_HEADINGS[kind], ""), _line(_COLUMNS)]
            lines += [_line(_cells(band, own_summary(some))) for _, band, some in group]
        lines += ["", *wrapped(_LEGEND, "")]
    else:
        lines += wrapped(NOTHING_YET, "")
    lines += [line for text in _left_out(own) for line in ("", *wrapped(text, ""))]
    lines += [line for score in own.forecasts for line in _forecasts(score)]
    lines += ["", *wrapped(_FORECASTS, "")] if own.forecasts else []
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _left_out(own: OwnReports) -> Iterator[str]:
    if own.written_later:
        were = "was" if own.written_later == 1 else "were"
        reports = prose.counted(own.written_later, "report").capitalize()
        yield f"{reports} about a past day {were} left out: written later, they foresaw nothing."
    if own.torn:
        lines = prose.counted(own.torn, "line").capitalize()
        yield f"{lines} of the record can't be read and {'is' if own.torn == 1 else 'are'} left out."


def _line(cells: Iterable[str]) -> str:
    return "".join(f"{cell:>7}" for cell in cells)


def _cells(band: tuple[int, int], s: OwnSummary) -> Iterator[str]:
    yield f"{band[0]} to {band[1]}"
    yield str(s.n)
    yield f"{s.mae:.1f}"
    yield "" if s.mae_usual is None else f"{s.mae_usual:.1f}"
    yield f"{s.bias:+.1f}"
    yield f"{s.rmse:.1f}"
    yield f"{s.coverage80:.0%}"
    yield "" if s.width80 is None else f"{s.width80:.0f}"


def _forecasts(score: ForecastScore) -> Iterator[str]:
    """A sentence on the forecasts of one site, and a table in the units that are spoken."""
    yield from ("", *wrapped(forecast_score_sentence(score), ""), _line(_AHEAD))
    yield from (_line(_cells_ahead(one)) for one in score.ahead)


def _cells_ahead(one: DaysAhead) -> Iterator[str]:
    scale = DEGREE_F if units() == "degF" else 1.0
    yield from (str(one.lead_days), str(one.n))
    for of in (one.tmin, one.tmax):
        yield f"{of.rmse_c * scale:.1f}"
        yield "" if of.usual_rmse_c is None else f"{of.usual_rmse_c * scale:.1f}"
        yield f"{of.bias_c * scale:+.1f}"
