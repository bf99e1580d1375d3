"""Collections of games: adding to them, looking after them, asking them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from rich.console import Console

    from linewright.games.adding import FileReport, Progress
    from linewright.games.collection import Collection, StoredGame
    from linewright.games.model_games import Wanted
    from linewright.games.plans import Plans
    from linewright.games.statistics import Proportion, Score
    from linewright.games.tally import Filter, MoveTally, Part, Tally

COLLECTION = Annotated[
    str | None,
    typer.Option(
        "--collection",
        "-c",
        metavar="FOLDER",
        help="The collection: a folder, or a name on your shelf.",
    ),
]
JSON = Annotated[bool, typer.Option("--json", help="Answer in JSON.")]


def register(app: typer.Typer) -> None:
    """Adds `linewright games …`."""
    group = typer.Typer(
        no_args_is_help=True, help="Collections of games: what do students really meet?"
    )
    group.command("add")(add)
    group.command("info")(info)
    group.command("remove")(remove)
    group.command("verify")(verify)
    group.command("ask")(ask)
    app.add_typer(group, name="games")


def _console(err: bool = False) -> Console:
    from linewright.terminal import terminal

    console = terminal(err=err, wrap=True)
    if not console.is_terminal:
        console.width = 160
    return console


def _waiting() -> None:
    typer.echo("another linewright is working on this collection: waiting for it", err=True)


# --- add ------------------------------------------------------------------------------------


def add(
    files: Annotated[
        list[str], typer.Argument(help="Game files (PGN; .gz .bz2 .xz .zst .zip), folders, or - .")
    ],
    collection: COLLECTION = None,
    plies: Annotated[
        int | None, typer.Option(min=1, max=400, help="Count this deep; 60 unless said before.")
    ] = None,
    keep_to_fault: Annotated[
        bool, typer.Option(help="Keep a game with a fault up to the fault.")
    ] = False,
    as_json: JSON = False,
) -> None:
    """Reads game files into a collection; games it has already are recognised."""
    from linewright.games.adding import Addition
    from linewright.games.home import locate

    folder = locate(collection)
    with _shown(as_json) as tell:
        reports = Addition(folder, keep_to_fault=keep_to_fault, tell=tell).run(
            files, plies, _waiting
        )
    if as_json:
        typer.echo(
            json.dumps(
                {"collection": str(folder), "files": [_report(r) for r in reports]}, indent=1
            )
        )
    else:
        _print_reports(folder, reports)
    if any(r.broken or _is_no_game_file(r) for r in reports):
        raise typer.Exit(1)


@contextmanager
def _shown(quiet: bool) -> Iterator[Any]:
    from rich.text import Text

    console = _console(err=True)
    if quiet or not console.is_terminal:
        yield lambda _: None
        return
    with console.status("reading") as status:

        def tell(progress: Progress) -> None:
            where = f"{progress.bytes / 1e6:,.0f} MB" if progress.bytes else ""
            told = f"{progress.stage} {progress.file} {where} · {progress.games:,} games"
            status.update(Text(told))  # a plain string is read for markup, whatever the console

        yield tell


def _report(report: FileReport) -> dict[str, Any]:
    def remarks(list_: Any) -> list[dict[str, Any]]:
        return [{"line": r.line, "game_line": r.game_line, "reason": r.reason} for r in list_]

    return {
        "file": report.file,
        "games": report.games,
        "added": report.added,
        "duplicates": report.duplicates,
        "variants": report.variants,
        "refused": remarks(report.refused),
        "warnings": remarks(report.warnings),
        "warned": report.warned,
        "broken": report.broken or None,
        "resumed": report.resumed,
    }


SHOWN = 20
NO_GAME_FILE = "no game in it can be read: is it a game file (PGN)?"


def _is_no_game_file(report: FileReport) -> bool:
    """Whether a file was read and nothing in it counts."""
    return report.games == len(report.refused) + report.variants and not report.variants


def _some(count: int, what: str) -> str:
    """A number of things.

    >>> _some(1, "game"), _some(2, "game")
    ('1 game', '2 games')
    """
    return f"{count} {what}{'' if count == 1 else 's'}"


def _print_reports(folder: Path, reports: list[FileReport]) -> None:
    console = _console()
    for report in reports:
        parts = [_some(report.games, "game"), f"{report.added} added"]
        parts += [f"{report.duplicates} known already"] * bool(report.duplicates)
        parts += [f"{report.variants} of other variants left out"] * bool(report.variants)
        parts += [f"{len(report.refused)} refused"] * bool(report.refused)
        parts += [_some(report.warned, "remark")] * bool(report.warned)
        console.print(f"{report.file}: {', '.join(parts)}")
        if report.broken or _is_no_game_file(report):
            console.print(f"  {report.broken or NO_GAME_FILE}")
        for word, remarks in (("refused", report.refused), ("remark", report.warnings)):
            for remark in remarks[:SHOWN]:
                console.print(f"  line {remark.line}: {word}: {remark.reason}")
            if len(remarks) > SHOWN:
                console.print(f"  and {len(remarks) - SHOWN} more; --json shows them")
    console.print(f"collection: {folder}")


# --- info, remove, verify ---------------------------------------------------------------------


def info(
    collection: COLLECTION = None,
    faults: Annotated[bool, typer.Option(help="List refused games too.")] = False,
    as_json: JSON = False,
) -> None:
    """What a collection holds and where it came from."""
    from linewright.games.collection import Collection
    from linewright.games.home import locate

    found = Collection(locate(collection))
    answer = _info(found, faults or as_json)
    if as_json:
        typer.echo(json.dumps(answer, indent=1))
        return
    console = _console()
    console.print(
        f"{answer['folder']}: {_some(answer['games'], 'game')} to {answer['plies']} plies, "
        f"{answer['bytes'] / 1e6:.1f} MB",
    )
    for source in answer["sources"]:
        state = (
            ""
            if source["complete"]
            else f"  not complete: {source['broken'] or 'interrupted; add it again to go on'}"
        )
        console.print(
            f"  {source['file']}  {source['added']} added, {source['duplicates']} known already, "
            f"{source['refused_games']} refused  [{source['digest'][:8]}]{state}",
        )
        for fault in source["refused"] if faults else ():
            console.print(f"    line {fault['line']}: {fault['reason']}")


def _info(found: Collection, faults: bool) -> dict[str, Any]:
    manifest = found.manifest
    return {
        "folder": str(found.folder),
        "games": found.games,
        "plies": manifest.plies,
        "bytes": found.size(),
        "rows": sum(s.row_count for s in manifest.segments),
        "version": manifest.version,
        "keys": manifest.keys,
        "sources": [
            {
                "file": source.name,
                "digest": source.digest,
                "games": source.games,
                "added": source.added,
                "duplicates": source.duplicates,
                "variants": source.variants,
                "refused_games": source.refused,
                "refused": found.faults(source) if faults else [],
                "warned": source.warned,
                "complete": source.complete,
                "broken": source.broken or None,
            }
            for source in manifest.sources
        ],
    }


def remove(
    source: Annotated[
        str,
        typer.Argument(help="A source as 'games info' names it, or the beginning of its digest."),
    ],
    collection: COLLECTION = None,
    as_json: JSON = False,
) -> None:
    """Takes a source out again; games another source has as well stay."""
    from linewright.games import collection as work
    from linewright.games.home import locate

    done = work.remove(locate(collection), source, _waiting)
    if as_json:
        typer.echo(
            json.dumps({"sources": done.sources, "games": done.games, "kept": done.kept}, indent=1)
        )
        return
    stay = (
        "stays, because other sources have it"
        if done.kept == 1
        else ("stay, because other sources have them")
    )
    also = f"; {done.kept} {stay} too" if done.kept else ""
    typer.echo(f"{', '.join(done.sources)}: {_some(done.games, 'game')} taken out{also}")


def verify(
    collection: COLLECTION = None,
    rebuild: Annotated[bool, typer.Option("--rebuild", help="Make damaged files again.")] = False,
    as_json: JSON = False,
) -> None:
    """Looks at every byte of a collection; exit code 1 if something is damaged."""
    from linewright.games import collection as work
    from linewright.games.home import locate

    found = work.verify(locate(collection), mend=rebuild, waiting=_waiting)
    if as_json:
        damaged = [
            {
                "file": d.file,
                "reason": d.reason,
                "rebuilt": d.rebuilt,
                "games": d.games,
                "sources": d.sources,
            }
            for d in found
        ]
        typer.echo(json.dumps({"damaged": damaged, "sound": not found}, indent=1))
    elif not found:
        typer.echo("everything is as it was written")
    for one in () if as_json else found:
        lost = (
            f": {one.games} games left out, add {', '.join(one.sources)} again"
            if one.games and rebuild
            else ""
        )
        typer.echo(
            f"{one.file} is damaged: {one.reason}{'; made again' if one.rebuilt else ''}{lost}"
        )
    if found and not rebuild:
        if not as_json:
            typer.echo("'linewright games verify --rebuild' makes again what can be")
        raise typer.Exit(1)


# --- ask --------------------------------------------------------------------------------------


def ask(
    moves: Annotated[
        str | None, typer.Option("--moves", help="The line, as in a book: '1.d4 d5 2.c4'.")
    ] = None,
    fen: Annotated[
        str | None, typer.Option("--fen", help="The position, or where the moves start.")
    ] = None,
    lesson: Annotated[
        Path | None, typer.Option("--lesson", help="A lesson; with --line a place in it.")
    ] = None,
    line: Annotated[
        int, typer.Option("--line", min=1, help="Line of the lesson: the board at its end.")
    ] = 1,
    collection: COLLECTION = None,
    rating: Annotated[
        str | None,
        typer.Option(
            "--rating",
            help="The mover's rating: 1400 or 1200-1600 (to 1599), in bands of 200 points; "
            "for models and plans both players'.",
        ),
    ] = None,
    years: Annotated[str | None, typer.Option("--years", help="2015 or 2010-2024.")] = None,
    models: Annotated[int, typer.Option("--models", min=0, help="So many model games.")] = 0,
    plans: Annotated[
        int, typer.Option("--plans", min=0, help="What happens in so many plies from here.")
    ] = 0,
    as_json: JSON = False,
) -> None:
    """What do people play here, and how does it score?"""
    from linewright.games.collection import Collection
    from linewright.games.home import locate
    from linewright.games.model_games import Wanted, model_games
    from linewright.games.plans import plans as follow_plans
    from linewright.games.tally import Filter
    from linewright.games.tally import ask as tally_of

    chosen = Filter(number_range(rating, "rating"), number_range(years, "years"))
    board = _board(moves, fen, lesson, line)
    found = Collection(locate(collection))
    tally = tally_of(found, board, chosen)
    both = chosen.ratings_of_both
    wanted = Wanted(ratings=both, years=chosen.years)
    examples = model_games(found, board, wanted, models) if models else ()
    next_moves = follow_plans(found, board, plans, both, chosen.years) if plans else None
    if as_json:
        typer.echo(json.dumps(_answer(tally, examples, next_moves), indent=1))
        return
    _print_tally(tally, chosen)
    if models:
        _print_models(examples, wanted)
    if next_moves is not None:
        _print_plans(next_moves)


def number_range(text: str | None, what: str) -> tuple[int, int] | None:
    if text is None:
        return None
    parts = [part.strip() for part in text.replace("–", "-").split("-", 1)]
    if not all(part.isdigit() for part in parts):
        raise typer.BadParameter(
            f"'{text}': one number or two with a hyphen", param_hint=f"--{what}"
        )
    low, high = int(parts[0]), int(parts[-1])
    if low > high:
        raise typer.BadParameter(f"'{text}': the lower number first", param_hint=f"--{what}")
    return low, high


def _board(moves: str | None, fen: str | None, lesson: Path | None, line: int) -> Any:
    from linewright.games.home import play, position

    if lesson is not None:
        return position(_place(lesson, line))
    return play(moves or "", fen)


def _place(path: Path, line: int) -> str:
    from linewright.build import load
    from linewright.errors import CannotReadError
    from linewright.following import follow
    from linewright.script import parse

    source, _ = load(path)
    if line > source.written_lines:
        raise CannotReadError(f"line {line} of {path.name}", f"it has {source.written_lines} lines")
    span = source.line_span(line)
    return follow(parse(source)).at(span.end).fen


def _share(one: Proportion) -> dict[str, Any]:
    return {
        "count": one.count,
        "of": one.games,
        "share": one.share,
        "low": one.low,
        "high": one.high,
    }


def _score(one: Score) -> dict[str, Any]:
    return {
        "games": one.games,
        "score": one.value,
        "low": one.low,
        "high": one.high,
        "small": one.small,
    }


def _part(one: Part) -> dict[str, Any]:
    return {"from": one.start, "share": _share(one.share), "score": _score(one.score)}


def _move(one: MoveTally) -> dict[str, Any]:
    trend = one.trend
    return {
        "san": one.san,
        "uci": one.uci,
        "games": one.games,
        "wins": one.wins,
        "draws": one.draws,
        "losses": one.losses,
        "share": _share(one.share),
        "score": _score(one.score),
        "drawn": _share(one.drawn),
        "mean_rating": one.rating,
        "performance": one.performance,
        "first_year": one.first_year,
        "last_year": one.last_year,
        "small": one.small,
        "trend": None
        if trend is None
        else {
            "since": trend.since,
            "recent": _share(trend.recent),
            "before": _share(trend.before),
            "low": trend.low,
            "high": trend.high,
            "direction": trend.direction,
        },
        "years": [_part(part) for part in one.years],
        "bands": [_part(part) for part in one.bands],
    }


def _answer(tally: Tally, examples: tuple[StoredGame, ...], plans: Plans | None) -> dict[str, Any]:
    from dataclasses import asdict

    return {
        "fen": tally.fen,
        "collection": tally.collection,
        "generations": tally.generations,
        "filter": str(tally.filter),
        "games": tally.games,
        "years": tally.years,
        "small": tally.small,
        "score": _score(tally.score),
        "drawn": _share(tally.drawn),
        "moves": [_move(one) for one in tally.moves],
        "model_games": [asdict(game) for game in examples],
        "plans": None if plans is None else asdict(plans),
    }


def _print_tally(tally: Tally, chosen: Filter) -> None:
    from rich.table import Table

    from linewright.games.statistics import percent

    console = _console()
    side = "White" if tally.white_to_move else "Black"
    console.print(f"{side} to move: {tally.basis()}")
    if not tally.games:
        console.print("no game of the collection that fits passes this position")
        return
    table = Table(box=None, pad_edge=False, header_style="")
    trends = [one.trend for one in tally.moves]
    lately = ["lately"] * any(trend and trend.direction for trend in trends)
    heads = ["move", "games", "share", f"{side} scores", "", "drawn", "rating", "performs", "years"]
    for name in (*heads, *lately):
        table.add_column(
            name, justify="left" if name in ("move", "", "lately") else "right", no_wrap=True
        )
    for one, trend in zip(tally.moves, trends, strict=True):
        told = ("", "less", "more")[trend.direction] if trend else ""
        table.add_row(
            one.san,
            str(one.games),
            percent(one.share.share),
            percent(one.score.value) if one.score.games else "-",
            f"{percent(one.score.low)} to {percent(one.score.high)}{' *' if one.small else ''}",
            percent(one.drawn.share),
            str(one.rating or "-"),
            "-" if one.small or one.performance is None else str(one.performance),
            f"{one.first_year or '?'}-{one.last_year or '?'}",
            *([told] if lately else []),
        )
    console.print(table)
    if any(one.small for one in tally.moves):
        console.print("* fewer than 30 games: lean on nothing here")
    if tally.score.games:
        console.print(f"all moves: {side} scores {tally.score}")


def _print_models(games: tuple[StoredGame, ...], wanted: Wanted) -> None:
    from linewright.games.tally import limits_in_words

    of = limits_in_words(wanted.ratings, wanted.years, both=True)
    typer.echo(f"\nmodel games, {of}:" if games else f"\nno model games, {of}")
    for game in games:
        who = (
            f"{game.white} ({game.white_rating or '?'}) - {game.black} ({game.black_rating or '?'})"
        )
        typer.echo(
            f"  {who}, {game.event} {game.date}, {game.result}, {(len(game.moves) + 1) // 2} moves"
        )


def _print_plans(plans: Plans) -> None:
    from linewright.games.figures import CASTLED_KINGS, CASTLED_ROOKS
    from linewright.games.statistics import percent

    typer.echo(f"\nplans: {plans.basis()}")
    for one in plans.castling:
        if one.happening.share.count:
            way = "does not castle" if one.way == "not" else f"castles {one.way}"
            typer.echo(f"  {one.side} {way}: {one.happening.share}")
    for pawn in plans.breaks[:8]:
        when = f"after {pawn.happening.mean_ply / 2:.0f} moves"
        move = f"{pawn.from_square}-{pawn.to_square}"
        typer.echo(f"  {pawn.side} break {move}: {pawn.happening.share}, {when}")
    if plans.queens_off is not None:
        then = f"; then White scores {plans.queens_off.white}"
        typer.echo(
            f"  queens off: {plans.queens_off.share}{then if plans.queens_off.white.games else ''}"
        )
    moved = [
        r
        for r in plans.routes
        if r.to_square not in ("", r.from_square)
        and r.piece not in "Pp"
        and f"{r.from_square}{r.to_square}" not in CASTLED_ROOKS | CASTLED_KINGS
    ]
    for route in sorted(moved, key=lambda r: -r.happening.share.count)[:8]:
        share = percent(route.happening.share.share)
        piece = route.piece.upper()
        typer.echo(f"  {piece}{route.from_square} to {route.to_square}: {share} of {plans.games}")
