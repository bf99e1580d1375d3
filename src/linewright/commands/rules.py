"""`linewright rules`: the catalogue of checks."""

from __future__ import annotations

from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("rules")(rules)


def rules(
    name: Annotated[
        str | None, typer.Argument(help="One rule, in full.", show_default=False)
    ] = None,
) -> None:
    """List the rules, or explain one.

    Examples:

        linewright rules

        linewright rules illegal-move
    """
    from rich.markdown import Markdown
    from rich.table import Table

    from linewright.checks import all_checks
    from linewright.errors import UnknownNameError
    from linewright.terminal import terminal

    console = terminal(wrap=True)
    checks = all_checks()
    if name is None:
        table = Table(box=None, pad_edge=False, show_header=True, header_style="dim")
        table.add_column("rule", no_wrap=True)
        table.add_column("severity")
        table.add_column("what it finds")
        for check in checks:
            table.add_row(check.name, check.severity.value, check.summary)
        console.print(table)
        return
    known = {check.name: check for check in checks}
    if name not in known:
        raise UnknownNameError("rule", name, tuple(known))
    check = known[name]
    text = check.documentation.replace("```flags", "Flagged:\n\n```").replace(
        "```clean", "Clean:\n\n```"
    )
    console.print(Markdown(f"# {check.name}\n\n*{check.severity.value}*: {text}"))
