"""The program: finds the commands, turns errors into one line and an exit code.

Exit codes: 0 nothing to report, 1 findings, 2 could not run.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
import traceback

import typer

from linewright import __version__, commands
from linewright.errors import LinewrightError

app = typer.Typer(
    name="linewright",
    no_args_is_help=True,
    rich_markup_mode="markdown",
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Check a chess lesson on the board and make everything students get from it.",
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"linewright {__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Show the version."
    ),
) -> None:
    pass


for _info in pkgutil.iter_modules(commands.__path__):
    importlib.import_module(f"linewright.commands.{_info.name}").register(app)


def main() -> None:
    """Runs the program and ends it with its exit code."""
    try:
        app(standalone_mode=True)
    except LinewrightError as error:
        print(f"linewright: {error}", file=sys.stderr)
        sys.exit(2)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
    except KeyboardInterrupt:
        print("linewright: stopped", file=sys.stderr)
        sys.exit(130)
    except Exception:  # else Python would end with 1, which says that there are findings
        traceback.print_exc()
        print("linewright: stopped by a fault of its own", file=sys.stderr)
        sys.exit(2)


if __name__ == "__main__":
    main()
