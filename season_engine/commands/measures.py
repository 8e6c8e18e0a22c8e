"""`measures`: daily chill and heat."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from season_engine.commands import options
from season_engine.commands.out_file import write_out
from season_engine.commands.shape import Command
from season_engine.files.text import did_you_mean, shortened
from season_engine.pot import LITRES, SUN_SHARES, Exposure, Pot

if TYPE_CHECKING:
    from season_engine.site import Site

MISSING = {"fill": "fill", "refuse": "refuse", "leave-out": "leave_out", "scale-up": "scale_up"}


CUTOFFS = "horizontal", "intermediate", "vertical"
KINDS = {"--chill": "chill model", "--heat": "heat model", "--degree-days": "method of degree days"}


def known(name: str) -> tuple[str, ...]:
    """What an option of `KINDS` may name; loaded where it is needed, since completion waits."""
    from season_engine.measures.chill_models import CHILL_MODELS
    from season_engine.measures.degree_days import METHODS
    from season_engine.measures.heat_models import HEAT_MODELS

    return {"--chill": (*CHILL_MODELS,), "--heat": (*HEAT_MODELS,), "--degree-days": METHODS}[name]


def _ending() -> str:
    names = "; ".join(f"for {name}: {', '.join(known(name))}" for name in KINDS)
    where = "docs/measures.md, in the project's folder."
    return f"Names {names}. What each column counts, its unit, range and source: {where}"


def _names(_ctx: click.Context, option: click.Parameter, value: str | None) -> tuple[str, ...]:
    """Names with commas between, each once; one that isn't known is told with those that are."""
    if value is None:
        return ()
    kind, names = KINDS[option.opts[0]], known(option.opts[0])
    asked = [word.strip().casefold().replace("-", "_") for word in value.split(",")]
    for name in asked:
        if name not in names:
            told = f'"{shortened(name)}" is not a {kind}. {did_you_mean(name, names)}'
            raise click.BadParameter(f"{told} They are {', '.join(names)}.", param=option)
    return tuple(dict.fromkeys(asked))


def _like(_ctx: click.Context, option: click.Parameter, begun: str) -> list[str]:
    return [one for one in known(option.opts[0]) if one.startswith(begun.casefold())]


def _finite(_ctx: click.Context, option: click.Parameter, value: float | None) -> float | None:
    if value is not None and not math.isfinite(value):
        raise click.BadParameter(f"{value} is not a temperature.", param=option)
    return value


def _litres(_ctx: click.Context, option: click.Parameter, value: float | None) -> float | None:
    least, most = LITRES
    if value is not None and not least <= value <= most:
        raise click.BadParameter(
            f"a pot holds from {least:g} to {most:g} litres here, not {value:g}.", param=option
        )
    return value


def _more(name: str, help_text: str) -> Callable[[Any], Any]:
    return click.option(name, callback=_names, metavar="NAME,...", shell_complete=_like, help=help_text)


def _degrees(name: str, parameter: str, help_text: str, default: float | None = None) -> Callable[[Any], Any]:
    return click.option(
        name,
        parameter,
        type=float,
        callback=_finite,
        default=default,
        show_default=default is not None,
        help=help_text,
    )


@click.command(
    "measures",
    cls=Command,
    examples=(
        "season-engine measures --site my-yard --csv measures.csv",
        "season-engine measures --site my-yard --from 2025-01-01 --chill legave_2008 --pot 3",
    ),
    ending=_ending,
)
@options.one_site
@click.option("--from", "first", callback=options.as_day, metavar="DATE", help="First day of the table.")
@click.option("--to", "last", callback=options.as_day, metavar="DATE", help="Last day of the table.")
@click.option("--csv", "file", type=click.Path(dir_okay=False, path_type=Path), help="File to write to.")
@_degrees("--base", "base_c", "Base temperature of degree days, degC.", 5.0)
@_degrees("--upper", "upper_c", "Upper limit of degree days, degC.")
@_more("--chill", "Chill models, by author and year: a column more each.")
@_more("--heat", "The same for models of warmth.")
@_more("--degree-days", "Degree days by further methods: a column more each.")
@click.option(
    "--cutoff",
    type=click.Choice(CUTOFFS),
    help="What --degree-days count above --upper (default: horizontal).",
)
@click.option(
    "--pot",
    "pot_l",
    type=float,
    callback=_litres,
    metavar="LITRES",
    help="Lowest, mean and highest temperature in the middle of a pot of so many litres: three columns more.",
)
@click.option(
    "--pot-in",
    "exposure",
    type=click.Choice([*SUN_SHARES]),
    help="How much sun is on that pot (default: sun_on_pots of the site).",
)
@click.option(
    "--missing",
    type=click.Choice([*MISSING]),
    default="fill",
    show_default=True,
    help="What to do about days without readings; see docs/measures.md.",
)
@options.workspace_folder
@options.on_day
def command(
    site_name: str | None,
    first: dt.date | None,
    last: dt.date | None,
    file: Path | None,
    folder: Path,
    on: dt.date,
    pot_l: float | None,
    exposure: Exposure | None,
    **wanted: Any,
) -> None:
    """Print daily chill and heat as CSV, one row a day, each column that day's increment."""
    from season_engine.documents.measures_csv import measures_csv
    from season_engine.pipeline import read_weather
    from season_engine.traces.measured_days import measured_days

    _refuse_what_goes_unused(**wanted)
    if exposure is not None and pot_l is None:
        raise click.UsageError("--pot-in says where a pot stands: give its litres with --pot.")
    workspace = options.open_workspace(folder)
    entry = options.the_site(workspace, site_name)
    pot = None if pot_l is None else _standing(entry.site, pot_l, exposure)
    weather = read_weather(workspace, entry, on)
    measured = measured_days(
        entry.site,
        weather,
        first=first,
        last=last,
        pot=pot,
        **{**wanted, "missing": MISSING[wanted["missing"]], "cutoff": wanted["cutoff"] or "horizontal"},
    )
    text = measures_csv(measured)
    if weather.invented and not workspace.demo:  # which has said so
        click.echo(f"The weather of {entry.site.name} is invented.", err=True)
    if file is None:
        click.echo(text, nl=False)
        return
    write_out(file, text)


def _standing(site: Site, litres: float, exposure: Exposure | None) -> Pot:
    return replace(site, sun_on_pots=exposure or site.sun_on_pots).standing(Pot.of_tree(litres))


def _refuse_what_goes_unused(
    *, base_c: float, upper_c: float | None, cutoff: str | None, degree_days: tuple[str, ...], **_others: Any
) -> None:
    """A limit below the base, or a cutoff that cuts nothing, is a slip."""
    from season_engine.measures.degree_days import CURVES

    if upper_c is not None and upper_c <= base_c:
        raise click.UsageError(f"--upper {upper_c:g} has to lie above --base, which is {base_c:g}.")
    curves = [method for method in degree_days if method in CURVES]
    if cutoff is not None and (upper_c is None or not curves):
        raise click.UsageError(
            f"--cutoff says what {', '.join(CURVES)} count above --upper: give --upper, and one of them with "
            "--degree-days."
        )
