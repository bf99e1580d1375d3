"""The built-in engine on standard input and output, for any program that speaks UCI."""

import typer


def register(app: typer.Typer) -> None:
    """Adds `linewright engine`."""

    @app.command("engine")
    def engine() -> None:
        """Speaks UCI on standard input and output: the built-in engine for other programs."""
        from linewright.uci import speak

        speak()
