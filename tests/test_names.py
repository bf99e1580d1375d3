"""Opening names and codes against the published classification, by position."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import chess
import pytest
import yaml

from linewright import names
from linewright.aids import aids_of_board
from linewright.build import examine
from linewright.source import Source

TABLE = Path(__file__).parent / "tables" / "opening_names.yaml"
ENTRIES: list[dict[str, Any]] = yaml.safe_load(TABLE.read_text("utf-8"))


def played(moves: str) -> list[chess.Board]:
    line = [chess.Board()]
    for san in moves.split():
        board = line[-1].copy()
        board.push_san(san)
        line.append(board)
    return line


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda e: e["moves"].replace(" ", "-"))
def test_code_is_the_classifications(entry: dict[str, Any]) -> None:
    line = played(entry["moves"])
    assert names.position(line[-1]) == entry["epd"]
    found = names.names_at(line[-1])
    assert found is not None
    assert found.code == entry["code"]


def test_the_catalogue_alone_agrees_with_the_classification_in_nine_of_ten() -> None:
    """Only where it does not may the table of corrections speak."""
    differ = []
    for entry in ENTRIES:
        rows = names._rows_at(entry["epd"])
        code = max((row.eco[0] for row in rows if row.eco), default="")
        if code != entry["code"]:
            differ.append(entry["epd"])
    assert len(differ) <= len(ENTRIES) // 10
    assert set(differ) <= set(names.corrections())


def test_names_share_their_words_with_common_usage() -> None:
    strange = [
        (entry["name"], found.usual)
        for entry in ENTRIES
        if (found := names.names_at(entry["epd"] + " 0 1"))
        and not set(names._words(entry["name"]))
        & {w for name in (found.usual, *found.also) for w in names._words(name)}
    ]
    assert len(strange) <= 3, strange


def test_names_belong_to_their_lines_and_not_to_others() -> None:
    wrong = []
    for entry in ENTRIES:
        name = entry["name"].split(" (")[0].split("/")[0]
        if names.belongs(name, played(entry["moves"])).how != "here":
            wrong.append(name)
    assert len(wrong) <= 5, wrong
    ruy = played("e4 e5 Nf3 Nc6 Bb5")
    for other in ("Najdorf", "Queen's Gambit Declined", "Caro-Kann", "Scotch Game", "Dutch"):
        assert names.belongs(other, ruy).how == "elsewhere", other


def test_a_position_with_a_label_keeps_the_name_in_it() -> None:
    """Found in use: a game of the Stonewall was filed as the Classical Variation."""
    stonewall = names.name_of_line(played("d4 f5 g3 Nf6 Bg2 e6 Nf3 d5 O-O Bd6 c4 c6 b3"))
    assert stonewall is not None
    assert (stonewall.usual, stonewall.exact) == ("Dutch Defence, Stonewall", False)
    closed = names.name_of_line(played("e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6 O-O Be7 Qe2 b5 Bb3 O-O"))
    assert closed is not None and closed.usual == "Ruy Lopez, Closed, Worrall Attack"


@pytest.mark.parametrize(
    ("moves", "usual"),
    [
        ("Bc5 Be3 Qf6 c3", "Scotch Game, Classical Variation"),
        ("Bc5 Be3 Qf6 c3 Nge7", "Scotch Game, Classical Variation"),
        ("Bc5 Be3 Qf6 c3 Nge7 Be2 O-O", "Scotch Game, Classical Variation"),
        ("Bc5 Be3 Qf6 c3 Nge7 Bb5", "Scotch Game, Classical Variation, Paulsen Attack"),
        ("Bc5", "Scotch Game, Classical Variation"),
        ("Bc5 Be3", "Scotch Game, Classical Variation"),
        ("Bc5 Nxc6 Qf6", "Scotch Game, Classical Variation, Intermezzo Variation"),
        ("Bc5 Be3 Qf6 Nb5", "Scotch Game, Classical Variation, Blumenfeld Attack"),
        ("Bc5 Be3 Qf6 c3 Nge7 Qd2 d5", "Scotch Game, Classical Variation, Blackburne Attack"),
        ("Bc5 Nb3", "Scotch Game, Classical Variation, Potter Variation"),
        ("Nf6", "Scotch Game, Schmidt Variation"),
    ],
)
def test_one_name_is_not_given_to_two_lines_of_an_opening(moves: str, usual: str) -> None:
    """Found in use: a Classical Scotch was headed as the Schmidt Variation, which is 4...Nf6."""
    found = names.name_of_line(played(f"e4 e5 Nf3 Nc6 d4 exd4 Nxd4 {moves}"))
    assert found is not None
    assert found.usual == usual


def test_a_position_below_a_corrected_one_is_named_after_the_correction() -> None:
    """Below a corrected name the catalogue's stood again: "Horwitz Defence" for a Queen's Gambit."""
    for moves, usual in {
        "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7": "Queen's Gambit Declined, Modern Variation",
        "d4 Nf6 Nf3 g6 Bf4 Bg7 e3": "London System",
    }.items():
        found = names.names_at(played(moves)[-1])
        assert found is not None
        assert found.usual == usual


def test_no_name_shown_has_a_place_mark_of_the_catalogue() -> None:
    """Names never hold slugs, moves or the catalogue's own words for places."""
    shown = [
        name
        for entry in ENTRIES
        for board in played(entry["moves"])[1:]
        if (found := names.names_at(board))
        for name in (found.usual, *found.also)
    ]
    assert len(shown) > len(ENTRIES)
    assert [name for name in shown if names._LABEL.search(name)] == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("this is the Najdorf", ["Najdorf"]),
        ("we reach the Nimzovich Defence by transposition", ["Nimzovich Defence"]),
        ("known as the Berlin endgame", ["Berlin endgame"]),
        ("the grunfeld exchange is different", ["grunfeld exchange"]),
        ("the Sweshnikov and the Kings Indian", ["Sweshnikov", "Kings Indian"]),
        ("It is an open game with two knights and a classical pawn centre.", []),
        ("The attack is over and the exchange is coming.", []),
        ("White advances the pawn", []),
        ("We look at the Dutch Defence from above", ["Dutch Defence"]),
        ("", []),
    ],
)
def test_finding_names(text: str, expected: list[str]) -> None:
    assert [found.words for found in names.find_names(text)] == expected
    for found in names.find_names(text):
        assert text[found.span.start : found.span.end] == found.words


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("our subject is the french defense and the scotch gambit", ["french defense", "scotch gambit"]),
        ("so the queen's gambit declined then", ["queen's gambit declined"]),
        ("the hall must be empty and we walked by the canal", []),
        ("my first game was a knight's attack on the king", []),
        ("the two knights defense", ["two knights defense"]),
        ("i show the dutch defence from the other side", ["dutch defence"]),
        ("who fears the from gambit", ["from gambit"]),
    ],
)  # fmt: skip
def test_names_in_captions_without_capitals_say_what_they_are(
    text: str, expected: list[str]
) -> None:
    assert [found.words for found in names.find_names(text)] == expected


def test_spelling_by_sound() -> None:
    for heard, line in {
        "Grunfelt": "d4 Nf6 c4 g6 Nc3 d5",
        "Schveningen": "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 e6",
        "Petroff": "e4 e5 Nf3 Nf6",
        "Winaver": "e4 e6 d4 d5 Nc3 Bb4",
        "Aljechin": "e4 Nf6",
    }.items():
        assert names.belongs(heard, played(line)).how == "here", heard


def test_the_index_shipped_is_what_the_catalogue_gives() -> None:
    shipped, fresh = names._index(), names.fresh_index()
    assert shipped.rows == fresh.rows
    assert shipped.exact == fresh.exact
    assert shipped.turned == fresh.turned
    assert shipped.sounds == fresh.sounds
    assert shipped.words == fresh.words


def test_another_catalogue_is_indexed_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(names, "_catalogue_release", lambda: "ocn-chess 0.0")
    names._index.cache_clear()
    try:
        assert names._index().rows == names.fresh_index().rows
    finally:
        names._index.cache_clear()


def named(text: str) -> list[str]:
    report = examine(Source("a.md", text), (), aids_of_board)
    failing = [v for v in report.verdicts if v.verdict == "fails"]
    assert len(failing) <= len(report.findings)
    return [f.message for f in report.findings if f.rule == "wrong-opening-name"]


FRENCH = "After 1.e4 e6 2.d4 d5 3.e5 we look. "


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        (FRENCH + "This is the Advance Variation of the Caro-Kann Defence.", "Caro-Kann Defence"),
        ("Black plays 1.e4 e6, the Caro-Kann\nDefence.", "Caro-Kann Defence"),
        ("We begin 1.e4 c6 2.d4 d5, the French Defence.", "French Defence"),
        (FRENCH + "We call it the Winawer.", "We call it the Winawer"),
        ("1.e4 c6 2.d4 d5 3.exd5 cxd5, the Exchange Variation of the French, is solid.", "French"),
    ],
)
def test_a_wrong_name_is_told_once_without_an_analyst(text: str, wrong: str) -> None:
    (message,) = named(text)
    assert message.startswith(f"'{wrong}' ")


@pytest.mark.parametrize(
    "words",
    [
        "We have the Sicilian Defence right from move one",
        "This is the Sicilian everybody fears",
        "This is the Sicilian Defence under a false flag",
        "This is the Sicilian through the cellar",
        "It is the Sicilian between friends",
        "This is called the Sicilian about everywhere",
        "It is the Sicilian what else",
        "This is the Sicilian back again",
        "This is the Sicilian Defence always",
        "This is the Sicilian perhaps",
        "This is the Sicilian even so",
        "This is the Sicilian dear children",
        "We have the Sicilian Defence and the French bishop",
    ],
)
def test_a_wrong_name_is_told_whatever_stands_behind_it(words: str) -> None:
    """Found in use: any word behind a name was taken for a noun, and the name left alone."""
    (message,) = named(f"1.e4 e5. {words}.")
    assert message.startswith("'Sicilian")


@pytest.mark.parametrize(
    "kind", ["ending", "trouble that we know", "style", "pawns", "pawn structure", "bishop"]
)
def test_a_name_before_the_noun_of_a_kind_is_not_the_positions(kind: str) -> None:
    assert not named(f"1.e4 e5. This is the Sicilian {kind}.")


@pytest.mark.parametrize(
    "text",
    [
        FRENCH + "This is the Advance Variation of the French Defence.",
        "Black plays 1.e4 e6, the French\nDefence.",
        "1.e4 e5 2.Nf3 Nc6 3.Bb5, the Ruy Lopez, and now 3...a6, the Morphy Defence.",
        "1.e4 e5 2.Nf3 Nc6 3.Bc4, the Italian Game, or 3.d4, the Scotch.",
        "1.e4, the best move, and 1...c5, the Sicilian Defence.",
        "This is the French Defence: 1.e4 e6 2.d4 d5.",
        "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5, the Exchange Variation, is solid.",
    ],
)
def test_a_right_name_is_left_alone(text: str) -> None:
    assert not named(text)


def test_a_row_of_a_label_only_keeps_the_code_reached_before() -> None:
    """Found in use: the bishop's line of the Alekhine had the code of the move before it."""
    line = played("e4 Nf6 e5 Nd5 d4 d6 Nf3 Bg4 Be2 e6 O-O Be7 c4 Nb6")
    codes = [found.code for k in range(9, len(line) + 1) if (found := names.name_of_line(line[:k]))]
    assert codes == ["B05"] * len(codes)


@pytest.mark.parametrize("more", ["", " Nf3 Nc6"])
def test_the_rubinstein_system_of_the_symmetrical_english(more: str) -> None:
    board = chess.Board()
    for san in f"c4 c5 Nc3 Nf6 g3 d5 cxd5 Nxd5 Bg2 Nc7{more}".split():
        board.push_san(san)
    named = names.names_at(board)
    assert named is not None and named.code == "A34"
    assert named.usual == "English Opening, Symmetrical Variation, Rubinstein System"
