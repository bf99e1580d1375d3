"""The analyst this user has chosen, opened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from linewright.analyst.answer import Answerer, Effort, EngineTroubleError
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.memory import Memory
from linewright.analyst.pawn_ending import PawnEndings
from linewright.analyst.questions import DEFAULT_EFFORT, Analyst
from linewright.analyst.settings import Settings, SettingsError, memory_path, read_settings

Starter = Callable[[tuple[str, ...], Mapping[str, str | int | bool]], Answerer]


def open_analyst(
    on_trouble: Callable[[str], None] = lambda _: None,
    *,
    settings_file: Path | None = None,
    memory_file: Path | None = None,
    start: Starter | None = None,
) -> tuple[Analyst, PawnEndings]:
    """The analyst and the judge of pawn endings, as the user's settings name them.

    Anything wrong with the settings or the engine gives one line to `on_trouble`, and the built-in
    engine answers. Never raises for the settings.
    """
    try:
        settings = read_settings(settings_file)
    except SettingsError as error:
        on_trouble(str(error))
        settings = Settings()
    for folder in settings.endgame_tables:
        if why := _why_no_tables(folder):
            on_trouble(f"'{folder}', one of your 'endgame-tables', {why}: it is left out")
    engine = _engine(settings, on_trouble, start or _start)
    memory = Memory(memory_file or memory_path())
    analyst = Analyst(
        engine, memory, effort=_effort(settings), fallback=BuiltIn, on_trouble=on_trouble
    )
    return analyst, PawnEndings(analyst, settings.endgame_tables)


def _why_no_tables(folder: Path) -> str:
    """Why nothing can be looked up in a folder; empty if something can."""
    if not folder.exists():
        return "does not exist"
    if not folder.is_dir():
        return "is no folder"
    tables = any(folder.glob("*.rtbw"))
    return "" if tables else "holds no tables in the Syzygy format (NAME.rtbw)"


def _start(command: tuple[str, ...], options: Mapping[str, str | int | bool]) -> Answerer:
    from linewright.analyst.uci import UciEngine

    return UciEngine(command, options)


def _effort(settings: Settings) -> Effort:
    if settings.nodes is None and settings.time_ms is None:
        return DEFAULT_EFFORT
    return Effort(nodes=settings.nodes, time_ms=settings.time_ms)


def _engine(settings: Settings, on_trouble: Callable[[str], None], start: Starter) -> Answerer:
    if not settings.command:
        return BuiltIn()
    try:
        return start(settings.command, settings.options)
    except EngineTroubleError as trouble:
        on_trouble(str(trouble))
        return BuiltIn()
