"""`linewright ending`: what a pawn ending is worth, for either side to move."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from linewright.analyst.pawn_ending import PawnEnding, Verdict


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("ending")(ending)


def ending(
    fen: Annotated[str, typer.Argument(help="The position (FEN); other pieces are a fault.")],
    only_kings_and_pawns: Annotated[
        bool, typer.Option("--only-pawns", help="Take the other pieces off first.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Say who wins a pawn ending, whether that is proved, how, and why.

    Exit code 0: judged; 2: the position cannot be judged.

    Examples:

        linewright ending "8/8/4k3/8/4K3/4P3/8/8 w - - 0 1"

        linewright ending --only-pawns "r1bk1b1r/ppp2ppp/2p5/4Pn2/8/5N2/PPP2PPP/RNB2RK1 w - - 0 9"
    """
    from linewright.analyst.open import open_analyst
    from linewright.errors import LinewrightError

    analyst, endings = open_analyst(lambda line: typer.echo(f"linewright: {line}", err=True))
    try:
        judged = endings.judge(_bared(fen) if only_kings_and_pawns else fen)
    except ValueError as error:
        raise LinewrightError(str(error)) from None
    finally:
        analyst.close()
    if as_json:
        _print_json(judged)
    else:
        for verdict in (judged.here, judged.other):
            if verdict is not None:
                typer.echo("\n".join(_told(verdict)))


def _bared(fen: str) -> str:
    """The position with kings and pawns only."""
    import chess

    try:
        board = chess.Board(fen)
    except ValueError:
        return fen  # the judge says what is wrong with it
    for square, piece in board.piece_map().items():
        if piece.piece_type not in {chess.KING, chess.PAWN}:
            board.remove_piece_at(square)
    board.castling_rights = chess.BB_EMPTY
    return board.fen()


def _told(verdict: Verdict) -> list[str]:
    lines = [verdict.sentence()]
    if verdict.text:
        lines.append(f"  {verdict.text}")
    if verdict.holding:
        lines.append(f"  moves that keep it: {', '.join(verdict.holding)}")
    lines.append(f"  by {verdict.engine}, {verdict.nodes:,} looked at")
    return lines


def _print_json(judged: PawnEnding) -> None:
    import json
    from dataclasses import asdict

    typer.echo(json.dumps(asdict(judged), indent=2))
