"""Opening names and codes by position, and names in a text by sound and spelling.

The catalogue (`ocn-chess`, MIT) knows about 5,900 positions. Some of its names are only labels for
a place in its own tree ("Horwitz French Main Line, Bg5"); they are never shown: the nearest usual
name stands in their place, with `exact` false. `corrections` holds the few positions where the
catalogue and the published classification differ.
"""

from __future__ import annotations

import csv
import json
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib import resources
from pathlib import Path

import chess
import ocn
from ocn.catalog import Row

from linewright.expressions import expression
from linewright.source import Span


@dataclass(frozen=True, slots=True)
class Name:
    """What the trade calls a position.

    `code` is the code of the Encyclopaedia of Chess Openings ("C67"), `usual` the name in British
    spelling ("Ruy Lopez, Berlin Defence"), `also` other names of it. `exact` is false where the
    position has no usual name of its own and the name is the one of the nearest position before.
    """

    code: str
    usual: str
    also: tuple[str, ...] = ()
    exact: bool = True


@dataclass(frozen=True, slots=True)
class NameFound:
    """An opening's name at a place in a text; `words` as they stand there.

    `meant` is the spelling the catalogue knows; `certain` is false where only the sound or a
    near spelling led there.
    """

    span: Span
    words: str
    meant: str
    certain: bool


@dataclass(frozen=True, slots=True)
class Belonging:
    """Whether a name belongs to a line.

    `how` is ``here`` (this position or one before it), ``later`` (a continuation of this
    position), ``elsewhere`` or ``unknown`` (no opening of that name in the catalogue).
    """

    how: str
    here: Name | None


@lru_cache(maxsize=1)
def corrections() -> dict[str, tuple[str, str, str]]:
    """Code, usual name and source where the catalogue and the classification differ."""
    table = resources.files("linewright") / "tables" / "opening_corrections.csv"
    lines = [line for line in table.read_text("utf-8").splitlines() if not line.startswith("#")]
    parts = [line.split(";") for line in lines[1:]]
    return {position: (code, usual, source) for position, code, usual, source in parts}


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


def _pairs(table: str) -> dict[str, str]:
    """The lines "a = b" of a table."""
    return dict(line.split(" = ", 1) for line in table.strip().splitlines())


_SHORT = _pairs("""
KID = King's Indian Defence
QGD = Queen's Gambit Declined
QID = Queen's Indian Defence
NID = Nimzo-Indian Defence
QGA = Queen's Gambit Accepted
KGA = King's Gambit Accepted
KGD = King's Gambit Declined
KIA = King's Indian Attack
""")
_HEADS = _pairs("""
Sicilian = Sicilian Defence
French = French Defence
Caro-Kann = Caro-Kann Defence
Nimzo = Nimzo-Indian Defence
Pirc = Pirc Defence
Italian = Italian Game
Alekhine = Alekhine Defence
Slav = Slav Defence
Scandinavian = Scandinavian Defence
Réti = Réti Opening
Budapest = Budapest Gambit
Semi-Slav = Semi-Slav Defence
Grünfeld = Grünfeld Defence
Four Knights = Four Knights Game
""")
_TAILS = _listed("""
    Advance Alapin Classical Dragon Exchange Kan MacCutcheon Moscow Najdorf Normal Orthodox
    Rossolimo Rubinstein Scheveningen Sveshnikov Symmetrical Sämisch Taimanov Tarrasch
    Winawer
""")
_LABEL = expression(
    r"(?<![\w])(?:[KQRBN]?[a-h]?x?[a-h][1-8]|O-O(?:-O)?|[KQRBN][a-h]\d?)(?![\w])"
    r"|Prefix|move-order|Precursor|Set-?up|Castled|\bLine$|Transposition|Complex|\(|/|\bPlan\b"
)
"""What only labels a place in the catalogue's own tree: a move, or a word no player says."""

_GENERIC = _listed("""
    a and called defence for game in itself line main of opening position proper s system
    the to variation with
""")
_PLAIN = _listed("""
    accelerated accepted adams advance after against aged amazon american anti ark
    attack baltic banker battery beach been beginner beginners benjamin berlin beta big
    bind bird bishop bishops black blockade bouncing break brick bum burn canal capture
    captured castle castled castles castling cave central centre challenge chameleon
    chase check cheese choice clam clamp classical claw closed cobra cola compromised
    connection cook corkscrew correspondence counter counterattack countergambit
    counterpunch crab crawly creepy crocodile dark david de declined defenses defensive
    deferred del delayed delta der develop development deviations dodo dog doll double
    dr dream drill drunken duck dutch dynamic early east eastern edge el elephant
    endgame english exchange extended extension falcon family fantasy fianchetto first
    fishing flank flexible flight fluid folly fool forcing forgotten formation fort four
    fox frappe freak french fried from full fuller fully gambit german giraffe global
    gloria goblin gossip grab grand great grimm half hall halloween hammer harmonist
    hawk hay head hedgehog holding hook horsefly horus hunt hunting hurst hybrid hyper
    immediate improved indian inner intermezzo interposition inverted invitation italian
    jaw jones kangaroo king kings kingside knight knights la lamb lee lemming lesser
    light lines lion liver lizard lobster london long loss luther mad mafia main mar
    martin mason mate max meadow medusa michel miguel miles minority mixed modern
    mongoose monkey monster moody morris moscow mosquito mouse move moves mustang
    napoleon neo new nf no noah normal north offer old oldtimer on open order original
    orthodox outflank papa paris pass patrick pattern paw pawn pawns penguin phoenix
    piano pin plasma player players poisoned pole polish porcupine positional potato
    potter pounds precursor prickly primitive prince prins pseudo push queen queens
    queenside quiet rapport raptor rare rat real recapture refused refutation retreat
    return reversed rice rook rooks rotary russian sacrifice san santa scorpion sea
    second semi setup sharp short shuffle side sideline siesta simul six slow small
    smith snail snake sodium soft south spanish special spike springs square squirrel
    standard stanley star steady stone stonewall storm storming structure studier super
    swap swedish symmetric symmetrical symmetry systems tan tango tate te testa thomas
    three tiger toilet tortoise tour traditional transfer transposition trap travel
    treatment true tumbleweed two tyler ultra unicorn unpin van variations via victor
    vienna vs vulture wade walk walker wall walrus wasp wayward wedge west whale whip
    white wild wind wing winter without wolf woodchuck worm york young
""")
"""Words that make a name only together with others, or with a capital letter."""

_PLACES = _listed("""
    english french italian russian spanish dutch german polish berlin london moscow vienna indian
""")
"""Names of lands and towns among the plain words."""

_MEN = _listed("""
    king queen rook bishop knight pawn knights pawns bishops rooks kings queens black white move
    moves position check mate side castle castled castles exchange attack open closed
""")
"""Words that make no name unless a word such as "gambit" or "opening" follows."""

_SYNONYMS = _pairs("""
spanish = lopez
ruy = lopez
russian = petrov
petroff = petrov
center = centre
defense = defence
volga = benko
sokolsky = polish
schliemann = jaenisch
mccutcheon = maccutcheon
fegatello = fried
dunst = geet
pelikan = sveshnikov
lasker-pelikan = sveshnikov
saemisch = samisch
gruenfeld = grunfeld
nimzovich = nimzowitsch
nimzovitch = nimzowitsch
skandinavian = scandinavian
aljechin = alekhine
aljekhin = alekhine
spaniard = lopez
""")
_ABBREVIATED = _pairs("""
kid = king indian
qgd = queen gambit declined
qga = queen gambit accepted
qid = queen indian
nid = nimzo indian
kia = king indian attack
kga = king gambit accepted
nimzo-indian = nimzo indian
""")


class _Catalogue:
    """The rows of the catalogue by their keys and by position, each made when it is asked for."""

    def __init__(self, rows: bytes, positions: bytes) -> None:
        self._head, *records = rows.splitlines()
        self._records = {record.partition(b",")[0].decode(): record for record in records}
        self._made: dict[str, Row] = {}
        lines = positions.splitlines()
        head = lines[0].split(b"\t")
        slug, key = head.index(b"ocn1"), head.index(b"fen_key")
        self.key_of: dict[str, str] = {}
        self._at: dict[str, list[str]] = {}
        for line in lines[1:]:
            cells = line.split(b"\t", key + 1)
            row, placed = cells[slug].decode(), cells[key].decode()
            self.key_of[row] = placed
            self._at.setdefault(placed, []).append(row)

    def row(self, slug: str) -> Row:
        """The row of a key of the catalogue."""
        if slug not in self._made:
            written = (self._head, self._records[slug])
            head, record = csv.reader(line.decode("utf-8") for line in written)
            self._made[slug] = Row.from_csv(dict(zip(head, record, strict=True)))
        return self._made[slug]

    def rows(self) -> Iterator[Row]:
        """All rows, in the order of the catalogue."""
        return map(self.row, self._records)

    def at(self, key: str) -> list[Row]:
        """The rows of a position."""
        return [self.row(slug) for slug in self._at.get(key, ())]

    def parents(self, slug: str) -> list[Row]:
        """The rows above one, from the root down."""
        chain: list[Row] = []
        above = self.row(slug).parent
        while above in self._records:
            chain.append(self.row(above))
            above = chain[-1].parent
        return chain[::-1]


@lru_cache(maxsize=1)
def _catalog() -> _Catalogue:
    """The catalogue of `ocn-chess`. Cost: a fiftieth of a second, once."""
    rows, positions = (_catalogue_file(name) for name in ("ocn-1.csv", "ocn-1.positions.tsv"))
    return _Catalogue(rows, positions)


def _catalogue_file(name: str) -> bytes:
    return (Path(ocn.__file__).parent / "data" / name).read_bytes()


def position(board: chess.Board | str) -> str:
    """The position without counters; the en-passant square only where the capture is legal."""
    if isinstance(board, str):
        return _position_of(board)
    key = (
        board.occupied, board.occupied_co[chess.WHITE], board.pawns, board.knights, board.bishops,
        board.rooks, board.queens, board.turn, board.castling_rights, board.ep_square,
    )  # fmt: skip
    if key not in _written:
        if len(_written) > 4096:
            _written.clear()
        _written[key] = board.epd(en_passant="legal")
    return _written[key]


_written: dict[tuple[object, ...], str] = {}
"""Positions asked for lately, by all that stands on them."""


@lru_cache(maxsize=4096)
def _position_of(fen: str) -> str:
    return chess.Board(fen).epd(en_passant="legal")


def names_at(board: chess.Board | str) -> Name | None:
    """The code and the usual name of exactly this position, or None if it has none.

    >>> names_at("rnbqkb1r/ppp1pp1p/5np1/3p4/2PP4/2N5/PP2PPPP/R1BQKBNR w KQkq - 0 4").usual
    'Grünfeld Defence'
    """
    return _name_at(position(board))


@lru_cache(maxsize=4096)
def _name_at(key: str) -> Name | None:
    rows = _rows_at(key)
    if not rows and key not in corrections():
        return None
    code, usual, _ = corrections().get(key, ("", "", ""))
    code = code or max((row.eco[0] for row in rows if row.eco), default="")
    own = [name for row in rows for name in _usual_names(row)]
    exact = bool(usual or own)
    if not exact:
        own = _inherited(rows)
    usual = usual or own[0]
    also = tuple(dict.fromkeys(name for name in own if name != usual)) if exact else ()
    return Name(code, usual, also, exact)


def name_of_line(line: Iterable[chess.Board | str]) -> Name | None:
    """The name of the last named position of a line, or None. `line` is in playing order.

    A position that has only a label keeps the name passed before it that stands in the label: that
    of the row above is of another branch ("Stonewall Modern Prefix" is below the classical lines).
    Nor has such a row a code of its own: one below what was passed before is that of a row above.
    """
    found = None
    for board in line:
        here = names_at(board)
        if here and found and not here.exact and _is_in_label(found, here, board):
            here = replace(found, code=here.code or found.code, exact=False)
        if here and found and not here.exact and here.code[:1] == found.code[:1]:
            here = replace(here, code=max(here.code, found.code))
        found = here or found
    return found


def _is_in_label(passed: Name, here: Name, board: chess.Board | str) -> bool:
    """Whether a name passed before stands in a position's label, and its nearest name does not."""
    labels = [set(_words(row.canonical_name)) for row in _rows_at(position(board))]
    told, nearest = set(_words(passed.usual)), set(_words(here.usual))
    return any(told <= label and not nearest <= label for label in labels)


def _rows_at(key: str) -> list[Row]:
    return [row for row in _catalog().at(key) if not row.is_class_root]


def _usual_names(row: Row) -> list[str]:
    """The names of a row a player would say, fullest first, in British spelling.

    An alias without its family ("Normal Variation") is only another name, never the first.
    """
    full = [
        name
        for name in (*(a for a in row.aliases if ": " in a), row.canonical_name)
        if not _LABEL.search(name)
    ]
    short = [a for a in row.aliases if ": " not in a and not _LABEL.search(a)] if full else []
    return list(dict.fromkeys(_said(name) for name in (*full, *short)))


def _said(name: str) -> str:
    name = name.replace(": ", ", ").replace("Defense", "Defence").replace("Center", "Centre")
    name = name.replace("López", "Lopez").replace("Indian Defence, Budapest", "Budapest")
    head, _, tail = name.partition(", ")
    head = _SHORT.get(head, head)
    short, _, rest = head.partition(" ")
    if rest and short in _SHORT:
        rest += " Variation" if rest in _TAILS else ""
        head, tail = _SHORT[short], f"{rest}, {tail}" if tail else rest
    for short, full in _HEADS.items():
        if head == short:
            head = full
        elif not tail and head.startswith(f"{short} ") and head[len(short) + 1 :] in _TAILS:
            head, tail = full, head[len(short) + 1 :]
    if tail in _TAILS:
        tail += " Variation"
    return f"{head}, {tail}" if tail else head


def _inherited(rows: Sequence[Row]) -> list[str]:
    """The usual name of the nearest row above that has one, or what a player could say."""
    for row in rows:
        for above in reversed(_catalog().parents(row.ocn1)):
            corrected = corrections().get(_key_of(above), ("", "", ""))[1]
            if not above.is_class_root and (
                names := [corrected] if corrected else _usual_names(above)
            ):
                return names[:1]
    bare = [_said(a) for row in rows for a in row.aliases if not _LABEL.search(a)]
    return bare[:1] or [_said(re.split(r"[,(]", rows[0].canonical_name)[0].strip())]


# --- names in a text -------------------------------------------------------------------------


def told_by(words: str, line: Iterable[chess.Board | str]) -> bool:
    """Whether the words are all in one usual name of a position of the line.

    Much cheaper than `belongs`, for the case that a name is right.

    >>> after = chess.Board(); _ = [after.push_san(san) for san in "e4 e5 Nf3 Nc6 Bb5".split()]
    >>> told_by("the Ruy Lopez", [after]), told_by("the Sicilian", [after])
    (True, False)
    """
    wanted = set(_words(words))
    places = (place for place in map(names_at, line) if place)
    return bool(wanted) and any(
        wanted <= set(_words(name)) for place in places for name in (place.usual, *place.also)
    )


class _Numbered(Mapping[str, frozenset[str]]):
    """Sets of rows by a word, of which the table has only the numbers."""

    def __init__(self, numbers: dict[str, list[int]], slugs: list[str]) -> None:
        self._numbers, self._slugs = numbers, slugs

    def __getitem__(self, word: str) -> frozenset[str]:
        return frozenset(self._slugs[i] for i in self._numbers[word])

    def __iter__(self) -> Iterator[str]:
        return iter(self._numbers)

    def __len__(self) -> int:
        return len(self._numbers)


class _Exact(Mapping[frozenset[str], frozenset[str]]):
    """The same by all the words of a name, which the table has in one string."""

    def __init__(self, rows: _Numbered) -> None:
        self._rows = rows

    def __getitem__(self, words: frozenset[str]) -> frozenset[str]:
        return self._rows[" ".join(sorted(words))]

    def __iter__(self) -> Iterator[frozenset[str]]:
        return (frozenset(words.split()) for words in self._rows)

    def __len__(self) -> int:
        return len(self._rows)


@dataclass(frozen=True, slots=True)
class _Index:
    """Words of names, and the rows each leads to (its own words and those of the rows above).

    `exact` has the rows by all the words of a name, and by those of its last part alone; `turned`
    the words of a row's own name that make it the opposite of another name ("anti", "reversed").
    """

    rows: Mapping[str, frozenset[str]]
    exact: Mapping[frozenset[str], frozenset[str]]
    turned: dict[str, frozenset[str]]
    sounds: dict[str, str]
    words: tuple[str, ...]


def plain_letters(text: str) -> str:
    """A text in small letters without accents.

    >>> plain_letters("Grünfeld"), plain_letters("Réti’s")
    ('grunfeld', "reti's")
    """
    split = unicodedata.normalize("NFKD", text.lower().replace("ß", "ss"))
    return "".join(c for c in split if not unicodedata.combining(c)).replace("’", "'")


@cache
def _fold(word: str) -> str:
    plain = plain_letters(word)
    plain = plain.removesuffix("'s").removesuffix("s'").replace("'", "")
    return _SYNONYMS.get(plain, plain)


@cache
def _words(name: str) -> list[str]:
    """The words of a name that tell it from others, folded."""
    parts = [_fold(w) for w in re.findall(r"[^\W\d_]+(?:['’][^\W\d_]+)?", name)]
    joined = [w for part in parts for w in _ABBREVIATED.get(part, part).split()]
    return [w for w in joined if w not in _GENERIC and len(w) > 1]


def _catalogue_release() -> str:
    return f"ocn-chess {_catalogue_file('VERSION').decode().strip()}"


@lru_cache(maxsize=1)
def _index() -> _Index:
    """The index shipped with the package, or a fresh one where another catalogue is installed."""
    table = resources.files("linewright") / "tables" / "opening_name_words.json"
    known = json.loads(table.read_text("utf-8"))
    if known["catalogue"] != _catalogue_release():
        return fresh_index()
    slugs = known["rows"]
    return _Index(
        _Numbered(known["words"], slugs),
        _Exact(_Numbered(known["exact"], slugs)),
        {slug: frozenset(words) for slug, words in known["turned"].items()},
        known["sounds"],
        tuple(known["words"]),
    )


def index_as_json() -> str:
    """A fresh index as the text of the table that is shipped, one entry a line."""
    index = fresh_index()
    slugs = sorted(row.ocn1 for row in _catalog().rows() if not row.is_class_root)
    number = {slug: i for i, slug in enumerate(slugs)}

    def numbers(rows: Iterable[str]) -> list[int]:
        return sorted(number[slug] for slug in rows)

    table = {
        "catalogue": _catalogue_release(),
        "rows": slugs,
        "words": {word: numbers(index.rows[word]) for word in index.words},
        "exact": dict(
            sorted((" ".join(sorted(words)), numbers(rows)) for words, rows in index.exact.items())
        ),
        "turned": {slug: sorted(words) for slug, words in sorted(index.turned.items())},
        "sounds": index.sounds,
    }
    parts = (f"{json.dumps(k)}:{json.dumps(v, separators=(',', ':'))}" for k, v in table.items())
    return "{" + ",\n".join(parts) + "}\n"


def fresh_index() -> _Index:
    """The index made from the catalogue. Cost: about half a second."""
    from jellyfish import metaphone

    catalog = _catalog()
    own: dict[str, set[str]] = {}
    full: dict[str, frozenset[str]] = {}
    exact: dict[frozenset[str], set[str]] = {}
    turned: dict[str, frozenset[str]] = {}
    for row in sorted((r for r in catalog.rows() if not r.is_class_root), key=lambda r: r.ocn1):
        names = [n for n in (row.canonical_name, *row.aliases) if "move-order" not in n]
        said = {w for name in names for w in _words(_LABEL.sub(" ", name))}
        corrected = corrections().get(_key_of(row), ("", "", ""))[1]
        said |= set(_words(corrected))
        for name in (*(n for n in names if not _LABEL.search(n)), *_usual_names(row), corrected):
            for part in (name, re.split(r"[,:] ", name)[-1]):
                told = frozenset(_words(part))
                for words in (told, told - {"gambit", "attack"}):
                    exact.setdefault(words, set()).add(row.ocn1)
        if apart := said & {"anti", "reversed", "pseudo", "anglo", "declined"}:
            turned[row.ocn1] = frozenset(apart)
        full[row.ocn1] = frozenset(said) | full.get(row.parent or "", frozenset())
        for word in sorted(full[row.ocn1]):
            own.setdefault(word, set()).add(row.ocn1)
    sounds: dict[str, str] = {}
    for word in own:
        if len(word) > 3 and word not in _PLAIN:
            sounds.setdefault(metaphone(word), word)
    by_name = {words: frozenset(rows) for words, rows in exact.items() if words}
    by_word = {w: frozenset(r) for w, r in own.items()}
    return _Index(by_word, by_name, turned, sounds, tuple(own))


def _key_of(row: Row) -> str:
    return _catalog().key_of.get(row.ocn1, "")


@lru_cache(maxsize=4096)
def _known(word: str) -> tuple[str, bool]:
    """The vocabulary's spelling of a word and whether it is certain; ("", False) if none."""
    folded = _fold(word)
    if _is_certain(folded):
        return folded, True
    if len(folded) < 4:
        return "", False
    return _near(folded, _index())


def _is_certain(folded: str) -> bool:
    """Whether a folded word is one of the vocabulary as it stands."""
    return folded in _ABBREVIATED or folded in _index().rows


def stands_in_names(word: str) -> bool:
    """Whether a word stands in a name of an opening.

    >>> stands_in_names("French"), stands_in_names("Penrice")
    (True, False)
    """
    return _is_certain(_fold(word))


def _near(folded: str, index: _Index) -> tuple[str, bool]:
    # Loaded here, for the names of most texts are known as they are spelt.
    from jellyfish import metaphone
    from rapidfuzz import fuzz, process

    sound = index.sounds.get(metaphone(folded), "")
    if sound and fuzz.ratio(sound, folded) >= 55:
        return sound, False
    near = process.extractOne(folded, index.words, scorer=fuzz.ratio, score_cutoff=84)
    return (near[0], False) if near and len(near[0]) > 4 and near[0] not in _PLAIN else ("", False)


def rows_meant(name: str, wide: bool = False) -> frozenset[str]:
    """The catalogue's places a spoken name leads to: the nearest to the start of each branch.

    Empty if no opening has that name. Rows of exactly that name come alone, unless the search is
    `wide`: then all whose names have these words. The keys are the catalogue's own, never shown.
    """
    wanted = _words(name)
    if not wanted:
        return frozenset()
    index = _index()
    meant = [
        p for w in wanted for p in _ABBREVIATED.get(_known(w)[0], _known(w)[0]).split() or [""]
    ]
    if not wide and (rows := index.exact.get(frozenset(meant))):
        return rows
    found: frozenset[str] | None = None
    for part in meant:
        rows = index.rows.get(part, frozenset())
        found = rows if found is None else found & rows
    found = frozenset(k for k in found or () if not index.turned.get(k, frozenset()) - set(meant))
    return frozenset(k for k in found if (_catalog().row(k).parent or "") not in found)


def belongs(name: str, line: Sequence[chess.Board | str]) -> Belonging:
    """Whether an opening's name belongs to the last position of a line or to one before it.

    >>> after = [chess.Board()]
    >>> for san in "e4 e5 Nf3 Nc6 Bb5".split():
    ...     board = after[-1].copy(); _ = board.push_san(san); after.append(board)
    >>> belongs("the Spanish", after).how, belongs("Berlin Defence", after).how
    ('here', 'later')
    >>> belongs("Najdorf", after).how, belongs("Brackwater Attack", after).how
    ('elsewhere', 'unknown')
    """
    here = name_of_line(line)
    meant = rows_meant(name)
    keys = [position(board) for board in line]
    passed = {row.ocn1 for key in keys for row in _rows_at(key)}
    above = {a.ocn1 for row in _rows_at(keys[-1]) for a in _catalog().parents(row.ocn1)}
    usual = [place.usual for place in map(_name_at, keys) if place and place.exact]
    named = {word for each in usual for word in _words(each)}
    if (
        meant & (passed | above)
        or (not meant and set(_words(name)) <= named)
        or (
            usual
            and set(_words(name)) <= set(_words(usual[-1])) | set(_words(usual[-1].split(",")[0]))
        )
    ):
        return Belonging("here", here)
    if not meant:
        return Belonging("unknown", here)
    last = {row.ocn1 for row in _rows_at(keys[-1])}
    below = {a.ocn1 for slug in meant for a in _catalog().parents(slug)}
    started = bool(last & below) or any(keys[-1] in _path(slug) for slug in meant)
    return Belonging("later" if started else "elsewhere", here)


@lru_cache(maxsize=4096)
def _path(slug: str) -> frozenset[str]:
    """The positions on the catalogue's own way to a row."""
    board = chess.Board()
    seen = {position(board)}
    for uci in _catalog().row(slug).moves_uci:
        board.push_uci(uci)
        seen.add(position(board))
    return frozenset(seen)


_WORD = expression(r"[^\W\d_]+(?:['’](?:s\b)?)?(?:[^\W\d_]+)?")


def find_names(text: str) -> tuple[NameFound, ...]:
    """The opening names in a text, in order, matched by spelling and by sound.

    A run of words counts as a name if it has a word that stands in no ordinary sentence
    ("Najdorf"), or a capital letter inside a sentence, and an opening of that name exists. In a
    text without capitals, as recognisers write them, it is enough that the run says what it is
    ("french defense", "scotch gambit").

    >>> [f.words for f in find_names("it becomes a Nimzovich or the Queen's Gambit Declined")]
    ['Nimzovich', "Queen's Gambit Declined"]
    """
    found: list[NameFound] = []
    run: list[re.Match[str]] = []
    small = not _CAPITAL.search(text)
    for match in _WORD.finditer(text):
        gap = text[run[-1].end() : match.start()] if run else ""
        joined = not run or re.fullmatch(r"[\s\-–]*", gap)
        if run and not joined:
            found.extend(_name_in(text, run, small))
            run = []
        folded = _fold(match[0])
        if folded in _GENERIC - {"the", "of", "in", "a", "with", "and", "for", "to", "s", "called"}:
            if run:
                run.append(match)
        elif _name_word(match):
            run.append(match)
        elif run:
            found.extend(_name_in(text, run, small))
            run = []
    found.extend(_name_in(text, run, small))
    return tuple(found)


_CAPITAL = expression(r"\b[A-Z][a-z]+")
"""A word with a capital; "I" alone and initials stand in small texts too."""


_SHORTENED = expression(
    r"(?i)(?:we|you|they|i|he|she|it|there|who|what|that|this|here|let)['’](?:re|ll|ve|d|m|s)|w(?:ere|here|ear)"
)
"""Everyday words that sound like a name ("We're" like "Ware")."""


def _name_word(match: re.Match[str]) -> bool:
    if _SHORTENED.fullmatch(match[0]):
        return False
    if match[0][0].isupper():
        return bool(_known(match[0])[0])
    return _is_certain(_fold(match[0]))


_MAN_LAST = expression(r"\s(?:bishop|knight|pawn|rook|queen|king)$")
_NOUN_BEHIND = expression(
    r"(?:\s+|-)(?:(?:bishop|knight|pawn|rook|queen|king|player|fan|structure|skeleton|centre|center|"
    r"ending|endgame|middlegame|plan|idea|theme|motif|trick|style|pattern|problem|trouble|question|"
    r"headache|tabiya)s?|theory)(?![\w’'])"
)
"""A noun behind a name that makes it a kind of something. Any other word there says more of the
opening itself: "the Sicilian perhaps"."""


def tells_a_kind(text: str, start: int, end: int) -> bool:
    """Whether a name at a place of a text only tells what kind of thing something is.

    >>> tells_a_kind("the French Defence trouble", 4, 18), tells_a_kind("the French again", 4, 10)
    (True, False)
    >>> tells_a_kind("an Italian bishop", 3, 17), tells_a_kind("the French perhaps", 4, 10)
    (True, False)
    """
    return bool(_MAN_LAST.search(text[start:end]) or _NOUN_BEHIND.match(text, end))


def is_proper(meant: str) -> bool:
    """Whether a name (in the catalogue's spelling) has a word that stands in no other talk.

    >>> is_proper("berlin"), is_proper("four knight"), is_proper("quiet game")
    (True, True, False)
    """
    words = set(meant.split())
    if words - _PLAIN - _GENERIC or words & _PLACES:
        return True
    return bool(words & _MEN) and bool(words & {"two", "three", "four", "gambit"})


def _name_in(text: str, run: Sequence[re.Match[str]], small: bool) -> Iterable[NameFound]:
    run = list(run)
    while run and run[-1][0] in _LEADS_ON:
        run.pop()
    while run:
        words = text[run[0].start() : run[-1].end()]
        known = [_known(m[0]) for m in run if _fold(m[0]) not in _GENERIC]
        rare = any(k and k not in _PLAIN for k, _ in known)
        capital = any(m[0][0].isupper() and _inside(text, m.start()) for m in run)
        told = {k for k, _ in known} - _MEN
        kind = re.search(
            r"(?i)\b(?:gambit|opening|game|defen[cs]e|attack|variation|system)\b", words
        )
        said = small and bool(kind) and _says_what_it_is([k for k, _ in known])
        if (rare or capital or said) and (told or kind) and rows_meant(words):
            span = Span(run[0].start(), run[-1].end())
            meant = " ".join(k for k, _ in known if k)
            return [NameFound(span, words, meant, all(c for _, c in known))]
        run = run[1:]
    return []


_KINDS = _listed("gambit attack countergambit counterattack")
_LEADS_ON = _listed("after against from off on vs via without")
"""Words of names that end none in small letters: "the Dutch Defence from Black's side"."""


def _says_what_it_is(known: Sequence[str]) -> bool:
    """Whether plain words before "defence" or "gambit" are a name, and the whole of one."""
    told = set(known) - _KINDS
    if told <= _MEN:  # "the queen's gambit", "the bishop's opening", and no "knight's attack"
        told = told if "attack" not in known and told != {"knight"} else set()
    return bool(told & _PLACES) or (bool(told) and frozenset(known) in _index().exact)


def _inside(text: str, start: int) -> bool:
    """Whether a place is not the start of a sentence."""
    before = text[:start].rstrip(" \t\"'“‘(*_")
    return bool(before) and before[-1] not in ".!?:;\n"
