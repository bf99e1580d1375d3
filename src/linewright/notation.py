"""Moves as people write them: read, not yet resolved on any board.

A `WrittenMove` is what stands on paper; which move it is, if any, only a position can tell
(`linewright.moves`). No rules library is needed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from linewright.expressions import expression

FIGURINES = str.maketrans("♔♕♖♗♘♙♚♛♜♝♞♟", "KQRBNPKQRBNP")
SUFFIX_NAGS = {"!": 1, "?": 2, "!!": 3, "??": 4, "!?": 5, "?!": 6}
"""PGN standard 8.2.3.8: suffix annotations and the numeric glyph each becomes in export."""

SIGN_NAGS = {
    "=": 10,
    "∞": 13,
    "⩲": 14,
    "+=": 14,
    "⩱": 15,
    "=+": 15,
    "±": 16,
    "+/-": 16,
    "∓": 17,
    "-/+": 17,
    "+-": 18,
    "+−": 18,
    "+–": 18,
    "-+": 19,
    "−+": 19,
    "–+": 19,
}
"""Signs of advantage and their numeric glyphs (PGN standard, section 10)."""


_LETTERS = str.maketrans("DTSCLFA", "QRNNBBB")
_OTHER_LETTERS = expression(r"[DTSCLFA][a-h]?[1-8]?[x×:]?[a-h][1-8](?![\w=])")


def in_english(text: str) -> str:
    """A move written with a piece's letter of another language, with the English one; empty if
    it is none. The letters that mean another piece in English are left alone.

    **Source**: FIDE Laws of Chess, appendix C.2: the first letter of the piece's name in the
    player's language; German, French, Spanish, Italian and Scandinavian names.

    >>> in_english("Sf6"), in_english("Dxd5+"), in_english("Cc3"), in_english("Nf6")
    ('Nf6', 'Qxd5+', 'Nc3', '')
    """
    found = _OTHER_LETTERS.match(text)
    return text[0].translate(_LETTERS) + text[1:] if found else ""


def read_by_files(text: str) -> tuple[str, str] | None:
    """The two files of a pawn's capture that is written with them alone, or None.

    >>> read_by_files("cd"), read_by_files("exd"), read_by_files("cd5")
    (('c', 'd'), ('e', 'd'), None)
    """
    found = _BY_FILES.fullmatch(text)
    return (found[1], found[2]) if found else None


_BY_FILES = expression(r"([a-h])[x×:]?([a-h])")


@dataclass(frozen=True, slots=True)
class WrittenMove:
    """One move in short or long algebraic notation, taken apart.

    `piece` is one of ``KQRBNP``; `castling` is ``""``, ``"K"`` or ``"Q"`` (the wing) and leaves
    `to` empty. `claims_capture`, `claims_check`, `claims_mate` say what the notation asserts;
    `suffix` is ``! ? !! ?? !? ?!`` or empty, `sign` a sign of advantage or empty.
    """

    text: str
    piece: str
    to: str
    from_file: str = ""
    from_rank: str = ""
    promotion: str = ""
    castling: str = ""
    claims_capture: bool = False
    claims_check: bool = False
    claims_mate: bool = False
    suffix: str = ""
    sign: str = ""

    @property
    def san(self) -> str:
        """The move in plain short notation, without check marks, suffix and sign."""
        if self.castling:
            return "O-O" if self.castling == "K" else "O-O-O"
        letter = "" if self.piece == "P" else self.piece
        capture = "x" if self.claims_capture else ""
        promotion = f"={self.promotion}" if self.promotion else ""
        return f"{letter}{self.from_file}{self.from_rank}{capture}{self.to}{promotion}"

    @property
    def printed(self) -> str:
        """As `san`, but with the hyphen of long notation where it is written so.

        >>> read_move("Na6-c7").printed, read_move("Na6-c7").san
        ('Na6-c7', 'Na6c7')
        """
        if not self.to or not _HYPHENED.search(self.text):
            return self.san
        start, to, promotion = self.san.rpartition(self.to)
        return f"{start}-{to}{promotion}"


_HYPHENED = expression(r"\w[-–‑]\w")
_SIGN = r"(?:\+/[-−–]|[-−–]/\+|\+[-−–]|[-−–]\+|\+=|=\+|[±∓⩲⩱∞]|=(?![QRBNqrbn]))"
_TAIL = (
    r"(?P<check>\+\+|[+†‡#]|\s?mate\b)?"
    r"(?P<ep>\s?e\.\s?p\.)?"
    r"(?P<suffix>!!|\?\?|!\?|\?!|!|\?|[ \u00a0](?:!!|!\?|!)(?![!?\[]))?"
    rf"(?P<sign>\s?{_SIGN}(?![\w-]))?"
)
_CASTLING = r"(?P<castling>[O0o][-–‑][O0o](?:[-–‑][O0o])?)"
_PIECE = (
    r"(?P<piece>[KQRBNP♔♕♖♗♘♙♚♛♜♝♞♟])(?P<ff>[a-h])?(?P<fr>[1-8])?"
    r"(?P<cap>[x×:]|[-–‑])?(?P<to>[a-h][1-8])"
)
_PAWN = (
    r"(?P<pff>[a-h])(?P<pfr>[1-8])?(?P<pcap>[x×:]|[-–‑])?(?P<pto>[a-h][1-8])"
    r"(?:(?:=|\()?(?P<prom>[QRBN♕♖♗♘♛♜♝♞])\)?)?"
    r"|(?P<pto1>[a-h][1-8])(?:(?:=|\()?(?P<prom1>[QRBN♕♖♗♘♛♜♝♞])\)?)?"
)
MOVE = expression(rf"(?:{_CASTLING}|{_PIECE}|{_PAWN})(?:{_TAIL})(?![\w])")
"""One written move at a place in a text. A match ends where a word could end."""


def read_move(text: str) -> WrittenMove | None:
    """The move that the whole text writes, or None if it is not notation.

    >>> read_move("♘xd5?!").san, read_move("0-0").san, read_move("ed5").san
    ('Nxd5', 'O-O', 'exd5')
    >>> read_move("Nd9") is None
    True
    """
    match = MOVE.fullmatch(text)
    return written(match) if match else None


def written(match: re.Match[str]) -> WrittenMove:
    """The parts of a `MOVE` match."""
    check = (match["check"] or "").strip()
    move = _without_tail(match)
    return replace(
        move,
        text=match[0],
        # '++' is double check in older books and mate in others: at least it is check.
        claims_check=check in {"+", "++", "†"},
        claims_mate=check in {"#", "‡", "mate"},
        suffix=(match["suffix"] or "").strip(),
        sign=(match["sign"] or "").strip(),
    )


def _without_tail(match: re.Match[str]) -> WrittenMove:
    if castling := match["castling"]:
        wing = "Q" if len(castling) > 3 else "K"
        return WrittenMove("", piece="K", to="", castling=wing)
    if match["piece"]:
        return WrittenMove(
            "",
            piece=match["piece"].translate(FIGURINES),
            to=match["to"],
            from_file=match["ff"] or "",
            from_rank=match["fr"] or "",
            claims_capture=(match["cap"] or "") in {"x", "×", ":"},
        )
    promotion = (match["prom"] or match["prom1"] or "").translate(FIGURINES)
    if match["pto1"]:
        return WrittenMove("", piece="P", to=match["pto1"], promotion=promotion)
    from_file, to = match["pff"], match["pto"]
    return WrittenMove(
        "",
        piece="P",
        to=to,
        from_file=from_file,
        from_rank=match["pfr"] or "",
        promotion=promotion,
        claims_capture=from_file != to[0],
    )


def no_castling(text: str, move: str) -> str:
    """Why a text that looks like castling is none; `move` is how it is written.

    >>> no_castling("00", "O-O")
    "'00' is no move in chess notation: castling is written O-O"
    """
    return f"'{text}' is no move in chess notation: castling is written {move}"
