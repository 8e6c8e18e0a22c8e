"""All that has to be in place for the next report, looked at one by one; nothing is sent or changed."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from season_engine.commands.progress import downloading
from season_engine.delivery.deliver import would_reach
from season_engine.delivery.outbox import unsettled
from season_engine.delivery.timers import PROGRAM, TimedRun, timers
from season_engine.errors import EXIT_BAD_INPUT, EXIT_NOT_DELIVERED, EXIT_POOR_WEATHER, GrowerError
from season_engine.pipeline import read_weather_ahead
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.series import Weather
from season_engine.weather.sources.logger_file import LoggerFile
from season_engine.weather.sources.source import Retrieval
from season_engine.words import ready
from season_engine.words.forecast import forecast_sentence
from season_engine.words.prose import listing, sentence
from season_engine.words.ready import Finding
from season_engine.words.timing import iso_week
from season_engine.words.weather_notices import notice_text
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import JOURNAL, SETTINGS, TREES, SiteEntry, Workspace, load_workspace

LATELY_DAYS = 60
MANY_MISSING = 6  # of those days: a tenth
LITTLE_ROOM = 200_000_000  # bytes; a week's report takes some
WRITTEN_BY = dt.timedelta(days=1)  # a file's time may differ from the clock's on a share


def findings(folder: Path, now: dt.datetime) -> Iterator[Finding]:
    """What was found, in the order in which it matters."""
    on = now.date()
    try:
        workspace = load_workspace(folder, opened_at=now, progress=downloading)
    except GrowerError as error:
        yield from ready.wrong("workspace", error)
        return
    if workspace.demo:
        yield _demo(folder)
        return
    yield _read(workspace)
    yield from _catalogue(workspace)
    for entry in workspace.sites:
        yield from _weather(workspace, entry, on)
    yield from _folders(workspace)
    yield from _mail(workspace)
    yield from _outbox(workspace, iso_week(on))
    yield _timer(workspace)
    yield _clock(workspace, now)


def next_monday(on: dt.date) -> dt.date:
    """The day itself, where it is one."""
    return on + dt.timedelta(days=-on.weekday() % 7)


def _demo(folder: Path) -> Finding:
    text = (
        f"There is no {SETTINGS} in {folder.absolute()}: reports there are the demo's, on invented weather."
    )
    mend = "Name your folder with --workspace, or make one:"
    line = f"{PROGRAM} init my-yard --latitude 47.25 --longitude 8.5"
    return Finding("workspace", "wrong", text, mend, line, exit_code=EXIT_BAD_INPUT)


def _read(workspace: Workspace) -> Finding:
    counts = {"sites": len(workspace.sites), "trees": len(workspace.trees), "notes": len(workspace.notes)}
    return Finding("workspace", "fine", ready.files_read(str(workspace.folder.absolute()), **counts))


def _catalogue(workspace: Workspace) -> Iterator[Finding]:
    own = [toml.file for toml in workspace.own_species]
    try:
        catalogue = catalogue_of(workspace)
        kept = {tree.species: catalogue.get(tree.species) for tree in workspace.trees}
        count = len(catalogue.species) if own else len(set(catalogue.names.values()))
    except GrowerError as error:
        yield from ready.wrong("catalogue", error)
        return
    yield Finding("catalogue", "fine", ready.species_known(count, own))
    if unknown := [f'"{name}"' for name, kind in kept.items() if kind is None]:
        mend = f"Mend the name in {TREES}, or give the species a table in catalogue.toml."
        yield Finding("catalogue", "look", ready.strangers(unknown), mend)


def _weather(workspace: Workspace, entry: SiteEntry, on: dt.date) -> Iterator[Finding]:
    site = entry.site.name
    try:
        weather = read_weather_ahead(workspace, entry, on)
    except GrowerError as error:
        yield from ready.wrong("weather", error, site)
        return
    if weather.invented:
        text = "Its weather is invented, so no report on it is sent."
        mend = f"Name your own under [site.weather] in {SETTINGS}:"
        line = 'source = "logger"\nfile = "my-yard.csv"'
        yield Finding("weather", "wrong", text, mend, line, site, EXIT_POOR_WEATHER)
        return
    yield from _fit_for_monday(entry, weather, on)
    for one in weather.warnings:
        if one is not weather.forecast.trouble:
            yield Finding("weather", "look", sentence(notice_text(one)), site=site)
    if entry.forecast is not None:
        yield from _forecast(entry, weather, on)


def _fit_for_monday(entry: SiteEntry, weather: Weather, on: dt.date) -> Iterator[Finding]:
    site = entry.site.name
    lately = weather.covered[-LATELY_DAYS:]
    missing = int(lately.size - lately.sum())
    text = ready.readings(weather.data_through, (on - weather.data_through).days, missing, int(lately.size))
    many = missing > MANY_MISSING
    mend = f"`{PROGRAM} weather` shows which." if many else ""
    try:
        warned = refuse_if_poor(weather, entry.site, next_monday(on))
    except GrowerError as error:
        text = f"{text} {sentence(error.problem)}"
        yield Finding("weather", "wrong", text, error.hint, site=site, exit_code=EXIT_POOR_WEATHER)
        return
    if warned and (weather.station is None):
        mend = f"Read out the logger before Monday. {mend}".strip()
        yield Finding("weather", "wrong", text, mend, site=site, exit_code=EXIT_POOR_WEATHER)
        return
    yield Finding("weather", "look" if many or warned else "fine", text, mend, site=site)


def _forecast(entry: SiteEntry, weather: Weather, on: dt.date) -> Iterator[Finding]:
    site, contact = entry.site.name, getattr(entry.forecast, "contact", None)
    if contact is not None and ("example." in contact or not {"@", "."} & set(contact)):
        text = f'The forecast service can\'t reach anybody by "{contact}", and its terms ask for that.'
        mend, line = f"Write your own address under [site.forecast] in {SETTINGS}:", 'contact = "..."'
        yield Finding("forecast", "wrong", text, mend, line, site, EXIT_BAD_INPUT)
    state: ready.State = "fine" if weather.forecast.trouble is None else "look"
    yield Finding("forecast", state, forecast_sentence(weather.forecast, on), site=site)


def _folders(workspace: Workspace) -> Iterator[Finding]:
    folders = {
        "reports": workspace.reports_folder,
        "weather": workspace.cache_folder,
        "outbox": workspace.outbox_folder,
    }
    faults = {name: why for name, folder in folders.items() if (why := _why_not_writable(folder))}
    copies = workspace.delivery_folder
    if copies is not None and not copies.is_dir():
        faults["copies"] = f"{copies} is not there: make it, or mount it."
    elif copies is not None and (why := _why_not_writable(copies)):
        faults["copies"] = why
    for name, why in faults.items():
        text = f"The folder of the {name} can't be used: {why}"
        yield Finding("folders", "wrong", text, exit_code=EXIT_BAD_INPUT)
    if not faults:
        free = shutil.disk_usage(workspace.folder).free
        text = ready.room([f"{name} ({folder.name})" for name, folder in folders.items()], free)
        if free < LITTLE_ROOM:
            yield Finding("folders", "wrong", text, "Make room on the disk.", exit_code=EXIT_BAD_INPUT)
        else:
            yield Finding("folders", "fine", text)


def _why_not_writable(folder: Path) -> str:
    """Empty where it can be written, or made."""
    there = next(one for one in (folder, *folder.absolute().parents) if os.path.lexists(one))
    if not there.is_dir():
        return f"{there.absolute()} is no folder."
    if not os.access(there, os.W_OK | os.X_OK):
        return f"{there.absolute()} may not be written. Give yourself the right: chmod u+wx"
    return ""


def _mail(workspace: Workspace) -> Iterator[Finding]:
    email = workspace.email
    if email is None:
        where = workspace.delivery_folder or workspace.reports_folder
        yield Finding("mail", "fine", f"No mail is asked for; reports are put into {where.absolute()}.")
        return
    try:
        reached = would_reach(workspace)
    except GrowerError as error:
        yield from ready.wrong("mail", error)
        return
    yield Finding("mail", "fine", f"{sentence(reached)} {ready.readers(email.addresses)}")


def _outbox(workspace: Workspace, week: str) -> Iterator[Finding]:
    try:
        letters = unsettled(workspace.outbox_folder, week)
    except GrowerError as error:
        yield from ready.wrong("outbox", error)
        return
    for letter in letters:
        text = f"The report for {letter.week} has not gone to {letter.addressee} yet."
        mend = "The next run tries again." if letter.week == week else "The next run replaces it by its own."
        if letter.state == "refused":
            text = f"The report for {letter.week} was refused for {letter.addressee}: {sentence(letter.note)}"
            mend = f"Mend the address in {SETTINGS}, or send it once more with --again."
        yield Finding("outbox", "wrong", text, mend, exit_code=EXIT_NOT_DELIVERED)
    if not letters:
        yield Finding("outbox", "fine", "No report waits to be sent.")


def _timer(workspace: Workspace) -> Finding:
    found = timers()
    ours = [run for run in found.runs if run.is_of(workspace.folder)]
    line = _cron_line(workspace)
    running = [run for run in ours if not run.off]
    if running:
        return _timed(workspace, running, line)
    if ours:
        mend = f"Switch it on: systemctl enable --now {Path(ours[0].where).stem}.timer"
        text = f"{ours[0].where} runs the report, but no timer of it is switched on."
        return Finding("timer", "wrong", text, mend, exit_code=EXIT_NOT_DELIVERED)
    mend = "To have cron run it every morning, write this line into `crontab -e`:"
    if not found.cron_seen:
        text = "Nothing was found that runs the report, but cron's table can't be looked at here."
        return Finding("timer", "look", text, mend, line)
    return Finding(
        "timer", "wrong", "Nothing runs the report by itself.", mend, line, None, EXIT_NOT_DELIVERED
    )


def _timed(workspace: Workspace, running: list[TimedRun], line: str) -> Finding:
    run = next((one for one in running if one.folder is not None), running[0])
    told = f"{run.where} runs the report"
    wanted = workspace.email is not None or workspace.delivery_folder is not None
    if wanted and not any(one.mails for one in running):
        mend = "Nobody gets it so: add --email to its line, such as"
        return Finding("timer", "wrong", f"{told} without --email.", mend, line, None, EXIT_NOT_DELIVERED)
    if run.folder is None:
        return Finding("timer", "look", f"{told}, but names no workspace.", "Name it there, such as", line)
    return Finding("timer", "fine", f"{told}: {run.line}")


def _cron_line(workspace: Workspace) -> str:
    called, beside = Path(sys.argv[0]), Path(sys.executable).with_name(PROGRAM)
    program = called.absolute() if called.name == PROGRAM and called.exists() else beside
    email = " --email" if workspace.email or workspace.delivery_folder else ""
    return f"17 6 * * * {program} report{email} --workspace {workspace.folder.absolute()}"


def _clock(workspace: Workspace, now: dt.datetime) -> Finding:
    """A clock that is slow, by files and readings from after it; one that is fast can't be told."""
    told = f"The computer's clock says {now:%Y-%m-%d %H:%M}"
    mend = "Set the clock and its time zone; if they are right, the other's dates are wrong."
    late = []
    for path in (workspace.folder / name for name in (SETTINGS, TREES, JOURNAL)):
        if path.exists():
            written = dt.datetime.fromtimestamp(path.stat().st_mtime, now.tzinfo)
            late += [f"{path.name} was written on {written:%Y-%m-%d}"] if written > now + WRITTEN_BY else []
    for entry in workspace.sites:
        last = _last_reading_of_all(workspace, entry, now.date())
        late += [f"the readings of {entry.site.name} go on to {last}"] if last and last > now.date() else []
    if late:
        return Finding("clock", "wrong", f"{told}, but {listing(late)}.", mend, exit_code=EXIT_BAD_INPUT)
    return Finding("clock", "fine", f"{told}, later than all files and readings.")


def _last_reading_of_all(workspace: Workspace, entry: SiteEntry, on: dt.date) -> dt.date | None:
    """Of a logger's file, whatever the clock says; None where it can't be read, which is told elsewhere."""
    if not isinstance(entry.weather, LoggerFile):
        return None
    retrieval = Retrieval(workspace.cache_folder, on, workspace.opened_at)
    try:
        return entry.weather.readings.read(entry.site, retrieval, kept_as=entry.site.name).daily.last_day
    except GrowerError:
        return None
