"""The built-in engine on standard input and output, for any program that speaks UCI."""

import signal

import typer


def register(app: typer.Typer) -> None:
    """Adds `linewright engine`."""

    @app.command("engine")
    def engine() -> None:
        """Speaks UCI on standard input and output: the built-in engine for other programs."""
        from linewright._core import run_uci

        # The loop waits inside Rust, where Python's own handler would never be reached.
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        run_uci()
