"""The user's own settings: which engine answers, where endgame tables lie.

A program is started only because this file of the user names it, never because a lesson does: a
lesson may come from somebody else.
"""

from __future__ import annotations

import os
import shlex
import stat
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from linewright.errors import LinewrightError

MAX_BYTES = 64 * 1024

MOST_NODES = 10**15
MOST_SECONDS = 24 * 60 * 60
"""Beyond these a limit is none; it would only be too long a number for somebody."""


class SettingsError(LinewrightError):
    """Settings that are not used. `path` is the file, `reason` lower case."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(f"the settings '{path}' are not used: {reason}")
        self.path = path
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user has set. `command` is empty for the built-in engine alone.

    `options` are the engine's own; `nodes` or `time_ms` bound each answer; `endgame_tables` are
    folders with tables in the Syzygy format.
    """

    command: tuple[str, ...] = ()
    options: Mapping[str, str | int | bool] = field(default_factory=dict)
    nodes: int | None = None
    time_ms: int | None = None
    endgame_tables: tuple[Path, ...] = ()


def settings_path() -> Path:
    """Where the settings of this user lie."""
    return _folder("XDG_CONFIG_HOME", "APPDATA", ".config") / "linewright" / "settings.yaml"


def memory_path() -> Path:
    """Where the remembered answers of this user lie."""
    return _folder("XDG_CACHE_HOME", "LOCALAPPDATA", ".cache") / "linewright" / "analyst.sqlite"


def _folder(posix: str, windows: str, hidden: str) -> Path:
    named = os.environ.get(windows if sys.platform == "win32" else posix, "")
    return Path(named) if named and Path(named).is_absolute() else Path.home() / hidden


def read_settings(path: Path | None = None) -> Settings:
    """The user's settings; the defaults if there is no file.

    Raises `SettingsError` if the file or its folder can be changed by somebody else, cannot be
    read, or says something that is not understood.
    """
    path = path or settings_path()
    if not path.exists():
        return Settings()
    try:
        why = why_not_own(path)
        if why:
            raise SettingsError(path, why)
        if path.stat().st_size > MAX_BYTES:
            raise SettingsError(path, "the file is too long")
        data = yaml.safe_load(path.read_text("utf-8"))
    except OSError as error:
        raise SettingsError(path, (error.strerror or "cannot be read").lower()) from None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        raise SettingsError(path, f"not YAML: {' '.join(str(error).split())[:120]}") from None
    try:
        return _settings(data)
    except ValueError as error:
        raise SettingsError(path, str(error)) from None


def why_not_own(path: Path) -> str:
    """Why a file is not the user's own alone; empty if it is.

    On systems without owners (Windows) every file in the user's folder is his own.
    """
    if not hasattr(os, "getuid"):
        return ""
    for place in (path, path.resolve(), path.parent.resolve()):
        status = place.lstat()
        what = "its folder" if place != path and stat.S_ISDIR(status.st_mode) else "it"
        if status.st_uid != os.getuid():
            return f"{what} belongs to another user"
        if status.st_mode & (stat.S_IWGRP | stat.S_IWOTH) and not stat.S_ISLNK(status.st_mode):
            return f"other users can write to {what}"
    return ""


def _settings(data: Any) -> Settings:
    data = {} if data is None else data
    if not isinstance(data, dict):
        raise ValueError("a list of 'key: value' lines is expected")
    _known(data, {"analyst", "endgame-tables"}, "")
    analyst = {} if data.get("analyst") is None else data["analyst"]
    if not isinstance(analyst, dict):
        raise ValueError("'analyst' needs 'command: ...' below it")
    _known(analyst, {"command", "options", "nodes", "seconds"}, "analyst: ")
    return Settings(
        command=_command(analyst.get("command")),
        options=_options(analyst.get("options")),
        nodes=_number(analyst, "nodes", 1, MOST_NODES),
        time_ms=_number(analyst, "seconds", 1000, MOST_SECONDS),
        endgame_tables=_folders(data.get("endgame-tables")),
    )


def _known(data: Mapping[Any, Any], keys: set[str], where: str) -> None:
    for key in data:
        if key not in keys:
            raise ValueError(f"'{where}{key}' is no setting: there are {', '.join(sorted(keys))}")


def _command(value: Any) -> tuple[str, ...]:
    """The program and its arguments: a list as it is, a text split as a shell would, or whole if
    a file of that name exists."""
    if value is None:
        return ()
    if isinstance(value, list):
        words = [_word(word) for word in value]
    elif not isinstance(value, str):
        raise ValueError(f"'command: {str(value)[:40]}' is not read: {_COMMAND}")
    elif Path(str(value)).expanduser().is_file():
        words = [str(value)]
    else:
        try:
            words = shlex.split(str(value))
        except ValueError as error:
            raise ValueError(f"'command: {value}' is not read: {str(error).lower()}") from None
    if not words or not words[0]:
        raise ValueError("'command' is empty")
    if any("\0" in word for word in words):
        raise ValueError("'command' has a zero byte in it")
    return (str(Path(words[0]).expanduser()), *words[1:])


_COMMAND = "a program with its arguments is expected, as a text or as a list of words"


def _word(word: Any) -> str:
    """A word of a command; a number may stand without quotes."""
    if not isinstance(word, str | int | float) or isinstance(word, bool):
        raise ValueError(f"'{str(word)[:40]}' in 'command' is not read: {_COMMAND}")
    return str(word)


def _options(value: Any) -> dict[str, str | int | bool]:
    value = {} if value is None else value
    if not isinstance(value, dict):
        raise ValueError("'options' needs 'name: value' lines below it")
    for name, option in value.items():
        if not isinstance(option, str | int | float):
            raise ValueError(f"option '{name}' is not read: a text, a number or true is expected")
    return {
        str(name): option if isinstance(option, bool | int) else str(option)
        for name, option in value.items()
    }


def _number(data: Mapping[str, Any], key: str, parts: int, most: int) -> int | None:
    """A setting in `parts` of its unit, as thousandths of a second."""
    value = data.get(key)
    if value is None:
        return None
    number = isinstance(value, int | float) and not isinstance(value, bool)
    # Written so that what is no number (`.nan`) is refused too.
    if not number or not 1 / parts <= value <= most:
        expected = f"a number above 0, at most {most:,}, is expected"
        raise ValueError(f"'{key}: {str(value)[:40]}' is not read: {expected}")
    if parts == 1 and value != int(value):
        raise ValueError(f"'{key}: {str(value)[:40]}' is not read: a whole number is expected")
    return int(value * parts)


def _folders(value: Any) -> tuple[Path, ...]:
    names = value if isinstance(value, list) else [] if value is None else [value]
    for name in names:
        if not isinstance(name, str) or not name:
            shown = str(name)[:40]
            raise ValueError(f"'{shown}' in 'endgame-tables' is not read: a folder is expected")
    return tuple(Path(name).expanduser() for name in names)
