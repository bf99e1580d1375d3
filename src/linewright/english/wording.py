"""Other ways to say a word, brought to one: "is stationed", "boasts", "drives away".

Patterns are written with the plainest word of each group; what a teacher says instead is put into
those words before anything is matched. Only what means the same in every sentence stands here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

BEING = {
    "stands": "is", "sits": "is", "lies": "is", "lives": "is", "resides": "is", "dwells": "is",
    "rests": "is", "stand": "are", "sit": "are", "lie": "are", "stood": "was", "live": "are",
    "reside": "are", "dwell": "are",
}  # fmt: skip
"""Verbs that only say where something is, with the form of "be" that stands for them."""

NOT_BEING = {"guard", "a", "up", "out", "back", "by", "as", "against", "idle", "empty", "to"}
"""What follows such a verb where it says more: "stands guard", "stands up"."""

POSTED = {
    "sitting", "standing", "placed", "posted", "stationed", "lying", "located", "situated",
    "parked", "perched", "planted", "lodged", "installed", "positioned", "seated", "found",
    "camped", "entrenched", "residing", "living", "resting", "deployed",
}  # fmt: skip
"""After "is" and before a place they add nothing."""

PLACES = {
    "on", "at", "in", "behind", "opposite", "beside", "next", "between", "over", "there", "here",
    "near", "before", "right", "along", "outside", "inside", "one", "alongside", "upon",
}  # fmt: skip

_SAME = """
is eyeing up = eyes
are eyeing up = eye
eyes up = eyes
eyeing up = eyeing
is knocking on the door of = attacks
are knocking on the door of = attack
knocks on the door of = attacks
is knocking at the door of = attacks
lends its support to = supports
lends support to = supports
gives its support to = supports
gives support to = supports
adds its weight to = supports
adds support to = supports
nothing at all = nothing
no one at all = no one
nobody at all = nobody
none at all = none
nothing whatsoever = nothing
nothing whatever = nothing
is looking at = eyes
are looking at = eye
has struck at = has attacked
strikes at = attacks
struck at = attacked
takes aim at = attacks
took aim at = attacked
has taken aim at = has attacked
is to be found = is
are to be found = are
can be found = is
has settled on = is on
have settled on = are on
has settled down on = is on
has landed on = is on
has taken up residence on = is on
has taken up its post on = is on
has found a home on = is on
has established itself on = is on
has planted itself on = is on
has installed itself on = is on
has made itself at home on = is on
has nested on = is on
takes its place on = is on
finds itself on = is on
find themselves on = are on
finds itself in = is in
find themselves in = are in
finds himself in = is in
had got = has
possesses = has
possess = have
owns = has
boasts = has
boasts of = has
boast = have
enjoys = has
enjoy = have
sports = has
can boast = has
can boast of = has
can point to = has
can claim = has
can call on = has
can count on = has
can rejoice in = has
can show = has
can muster = has
does have = has
do have = have
disposes of = has
dispose of = have
is the owner of = has
is the proud owner of = has
is in possession of = has
are in possession of = have
is blessed with = has
is armed with = has
is equipped with = has
is endowed with = has
is left with = has
are left with = have
is saddled with = has
are saddled with = have
is burdened with = has
is lumbered with = has
is stuck with = has
is afflicted with = has
is weighed down with = has
has been left with = has
have been left with = have
has been saddled with = has
has been burdened with = has
has saddled himself with = has
has burdened himself with = has
has left himself with = has
has landed himself with = has
has given himself = has
has to live with = has
have to live with = have
has to put up with = has
has had to accept = has
have had to accept = have
has been given = has
have been given = have
contains = has
must live with = has
must put up with = has
must make do with = has
has to make do with = has
makes do with = has
has to nurse = has
has to look after = has
must look after = has
suffers from = has
suffer from = have
is nursing = has
is suffering from = has
has ended up with = has
have ended up with = have
has come out with = has
has emerged with = has
ended up with = has
ends up with = has
end up with = have
comes out with = has
come out with = have
emerges with = has
finds himself with = has
plays with = has
has accepted = has
have accepted = have
there sits = there is
there sit = there are
there stands = there is
there stand = there are
there lives = there is
there lies = there is
there lurks = there is
there remains = there is
there remain = there are
there exists = there is
there has been = there is
there have been = there are
there used to be = there was
gets attacked = is attacked
gets hit = is hit
gets defended = is defended
gets protected = is protected
gets pinned = is pinned
gets covered = is covered
gets guarded = is guarded
is getting attacked = is attacked
is getting hit = is hit
comes under attack = is attacked
is under attack = is attacked
are under attack = are attacked
has at his disposal = has
has on the board = has
has managed to keep = has kept
has held on to = has kept
has hung on to = has kept
has kept hold of = has kept
clings to = has kept
there is nobody = nobody
are both = are
both stand = are
both sit = are
both are = are
has an eye on = eyes
gets an eye on = eyes
advance any further = advance
move any further = move
go any further = advance
dead even = even
dead level = level
dead equal = equal
would get an eye on = eyes
gets its eye on = eyes
well guarded by = guarded by
well protected by = protected by
well defended by = defended by
well covered by = covered by
well supported by = supported by
castle either side = castle on either side
castle on either wing = castle on either side
castling on either wing = castling on either side
castle either way = castle on either side
castle both sides = castle on either side
castle both ways = castle on either side
castle to either side = castle on either side
castle to both sides = castle on either side
the gambit pawn = the pawn
have an eye on = eye
keeps an eye on = eyes
keep an eye on = eye
has its eye on = eyes
has his eye on = eyes
have their eyes on = eye
has its sights on = eyes
sets its sights on = eyes
takes aim at = aims at
nowhere is there = there is no
nowhere is there a = there is no
nowhere is there an = there is no
all to himself = alone
all to itself = alone
to himself = alone
to itself = alone
to herself = alone
is left on = is on
are left on = are on
is left in = is in
nothing but = only
none but = only
no one but = only
nobody but = only
one single = one
long gone = gone
menaces = threatens
menace = threaten
white squared = light squared
black squared = dark squared
white square = light square
black square = dark square
white squares = light squares
black squares = dark squares
white coloured squares = light squares
black coloured squares = dark squares
bishop of light squares = light squared bishop
bishop of dark squares = dark squared bishop
bishop of the light squares = light squared bishop
bishop of the dark squares = dark squared bishop
light squares bishop = light squared bishop
dark squares bishop = dark squared bishop
light square bishop = light squared bishop
dark square bishop = dark squared bishop
light coloured bishop = light squared bishop
dark coloured bishop = dark squared bishop
by nobody = by nothing
by no one = by nothing
am = is
has had to accept = has
have had to accept = have
had to accept = has
has to accept = has
have to accept = have
light pieces = minor pieces
looks down at = looks at
looks along at = looks at
points down at = points at
in the play = in play
in one single move = in one move
in a single move = in one move
in a single step = in one move
little pieces = minor pieces
small pieces = minor pieces
smaller pieces = minor pieces
light piece = minor piece
short castling = castling short
long castling = castling long
short castle = castling short
long castle = castling long
kingside castling = castling kingside
queenside castling = castling queenside
remains without = is without
remain without = are without
has remained without = is without
have remained without = are without
was left without = is without
is left without = is without
has been left without = is without
have been left without = are without
column = file
columns = files
row = rank
rows = ranks
prelate = bishop
prelates = bishops
foot soldier = pawn
footsoldier = pawn
footsoldiers = pawns
is responsible for = covers
is in charge of = covers
are responsible for = cover
one time = once
a single time = once
two times = twice
right for castling = right to castle
right of castling = right to castle
rights for castling = castling rights
rights of castling = castling rights
castling privilege = right to castle
castling privileges = castling rights
privilege of castling = right to castle
permission to castle = right to castle
possibility of castling = right to castle
possibility to castle = right to castle
option to castle = right to castle
came away with = has
comes away with = has
ended with = has
end with = have
winds up with = has
wound up with = has
pawn islands = islands
pawn island = island
wide open = open
has had to give up = has given up
have had to give up = have given up
had to give up = has given up
have both been = have been
have all been = have been
have both = have
can both = can
has left with = has
has saddled with = has
has burdened with = has
has landed with = has
have left with = have
have all come = have come
have all gone = have gone
have both come = have come
have both gone = have gone
glower at = stare at
glowers at = stares at
scowl at = stare at
scowls at = stares at
short side = kingside
long side = queenside
passer = passed pawn
passers = passed pawns
passed one = passed pawn
is opposed by = faces
is confronted by = faces
monarch = king
monarchs = kings
majesty = king
horse = knight
horses = knights
infantry = pawns
foot soldiers = pawns
cleric = bishop
chased away = driven away
chased off = driven away
driven off = driven away
driven out = driven away
kicked out = driven away
kicked away = driven away
kicked = driven away
evicted = driven away
dislodged = driven away
ousted = driven away
expelled = driven away
dispossessed = driven away
thrown out = driven away
shooed away = driven away
chase away = drive away
chase off = drive away
drive off = drive away
drive out = drive away
kick out = drive away
kick away = drive away
evict = drive away
dislodge = drive away
oust = drive away
expel = drive away
throw out = drive away
"""


def third_person(verb: str) -> str:
    """ "attacks", "presses", "occupies".

    >>> third_person("attack"), third_person("press"), third_person("occupy"), third_person("have")
    ('attacks', 'presses', 'occupies', 'has')
    """
    if verb == "have":
        return "has"
    if verb.endswith("y") and verb[-2] not in "aeo":
        return f"{verb[:-1]}ies"
    return f"{verb}es" if verb.endswith(("s", "sh", "ch")) else f"{verb}s"


_VERBS = """
attack = poke, prod, bother, annoy, pester, nag, hassle, molest, besiege, assault, nibble at, snipe at, lay siege to,
    gang up on, pressurise, pressurize, put the squeeze on, take a swipe at, shoot at, prick
cover = look after, take care of, watch over, stand guard over, keep guard over, back up, prop up, shore up, stand by,
    care for, babysit, bolster, buttress, underpin, chaperone, lend support to, give support to, give protection to,
    keep watch over, keep tabs on, take under its wing, give cover to, vouch for
give up = hand over, part with, surrender, concede, relinquish, let go of, sign away, trade in
capture = eat, gobble, gobble up, munch, nab, snap off, snap up, pick off, chop off, swallow, devour, hoover up,
    whip off, lop off, scoff, bag, gulp down, scoop up, nick, pinch, slaughter
"""
_IRREGULAR = {"take": "taken", "stand": "stood", "keep": "kept", "lay": "laid", "give": "given", "put": "put",
              "eat": "eaten", "shoot": "shot", "lend": "lent", "babysit": "babysat", "let": "let"}  # fmt: skip


def inflected(verb: str) -> dict[str, str]:
    """A verb in its forms, by their names: ``plain``, ``third``, ``past``, ``doing``.

    >>> inflected("nab"), inflected("look after")["past"]
    ({'plain': 'nab', 'third': 'nabs', 'past': 'nabbed', 'doing': 'nabbing'}, 'looked after')
    """
    head, _, rest = verb.partition(" ")
    rest = f" {rest}" if rest else ""
    short = len(head) < 5 and re.search(r"[^aeiou][aeiou][bdgmnpt]$", head)
    stem = head + head[-1] if short else head.removesuffix("e")
    past = _IRREGULAR.get(head, f"{stem}ed")
    return {
        "plain": verb,
        "third": third_person(head) + rest,
        "past": past + rest,
        "doing": f"{stem}ing{rest}",
    }


_GOERS = ("runs", "moves", "travels", "operates", "works", "goes", "plays")


def _verb_lines() -> Iterator[str]:
    """The verbs of the table in all their forms, each with the same form of the plain one."""
    for verb in _GOERS:
        for shade in ("light", "dark"):
            for which in ("that", "which"):
                yield f"bishop {which} {verb} on the {shade} squares = {shade} squared bishop"
                yield f"bishop {which} {verb} on {shade} squares = {shade} squared bishop"
    for line in _VERBS.replace(",\n   ", ",").strip().splitlines():
        meant, verbs = line.split(" = ")
        forms = inflected(meant)
        for said in map(inflected, verbs.split(", ")):
            yield from (f"{said[form]} = {forms[form]}" for form in forms)
            yield f"is {said['doing']} = {forms['third']}"
            yield f"are {said['doing']} = {forms['plain']}"


Runs = tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]
"""Runs of words, longest first, each with what stands for it."""


def _table() -> dict[str, dict[str, Runs]]:
    """The runs of words under their first and second word ("" where there is none)."""
    found: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
    for line in (*_SAME.strip().splitlines(), *_verb_lines()):
        said, meant = (tuple(part.split()) for part in line.split(" = "))
        if said != meant:
            found.setdefault(said[0], []).append((said, meant))
    return {first: _by_second(runs) for first, runs in found.items()}


def _by_second(runs: list[tuple[tuple[str, ...], tuple[str, ...]]]) -> dict[str, Runs]:
    found: dict[str, Runs] = {}
    for run in sorted(runs, key=lambda run: -len(run[0])):
        second = run[0][1] if len(run[0]) > 1 else ""
        found[second] = (*found.get(second, ()), run)
    return found


SAME = _table()
"""Runs of words that mean the same, under the first and the second word."""

DOING = {
    "attacking": "attack", "hitting": "hit", "defending": "defend", "protecting": "protect",
    "guarding": "guard", "covering": "cover", "controlling": "control", "watching": "watch",
    "eyeing": "eye", "eying": "eye", "supporting": "support", "pinning": "pin", "forking": "fork",
    "skewering": "skewer", "blocking": "block", "facing": "face", "blockading": "blockade",
    "occupying": "occupy", "threatening": "threaten", "targeting": "target", "bearing": "bear",
    "aiming": "aim", "pointing": "point", "looking": "look", "staring": "stare",
    "dominating": "dominate", "commanding": "command", "holding": "hold", "winning": "win",
    "losing": "lose", "using": "use", "stopping": "stop", "preventing": "prevent",
    "pressing": "press", "shielding": "shield", "enjoying": "have", "having": "have",
    "waiting": "wait", "leading": "lead", "lagging": "lag", "trailing": "trail",
    "overlooking": "overlook", "observing": "observe", "chasing": "chase", "harassing": "harass",
    "striking": "strike", "checking": "check", "opposing": "oppose", "confronting": "confront",
    "raking": "rake", "sweeping": "sweep", "gaining": "gain", "keeping": "keep", "tying": "tie",
}  # fmt: skip
"""What is being done, after "is" or "are", with the plain verb: "is attacking", "attacks"."""

AS_IT_IS = {"winning", "losing", "leading", "threatening", "holding", "waiting", "looking", "lagging", "trailing"}  # fmt: skip
"""Of these both forms are used in patterns, so the longer one is kept."""


PRAISE = set(
    "healthy solid nice dangerous beautiful lovely wonderful terrible awful ugly proud brave famous tiny huge "
    "nasty annoying awkward comfortable useful harmless splendid glorious magnificent fantastic marvellous superb gorgeous "
    "impressive unpleasant painful precious important sad lazy monster juicy cute sneaky cheeky clever mighty sturdy "
    "robust stout dear notorious celebrated classic classical textbook thematic typical superfluous brilliant "
    "horrible horrid dreadful miserable menacing mean pesky trusty faithful loyal humble cheerful venomous fearsome formidable "
    "imposing handsome pleasant cosy snug delicate poisonous greedy cunning crafty wicked vicious deadly big grand great "
    "unfortunate sorry wretched tremendous enormous massive colossal gigantic whopping pretty neat tidy curious strange odd "
    "interesting typical".split()
)
"""Adjectives that praise or blame; before another word they are left out."""

STRESS = {
    "absolutely", "relatively", "legally", "only", "early", "mostly", "mainly", "largely",
    "equally", "family", "friendly", "ugly", "lovely", "lonely", "lively", "likely", "unlikely",
    "fly", "reply", "hardly", "barely", "scarcely", "rarely", "possibly", "probably", "presumably",
    "arguably", "supply", "apply", "rely", "ally", "bully", "rally", "tally", "italy", "july",
    "elderly", "costly", "deadly", "holy", "silly", "jolly", "daily", "weekly", "hopefully",
    "supposedly", "allegedly", "potentially", "theoretically", "predominantly", "apparently",
    "seemingly", "frequently", "generally", "usually", "normally", "typically", "occasionally",
    "commonly", "regularly", "eventually", "ultimately", "formerly", "previously", "recently",
    "originally", "initially", "partly", "partially", "merely", "solely", "doubly", "fully",
    "multiply", "assembly", "anomaly", "melancholy", "butterfly", "belly", "comply", "imply",
    "practically", "virtually", "essentially", "basically", "roughly", "nearly", "approximately",
    "freely", "materially", "structurally", "positionally", "objectively", "finally", "secondly",
    "easily", "safely", "similarly", "differently", "poorly", "highly", "closely", "badly",
}  # fmt: skip
"""Words in "-ly" that say something, or are no adverbs; all others are left out."""

GOT_MORE = {"back", "castled", "round", "around", "rid", "out", "hold", "to", "past", "through"}
"""After "has got" these say more than "has"."""
