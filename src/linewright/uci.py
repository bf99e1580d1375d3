"""The built-in engine on standard input and output. It imports nothing heavy, because the
program that has started it is waiting."""

from __future__ import annotations

import signal

from linewright._core import run_uci


def speak() -> None:
    """Answers UCI commands until `quit` or the end of the input."""
    # The loop waits inside Rust, where Python's own handler would never be reached.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    run_uci()
