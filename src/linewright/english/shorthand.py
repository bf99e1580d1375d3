"""Notes in shorthand written out: "Nc3 pinned" as "the knight on c3 is pinned".

Who prepares a lesson in notes leaves out articles and verbs and writes a piece as in a move. `written_out`
gives the words such a note stands for; a sentence with a verb of its own is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from linewright.english.words import Token, read_words
from linewright.expressions import expression
from linewright.moves import MAN, PIECE_NAMES

_A_FILE = "ā"
"""The letter of the a-file while a note is read, so that it is no article."""


def _compiled(said: str) -> re.Pattern[str]:
    """An expression in which the letter of a file may be that of the a-file."""
    return expression(re.sub(r"\[a-h\](?!\[1-8\])", f"[b-h{_A_FILE}]", said))


_VERB = expression(
    r"\b(?:is|are|was|were|has|have|had|can|could|will|would|may|might|must|do|does|did|should|(?<!under )attacks?|defends?|protects?|takes?|"
    r"captures?|wins?|loses?|gives?|threatens?|controls?|plays?|moves?|goes|comes|wants?|makes?|stands?|keeps?|holds?|looks?|"
    r"shows?|sees?|leaves?|gets?|needs?|lets?|means|brings?|forms?|opens|closes|covers|guards|pins|hits|blocks|exists?|remains?|lives?|runs?|belongs?|lies|sits?|stood|went|came|took|"
    r"gave|got|ran|fell|lost|won|made|met|left|saw|put|let|says?|said|knows?|thinks?|likes?|loves?|works?|helps?|asks?|tells?|uses?|turns?|falls?|follows?|"
    r"begins?|starts?|ends|needs?|serves?|matters?|depends?|allows?|ensures?|suffers?|speaks?|deprives?|robs?|costs?|reaches|appears?|proves?|pays?|brings?|carries|enjoys?|owns?|lacks?|faces|eyes|i|we|he|she|you|they)\b"
)
_LABEL = expression(
    r"(?:(?:(?:please |to |also |just )?(?:note|remember|remark|observe|memo|memorise|recall|mark|register|notice)(?: well| this| here)?|nb|n b|n . b .|reminder|"
    r"(?:very )?important(?: point)?|careful|(?:the )?(?:key |main |first |second |third |other |next )*(?:point|facts?|feature|thing|detail|observation)|"
    r"summary|in short|in sum|so|position|diagram|now|here|today|result|verdict|structure|state of play|stock taking|(?:my |quick )*(?:notes?|check list|reminder)|"
    r"weakness(?:es)?|strengths?|opening|name|variation|target|liability|liabilities|trump|asset|compensation|plus|minus|drawback|feature|problem|threat|idea|status) ?(?::|,|—|–|--|-)"
    r"|nb|n b|note|n . b .) "
)
"""What a note begins with, before what it notes."""
_NOT_LABELS = frozenset("position , diagram , now , here , today , so ,".split(" , "))
_GAIN = (
    r"(?:(?:a|an|one|the|big|small|clear|great|main|only|chief|lasting) )*(?:plus|minus|asset|trumps?|pro|con|advantage|drawback|weakness(?:es)?|problem|"
    r"compensation|strengths?|liability|gain|reward|trouble|consolation|credit|debit|pluses|minuses|achievement)"
)
_SIDES = r"(?:white|black)"
_MANY = r"(?:both sides|each side|both players|neither side|nobody|no one)"
_KIND = rf"(?:{MAN}|minor piece|piece)"
_OWNER = (
    r"(?:the|this|that|his|her|our|my|your|white 's|black 's|both|all|all four|no|neither|the two)"
)
_MAN = (
    rf"(?:{_OWNER} )?(?:(?:white|black|enemy|light squared|dark squared|two|other|own|remaining|queen 's|king 's|queenside|kingside|lone|good|bad) )*"
    rf"(?:[a-h] |[a-h][1-8] )?{_KIND}s?(?:(?: on| at)? [a-h][1-8]| on (?:the )?[a-h] file)?(?: of {_SIDES}(?: 's)?)?"
)
_THING = rf"(?:{_MAN}|[a-h][1-8]|(?:the |square )?[a-h][1-8]|(?:the )?[a-h](?: (?:,|and|or) [a-h])* files?|(?:the )?(?:long |short )?diagonal|material(?: count| balance)?|(?:the )?centre|(?:the )?center)"
_HOW = (
    r"(?:pinned|hanging|undefended|unprotected|unguarded|unsupported|en prise|loose|trapped|attacked|hit|protected|defended|guarded|covered|supported|"
    r"isolated|backward|passed|doubled|tripled|blocked|blockaded|overloaded|in check|in double check|undeveloped|developed|uncastled|castled|connected|fixed|"
    r"half open|semi open|wide open|open|closed|level|equal|even|balanced|unbalanced|gone|off|on(?! [a-h][1-8])|off the board|on the board|on board|exchanged|traded|mated|"
    r"checkmated|stalemated|skewered|forked|in (?:direct |distant )?opposition|fianchettoed|unmoved|at home|still at home|undisturbed|exposed|controlled|weak|a hole|an outpost|free|immobile|stuck|"
    r"without|under attack|under fire|under pressure|over protected|overprotected|attackable|safe|active|out|back|in place|in the corner|on (?:the|an?|its|their|opposite|original|starting) [a-z]+(?: [a-z]+)?)"
)
_DOING = r"(?:attacking|hitting|eyeing|defending|protecting|guarding|covering|controlling|pinning|blocking|supporting|watching|facing|threatening|occupying) [^:,]+"
_MEASURE = (
    r"(?:(?:an?|one|two|three|four|the|\d) (?:(?:clear|full|whole|healthy|good|solid) )*(?:pawns?|pieces?|points?|rooks?|knights?|bishops?|queens?|exchange|tempo|tempi|minor pieces?)"
    r" (?:up|down|ahead|behind|short|to the good|to the bad|in arrears|better off|worse off|in front))"
)
_STATE = (
    rf"(?:{_MEASURE}|uncastled|castled|mated|checkmated|stalemated|in check|in double check|in stalemate|to move|to play|up|down|ahead|behind|level|without|unable|able|free|"
    r"ready|better developed|worse developed|fully developed|undeveloped|underdeveloped|minus|short|on move|on the move|allowed|yet to|still to|out of)"
)
_OWNED = (
    r"(?:(?:the|an?|only|no|both|all|two|three|four|five|six|seven|eight|one|\d|bishop pair|two bishops|doubled|tripled|isolated|passed|backward|connected|hanging|extra|protected|"
    r"outside|better|more|fewer|less|control|full|half open|semi open|open|right|weak|good|bad|majority|queenside|kingside|castling|pawns?|knights?|bishops?|rooks?|queens?)\b)"
)
_ADVERBS = (
    r"(?:(?:now|already|still|clearly|simply|yet|not yet|no longer|never|not|only|well|badly|also|even|quite|completely|fully|doubly|securely|solidly|"
    r"hopelessly|currently|just|both|all|once|twice|thrice) )*"
)
_RULES = tuple(
    (_compiled(said), plain)
    for said, plain in (
        (
            rf"({_SIDES}|w) : ((?:\d+|one|two|three|four|five|no|the|an?|both|all)\b.*)",
            r"\1 has \2",
        ),
        (
            r"(?:iqp|isolani|isolated pawn|isolated queen 's pawn) : ([a-h][1-8])",
            r"the pawn on \1 is isolated",
        ),
        (r"passed pawn : ([a-h][1-8])", r"the pawn on \1 is passed"),
        (rf"(?:b pair|bishop pair|two bishops|pair) : ({_SIDES})", r"\1 has the bishop pair"),
        (
            rf"(?:b pair|bishop pair|two bishops|pair) : (?:only ({_SIDES})|({_SIDES}) only)",
            r"only \1\2 has the bishop pair",
        ),
        (
            r"(?:b pair|bishop pair|two bishops|pair) : (?:both|both sides|each side)",
            r"both sides have the bishop pair",
        ),
        (r"(?:no|without) checks?(?: available| possible| at hand)?", r"no check is possible"),
        (
            rf"({_SIDES}) (?:castling short|short castling|0-0|o-o|castling) (?:is )?(?:not|no longer) (?:possible|on|available|allowed)(?: yet| any more| now)?",
            r"\1 can not castle short",
        ),
        (
            rf"({_SIDES}) (?:castling long|long castling|0-0-0|o-o-o) (?:is )?(?:not|no longer) (?:possible|on|available|allowed)(?: yet| any more| now)?",
            r"\1 can not castle long",
        ),
        (
            r"(?:on )?(?:the )?(kingside|queenside) ?:? (\d+|two|three|four|five|one) (?:v|vs|against|versus|to|:) (\d+|two|three|four|five|one)",
            r"it is \2 against \3 on the \1",
        ),
        (
            r"(?:on )?(?:the )?(kingside|queenside) ?: white (\d+|one|two|three|four|five) ,? ?black (\d+|one|two|three|four|five)",
            r"white has \2 pawns against \3 on the \1",
        ),
        (
            r"(?:on )?(?:the )?(kingside|queenside) ?: black (\d+|one|two|three|four|five) ,? ?white (\d+|one|two|three|four|five)",
            r"black has \2 pawns against \3 on the \1",
        ),
        (
            rf"(kingside|queenside) (?:pawn )?majority ?: ({_SIDES})",
            r"\2 has a majority on the \1",
        ),
        (
            r"(minor pieces|knights|bishops|rooks|queens|pawns) ?: (?:none|no|gone)(?: left)?",
            r"there are no \1 on the board",
        ),
        (
            r"(minor piece|knight|bishop|rook|queen|pawn)s? ?: (one|two|three|four|five|six|seven|eight|\d) (?:each|apiece|a side)",
            r"each side has \2 \1s",
        ),
        (rf"(?:to move|move|turn|on move) : ({_SIDES})", r"it is \1 's move"),
        (rf"(?:extra pawn|pawn up|plus pawn) : ({_SIDES})", r"\1 is a pawn up"),
        (rf"({_SIDES}|w) up (\d+)(?: (pawns?|points?))?", r"\1 is up by \2 \3"),
        (rf"up (\d+) (?:for )?({_SIDES})", r"\2 is up by \1"),
        (
            r"([a-h][1-8]) : (\d+|one|two|three|four) (?:v|vs|against|versus|:) (\d+|one|two|three|four)",
            r"\1 has \2 attackers and \3 defenders",
        ),
        (
            r"([a-h][1-8]) : (\d+|one|two|three|four) attackers? ,? ?(?:and |against )?(\d+|one|two|three|four|no) defenders?",
            r"\1 has \2 attackers and \3 defenders",
        ),
        (r"(half )?open(?: files?)? : ([a-h])", r"the \2 file is \1open"),
        (
            r"(half )?open(?: files?)? : ([a-h]) (?:,|and) ([a-h])",
            r"the \2 and \3 files are \1open",
        ),
        (r"([a-h]) file : half open (?:for )?(?:white|w)", r"the \1 file is half open for white"),
        (r"([a-h]) file : half open (?:for )?(?:black|b)", r"the \1 file is half open for black"),
        (r"([a-h]) file : (open|half open|closed)", r"the \1 file is \2"),
        (
            r"(\d+|one|two|three|four|no) (checks|captures)(?: available| possible)?(?: : .*)?",
            r"there are \1 \2",
        ),
        (
            rf"({_SIDES}) (?:0-0|o-o|castling short|short castling)(?: is)? (?:possible|on|available|ok)",
            r"\1 can castle short",
        ),
        (
            rf"({_SIDES}) (?:0-0-0|o-o-o|castling long|long castling)(?: is)? (?:possible|on|available|ok)",
            r"\1 can castle long",
        ),
        (
            r"(\d+|one|two|three|four) (bishops|knights|rooks|queens|pawns|minor pieces) on (?:the )?board",
            r"there are \1 \2 on the board",
        ),
    )
)
_KNOWN = expression(
    r"[a-h](?:[1-8])?|white|black|w|b|[kqrbn]|\d+|-|–|—|,|king|queen|rook|bishop|knight|pawn|and|the|on|for|only"
)


_GAINS = tuple(
    _compiled(said)
    for said in (
        rf"{_GAIN} (?:for|of) (?P<side>{_SIDES}) ?(?::|,|-|–|—)? (?P<what>.*)",
        rf"(?P<side>{_SIDES}) 's {_GAIN} ?(?::|,|-|–|—) (?P<what>.*)",
        rf"in (?P<side>{_SIDES}) 's favou?r ?(?::|,|-|–|—) (?P<what>.*)",
        rf"(?:for|with) (?P<side>{_SIDES}) ?(?::|,|-|–|—) (?P<what>.*)",
        rf"(?P<side>{_SIDES}|{_MANY}) ?(?::|,|-|–|—)? ?(?P<what>.*)",
        rf"(?P<what>{_OWNED}.*?) ?,? (?:for|with|on the side of) (?P<side>{_SIDES}|{_MANY})",
    )
)
"""Ways to note what a side has, or how it stands."""
_LACKS = expression(r"(?:minus|less|short of|missing|lacking|without) (?:(?:the|a|an|any) )?")
_CLAUSES = tuple(
    (_compiled(said), plain)
    for said, plain in (
        (
            r"(?:the )?(?P<half>half |semi )?open (?P<file>[a-h]) file",
            r"the \g<file> file is \g<half>open",
        ),
        (
            r"(?:(?:a|pure) )*(?P<kind>(?:pawn|rook|queen|knight|bishop|minor piece|king and pawn|opposite coloured bishops?) (?:ending|endgame))",
            r"it is a \g<kind>",
        ),
        (
            r"(?:only |just |exactly )?(?P<one>no|one|a|an) (?P<what>(?:open|half open|passed|isolated|doubled|tripled|backward|pinned|hanging|undefended|loose) [^:]*)",
            r"there is \g<one> \g<what>",
        ),
        (
            r"(?:only |just |exactly )?(?P<many>two|three|four|five|six|\d) (?P<what>(?:open|half open|passed|isolated|doubled|backward|pinned|hanging|undefended|loose) [^:]*)",
            r"there are \g<many> \g<what>",
        ),
        (
            r"(?P<what>(?:isolated|passed|backward|protected passed) (?:[a-h] )?pawn(?: on [a-h][1-8]| on (?:the )?[a-h] file)?)",
            r"there is a \g<what>",
        ),
        (
            r"(?P<what>(?:doubled|tripled|isolated|connected|hanging|passed) (?:[a-h] )?pawns(?: on [^:]*)?)",
            r"there are \g<what>",
        ),
        (
            rf"the (?P<side>{_SIDES}) (?P<kind>{_KIND}) on (?P<at>[a-h][1-8])",
            r"\g<side> 's \g<kind> is on \g<at>",
        ),
    )
)
"""Notes without a subject."""
_BEHIND = r"(?!(?:the|an?|our|his|her|my|your|its|it|this|that|while|because|as|[a-h][1-8])\b)(?:[^:,]|, (?=(?:and )?[a-h][1-8]|by ))*"
"""What is no note's: "c3 blocked the check" tells what was done."""
_STANDING = _compiled(
    rf"(?P<thing>{_THING}(?: and {_THING})*)(?: :| ,| —| –)? (?P<how>{_ADVERBS}(?:{_DOING}|{_HOW}(?: {_BEHIND})?))"
)
_MOVE_NOTE = expression(
    r"(?:(?:a|the) )?(?:possible|legal|illegal|impossible|not possible|not legal|mate|checkmate|check|stalemate|double check|discovered check|fork|en passant)"
)
_BARE = _compiled(
    r"(?P<before>(?:^|\S+ ))(?P<colour>(?:white |black )?)(?:(?P<kind>king|queen|rook|bishop|knight|pawn)(?: on)? (?P<at>[a-h][1-8])|(?P<where>[a-h][1-8]) (?P<man>king|queen|rook|bishop|knight|pawn)|(?P<file>[a-h]) (?P<pawns>pawns?)|(?P<file2>[a-h]) file)\b"
)
_SEVERAL = expression(
    r"(?<!the )(?<!'s )\b((?:white |black )?(?:pawns|knights|bishops|rooks)) (?=[a-h][1-8] (?:and|,) [a-h][1-8])"
)
"""In "pawns e5 and e6" the article and "on" are left out."""
_OWNED_BEFORE = frozenset(
    "the this that his her our my your their its 's both all a an one no each every neither any two three four doubled isolated passed extra "
    "half open backward tripled connected hanging white black".split()
)
_WITHOUT_ARTICLE = _compiled(rf"\b(by|to|with|and|behind) (?=(?:white |black )?{_KIND}\b(?! on))")


def written_out(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens of a sentence, or of the note in shorthand that it is, written out.

    >>> from linewright.english.words import read_words
    >>> " ".join(t.text for t in written_out(read_words("Nc3 pinned (Bb4 - Ke1).")))
    'the knight on c3 is pinned .'
    """
    if tokens and tokens[-1].text == "?":
        return tuple(tokens)
    words = _without_brackets(tokens)
    label = _LABEL.match(f"{_text(words)} ")
    if label and " ".join(label[0].split()) not in _NOT_LABELS:
        words = words[len(label[0].split()) :]
    words = [t for n, t in enumerate(words) if not _left_out(words, n)]
    if len(words) > MOST_WORDS or not words or _BOTH_TOLD.search(_text(words)):
        return tuple(tokens)
    whole = _clause([t for t in words if t.text not in {".", "!"}])
    if whole:
        return tuple(whole) + tuple(words[-1:] if words[-1].kind == "stop" else ())
    for stops in (_PARTING, _PARTING | {":", "—", "–"}):
        made = _by_clauses(words, stops)
        if [t.text for t in made] != [t.text for t in words]:
            return made
    names = label is not None and label[0].split()[0] in {"opening", "name", "variation"}
    return tuple(words) if names else tuple(tokens)


_BOTH_TOLD = expression(r" for (?:white|black) ,? .* for (?:white|black)\b")
"""A note that compares: "two islands for White, one for Black"."""
_PARTING = frozenset([",", ";", ".", "!"])
MOST_WORDS = 18
"""Longer sentences are no notes."""


def _left_out(words: Sequence[Token], at: int) -> bool:
    """Whether a word says nothing in a note: "now", "already"; not "still to castle"."""
    if words[at].text in {"now", "already", "here"}:
        return at > 0
    return (
        words[at].text == "still" and at > 0 and [t.text for t in words[at + 1 : at + 2]] != ["to"]
    )


def _by_clauses(words: Sequence[Token], stops: frozenset[str]) -> tuple[Token, ...]:
    """The tokens with each clause between stops written out that can be."""
    made: list[Token] = []
    begin = 0
    for at, token in enumerate([*words, Token(".", 0, 0, "stop")]):
        ends = at == len(words) or (token.kind == "stop" and token.text in stops)
        if not ends:
            continue
        note = _clause(words[begin:at])
        if not note and not _goes_on(words[begin:at], begin):
            return tuple(words)
        made.extend(note or words[begin:at])
        if at < len(words):
            made.append(token)
        begin = at + 1
    return tuple(made)


def _goes_on(words: Sequence[Token], begin: int) -> bool:
    """Whether a clause that is no note may follow one: "Qa5 hit, unprotected"."""
    text = _text(words)
    return bool(begin) and (not text or bool(_VERB.search(text) or re.match(_ADVERBS + _HOW, text)))


def _text(words: Sequence[Token]) -> str:
    return " ".join(map(_plain, words))


def _plain(token: Token) -> str:
    """A token as its words: a piece written as in a move is "the knight on c3"."""
    if (
        token.kind == "move"
        and token.move is not None
        and not token.move.claims_capture
        and token.number is None
    ):
        move = re.fullmatch(r"([KQRBN])([a-h][1-8])", token.text)
        return f"the {PIECE_NAMES[move[1]]} on {move[2]}" if move else token.text.lower()
    return _A_FILE if token.text == "a" and token.hyphen else token.text


def _clause(words: Sequence[Token]) -> list[Token]:
    """A clause of a note written out; nothing where it is none."""
    text = _text(words)
    if not text:
        return []
    if words[0].kind == "move" and _MOVE_NOTE.fullmatch(" ".join(t.text for t in words[1:])):
        return [words[0], _token("is", words[0].end, words[0].end), *words[1:]]
    told = _VERB.search(text) is not None
    if told and not text.startswith(("to move", "move", "no check", "without check")):
        return []
    for said, plain in _RULES:
        match = said.fullmatch(text)
        if match is not None:
            return _set_out(re.sub(r" for $| $", "", match.expand(plain).replace("  ", " ")), words)
    if text[0] == "," or told or not (out := _filled_out(text)):
        return []
    return _set_out(out, words)


def _set_out(text: str, words: Sequence[Token]) -> list[Token]:
    """The words of a text as tokens at the place of the note they stand for."""
    return [_token(word, words[0].start, words[-1].end) for word in text.split()]


def _filled_out(text: str) -> str:
    """The sentence that a clause without a verb stands for; nothing where it is none."""
    text = _SEVERAL.sub(r"the \1 on ", text)
    text = _WITHOUT_ARTICLE.sub(r"\1 the ", _BARE.sub(_with_article, text)).replace(
        "the the ", "the "
    )
    if match := _STANDING.fullmatch(text):
        several = re.search(
            r"\b(?:kings|queens|rooks|bishops|knights|pawns|pieces|files|both|and)\b",
            match["thing"],
        )
        thing = re.sub(r"^(material|kings)\b", r"the \1", match["thing"])
        return f"{thing} {'are' if several else 'is'} {match['how']}"
    for said, plain in _CLAUSES:
        if match := said.fullmatch(text):
            return match.expand(plain).replace("None", "")
    for said in _GAINS:
        if (match := said.fullmatch(text)) and (out := _of_side(match["side"], match["what"])):
            return out
    return ""


def _with_article(match: re.Match[str]) -> str:
    """A bare "rook d2", "d2 rook" or "c pawns" with its article."""
    before = match["before"].strip()
    colour = match["colour"]
    if before in _OWNED_BEFORE:
        return match[0]
    lead = f"{before} the {colour}" if before else f"the {colour}"
    if match["kind"]:
        return f"{lead}{match['kind']} on {match['at']}"
    if match["man"]:
        return f"{lead}{match['man']} on {match['where']}"
    return (
        f"{lead}{match['file']} {match['pawns']}"
        if match["file"]
        else f"{lead}{match['file2']} file"
    )


_MORE_TOLD = expression(
    r" , (?!(?:and )?[a-h][1-8]\b)| (?:while|whereas|but|because|and (?:white|black)) "
)
_LEADING_ADVERBS = expression(rf"^{_ADVERBS}")
_MORE_MEN = expression(
    r"(\S+ (?:pawns?|pieces?|knights?|bishops?|rooks?)) (?:extra|more|plus|in hand)"
)
_IN_STATE = expression(rf"{_STATE}(?= |$)")
_THINGS_OWNED = expression(_OWNED)
_KIND_AND_MORE = expression(rf"({_KIND}s?) (.*)")
_SUCH_A_MAN = expression(
    r"(?:passed|isolated|backward|extra|protected|outside|good|bad|weak|full|half open) (?:(?:passed|[a-h]) )*(?:pawn|bishop)\b"
)


def _of_side(side: str, what: str) -> str:
    """What a note tells of a side, as a sentence; nothing where it tells nothing."""
    if _MORE_TOLD.search(what):
        return ""
    plain = _LEADING_ADVERBS.sub("", what)
    adverbs = what[: len(what) - len(plain)]
    several = side in {"both sides", "both players"}
    be, have = ("are", "have") if several else ("is", "has")
    if plain in {"not", "no", "none"} or (not plain and adverbs.strip() == "not"):
        return f"{side} {have} not"
    if more := _MORE_MEN.fullmatch(plain):
        return f"{side} {be} {more[1]} up"
    if lacks := _LACKS.match(plain):
        return f"{side} {have} no {plain[lacks.end() :]}"
    if plain in {"long", "short", "kingside", "queenside"}:
        return f"{side} {have} castled {plain}"
    if re.match(r"castled\b", plain):
        return f"{side} {have} {adverbs}{plain}"
    if _IN_STATE.match(plain):
        return f"{side} {be} {adverbs}{plain}"
    if file := re.fullmatch(r"(?:the )?(half |semi )open (?:the )?([a-h]) file", plain):
        return f"the {file[2]} file is half open for {side}"
    if re.match(r"(?:bishop pair|two bishops|better structure|majority)\b", plain):
        return f"{side} {have} the {plain}"
    if re.match(rf"{_KIND}s? (?:on|at) [a-h][1-8]", plain):
        return f"{side} {have} {plain}" if " , " in plain else ""
    if standing := _KIND_AND_MORE.fullmatch(plain):
        return (
            f"{side} 's {standing[1]} {'are' if standing[1].endswith('s') else 'is'} {standing[2]}"
        )
    if _SUCH_A_MAN.match(plain):
        return f"{side} {have} {adverbs}{'an' if plain[0] in 'aeiou' else 'a'} {plain}"
    return f"{side} {have} {adverbs}{plain}" if _THINGS_OWNED.match(plain) else ""


def _token(word: str, start: int, end: int) -> Token:
    if word == "'s":
        return Token("'s", start, end, "whose")
    if word == _A_FILE:
        return Token("a", start, end, hyphen=True)
    (made, *_) = read_words(word)
    return replace(made, start=start, end=end)


def _without_brackets(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without brackets that name only pieces and squares."""
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        close = next((n for n in range(at, len(tokens)) if tokens[n].text == ")"), None)
        inside = tokens[at + 1 : close] if tokens[at].text == "(" and close else ()
        if inside and all(
            t.kind in {"move", "square", "number"} or _KNOWN.fullmatch(t.text) for t in inside
        ):
            at = close + 1 if close else at + 1
            continue
        kept.append(tokens[at])
        at += 1
    return kept
