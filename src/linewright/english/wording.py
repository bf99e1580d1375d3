"""Other ways to say a word, brought to one: "is stationed", "boasts", "drives away".

Patterns are written with the plainest word of each group; what a teacher says instead is put into
those words before anything is matched. Only what means the same in every sentence stands here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

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
    "camped", "entrenched", "sat", "stood", "residing", "living", "resting", "deployed",
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
finds in check = is in check
find in check = are in check
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
has possessed of = has won
helped to a = won a
helped to the = won the
helps to a = wins a
has helped to a = has won a
has helped to the = has won the
is down to = has
are down to = have
just the one = only one
but a single = only one
but a lone = only one
brought forth = brought out
namely = :
plus pawn = extra pawn
finds on = is on
find on = are on
finds in = is in
adorn the board = are on the board
adorns the board = is on the board
adorns = is on
adorn = are on
has long been = has been
have long been = have been
has long since = has
have long since = have
commands but = has only
has but = has only
have but = have only
possesses but = has only
owns but = has only
developed everything = developed all minor pieces
moved a muscle = moved
moved an inch = moved
stirred a muscle = moved
lifted a finger = moved
lonely isolated = isolated
lone isolated = isolated
weak isolated = isolated
lonely passed = passed
remains in possession of = has
remain in possession of = have
retains possession of = has
is eyeballing = eyes
are eyeballing = eye
eyeballs = eyes
eyeball = eye
puts the question to = attacks
put the question to = attacked
puts a question to = attacks
puts the question squarely to = attacks
asks a question of = attacks
kicks the = attacks the
kicks his = attacks his
kicks our = attacks our
kicks her = attacks her
kicked the = attacked the
kick the = attack the
kicking the = attacking the
sole remaining = only
only remaining = only
last remaining = only
one remaining = only
single remaining = only
sole surviving = only
has become a = is a
has become an = is an
have become = are
has come to be = is
lacks all = has no
lacks any = has no
lacks every = has no
lacks every kind of = has no
lack all = have no
lack any = have no
wants for = lacks
goes without = is without
go without = are without
devoid of protection = without protection
devoid of any protection = without protection
devoid of all protection = without protection
devoid of support = without support
devoid of defenders = without defender
bare of protection = without protection
sitting at home = at home
left at home = at home
waiting at home = at home
stuck at home = at home
remaining at home = at home
sleeping at home = at home
standing at home = at home
sat at home = at home
knights and bishops = minor pieces
bishops and knights = minor pieces
knights or bishops = minor pieces
bishops or knights = minor pieces
pawn of plus = extra pawn
half closed = half open
devoid of = free of
bare of = free of
denuded of = free of
stripped of = free of
void of = free of
cleared of = free of
emptied of = free of
pawn free = free of pawns
stand opposed to one another = face each other
stand opposed to each other = face each other
are opposed to one another = face each other
are opposed to each other = face each other
confront one another = face each other
eye one another = face each other
look one another in the eye = face each other
look each other in the eye = face each other
stare one another down = face each other
stare each other down = face each other
are at loggerheads = face each other
brethren = neighbours
siblings = neighbours
cousins = neighbours
splitted = split
a second time = twice
for a second time = twice
doubles the pressure on = attacks
double the pressure on = attack
increases the pressure on = attacks
increase the pressure on = attack
adds to the pressure on = attacks
add to the pressure on = attack
puts a second attacker on = attacks
put a second attacker on = attack
puts another attacker on = attacks
put another attacker on = attack
adds an attacker to = attacks
adds a second attacker to = attacks
add an attacker to = attack
adds a defender to = defends
adds another defender to = defends
adds a second defender to = defends
add a defender to = defend
there exist = there are
is gunning for = attacks
gunning for = attacking
guns for = attacks
has tons of = has plenty of
has loads of = has plenty of
has lots of = has plenty of
has heaps of = has plenty of
has a lot of = has plenty of
has bags of = has plenty of
minors = minor pieces
is out for the count = is gone
is history = is gone
are history = are gone
is toast = is gone
one unit = one man
not one unit = not one man
has preserved an extra = has an extra
has preserved the extra = has the extra
has carried an extra = has an extra
has burdened = has left
has encumbered = has left
has afflicted = has left
has handicapped = has left
burdened white with = left white with
burdened black with = left black with
is being chased = is attacked
is being harassed = is attacked
is being bothered = is attacked
most recent move = last move
newest move = last move
bite on = attack
both bite on = attack
w = white
not a soul = nothing
a living soul = anything
a single soul = anything
a soul = anything
at its back = defending it
at his back = defending it
behind its back = defending it
peeks at = looks at
peek at = look at
peeking at = looking at
is peeking at = looks at
peeps at = looks at
peeping at = looking at
is the lucky owner of = has
is the happy owner of = has
is the proud owner of = has
is playing with = has
are playing with = have
has taken on a = has a
has taken on an = has an
have taken on a = have a
have taken on an = have an
has been stopped = is stopped
have been stopped = are stopped
has been blockaded = is blockaded
has been blocked = is blocked
have been blocked = are blocked
has been halted = is halted
open line = open file
open lines = open files
half open line = half open file
half open lines = half open files
have their eye on = eye
have its eye on = eye
both have an eye on = both eye
fianchettoed itself = fianchettoed
did castle = castled
did lose = lost
did win = won
does attack = attacks
do attack = attack
does hit = hits
do hit = hit
does defend = defends
do defend = defend
does protect = protects
do protect = protect
does guard = guards
do guard = guard
does cover = covers
do cover = cover
does control = controls
do control = control
does watch = watches
do watch = watch
does support = supports
do support = support
does pin = pins
do pin = pin
does fork = forks
do fork = fork
does threaten = threatens
do threaten = threaten
does stop = stops
do stop = stop
does prevent = prevents
do prevent = prevent
does block = blocks
do block = block
does occupy = occupies
do occupy = occupy
does hold = holds
do hold = hold
does own = owns
do own = own
does keep = keeps
do keep = keep
does enjoy = enjoys
do enjoy = enjoy
does dominate = dominates
do dominate = dominate
does command = commands
do command = command
team up against = attack
teams up against = attacks
combine against = attack
join forces against = attack
conspire against = attack
work together against = attack
cooperate against = attack
team up on = attack
tension exists = there is tension
solid as a rock = rock solid
has its back = protects it
have its back = protect it
has got its back = protects it
zero cover = no cover
zero defenders = no defenders
zero protection = no protection
zero support = no support
with zero = with no
with no cover = without cover
with no protection = without protection
with no support = without support
with no defender = without defender
with no defenders = without defender
with nobody = without defender
has been left unguarded = is undefended
has been left undefended = is undefended
has been left unprotected = is undefended
has been left unsupported = is undefended
has been left uncovered = is undefended
has been left loose = is undefended
has been left hanging = is hanging
has been left en prise = is hanging
have been left unguarded = are undefended
have been left undefended = are undefended
have been left unprotected = are undefended
left unguarded = undefended
left unprotected = undefended
left unsupported = undefended
left uncovered = undefended
sitting there without = without
is there without = is without
is there unprotected = is undefended
is there undefended = is undefended
is there unguarded = is undefended
at parity = level
on a par = level
on level terms = level
in perfect balance = level
trains its sights on = attacks
trains her sights on = attacks
trains his sights on = attacks
trained its sights on = attacked
has its gaze fixed on = attacks
has its gaze fixed upon = attacks
fixes its gaze on = attacks
keeps its sights on = attacks
has its guns trained on = attacks
the blockader on = the piece on
the intruder on = the piece on
the invader on = the piece on
the sentinel on = the piece on
the occupant of = the piece on
steed = knight
steeds = knights
charger = knight
cavalier = knight
her majesty = queen
is deprived of = is without
has been deprived of = is without
is bereft of = is without
is robbed of = is without
has been robbed of = is without
must do without = is without
has to do without = is without
have to do without = are without
has to manage without = is without
must manage without = is without
holding it together = protecting it
holds it together = protects it
keeping it alive = protecting it
keeps it alive = protects it
propping it up = protecting it
props it up = protects it
pinned along the diagonal to = pinned to
pinned along the file to = pinned to
pinned along the rank to = pinned to
pinned down the file to = pinned to
pinned on the diagonal to = pinned to
pinned on the file to = pinned to
pinned up the file to = pinned to
pinned diagonally to = pinned to
pinned vertically to = pinned to
pinned horizontally to = pinned to
pinned down the diagonal to = pinned to
guardian = defender
guardians = defenders
minder = defender
minders = defenders
bodyguard = defender
bodyguards = defenders
custodian = defender
custodians = defenders
caretaker = defender
helpers = defenders
the one pawn down = one pawn down
the one pawn up = one pawn up
the one pawn ahead = one pawn ahead
the one pawn behind = one pawn behind
the one pawn short = one pawn short
torn open = opened
ripped open = opened
blown open = opened
prised open = opened
cracked open = opened
thrown open = opened
burst open = opened
flung open = opened
has been handed = has
have been handed = have
has been gifted = has
have been gifted = have
has been granted = has
have been granted = have
has been awarded = has
has been presented with = has
has been rewarded with = has
has been allowed = has
has become pinned = is pinned
have become pinned = are pinned
has become isolated = is isolated
has become passed = is passed
has become backward = is backward
has become doubled = are doubled
have become doubled = are doubled
has become open = is open
has become trapped = is trapped
shattered into = split into
torn into = split into
chopped into = split into
cut up into = split into
broken up into = split into
thrown on the fire = sacrificed
file b = b file
b line = b file
line b = b file
file c = c file
c line = c file
line c = c file
file d = d file
d line = d file
line d = d file
file e = e file
e line = e file
line e = e file
file f = f file
f line = f file
line f = f file
file g = g file
g line = g file
line g = g file
file h = h file
h line = h file
line h = h file
controlled from the = controlled by the
controlled from a = controlled by a
controlled from an = controlled by an
controlled from two = controlled by two
controlled from three = controlled by three
controlled from one = controlled by one
controlled from our = controlled by our
controlled from his = controlled by his
controlled from her = controlled by her
controlled from my = controlled by my
controlled from both = controlled by both
controlled from black = controlled by black
controlled from white = controlled by white
defended from the = defended by the
defended from a = defended by a
defended from an = defended by an
defended from two = defended by two
defended from three = defended by three
defended from one = defended by one
defended from our = defended by our
defended from his = defended by his
defended from her = defended by her
defended from my = defended by my
defended from both = defended by both
defended from black = defended by black
defended from white = defended by white
covered from the = covered by the
covered from a = covered by a
covered from an = covered by an
covered from two = covered by two
covered from three = covered by three
covered from one = covered by one
covered from our = covered by our
covered from his = covered by his
covered from her = covered by her
covered from my = covered by my
covered from both = covered by both
covered from black = covered by black
covered from white = covered by white
guarded from the = guarded by the
guarded from a = guarded by a
guarded from an = guarded by an
guarded from two = guarded by two
guarded from three = guarded by three
guarded from one = guarded by one
guarded from our = guarded by our
guarded from his = guarded by his
guarded from her = guarded by her
guarded from my = guarded by my
guarded from both = guarded by both
guarded from black = guarded by black
guarded from white = guarded by white
watched from the = watched by the
watched from a = watched by a
watched from an = watched by an
watched from two = watched by two
watched from three = watched by three
watched from one = watched by one
watched from our = watched by our
watched from his = watched by his
watched from her = watched by her
watched from my = watched by my
watched from both = watched by both
watched from black = watched by black
watched from white = watched by white
nobody of the = none of the
nobody of his = none of his
nobody of her = none of her
nobody of our = none of our
nobody of my = none of my
nobody of white = none of white
nobody of black = none of black
nothing of the = none of the
nothing of his = none of his
nothing of her = none of her
nothing of our = none of our
nothing of my = none of my
nothing of white = none of white
nothing of black = none of black
has the one bishop = has one bishop
has the one knight = has one knight
has the one rook = has one rook
has the one pawn = has one pawn
has the one queen = has one queen
minds = covers
minding = covering
is minding = covers
are minding = cover
minded by = covered by
nurses = has
upon = on
to the bad = down
is the richer by = is up
is richer by = is up
are the richer by = are up
is the poorer by = is down
is poorer by = is down
are the poorer by = are down
stapled to = pinned to
nailed to the = pinned to the
nailed to his = pinned to his
nailed to her = pinned to her
nailed to our = pinned to our
nailed to its = pinned to its
glued to the king = pinned to the king
glued to the queen = pinned to the queen
glued to his = pinned to his
glued to her = pinned to her
glued to its = pinned to its
glued to our = pinned to our
riveted to the = pinned to the
riveted to its = pinned to its
riveted to his = pinned to his
riveted to our = pinned to our
fastened to = pinned to
welded to = pinned to
held fast by = pinned by
held fast to = pinned to
held down by = pinned by
pinned fast = pinned
left to its fate = undefended
left to his fate = undefended
left to their fate = undefended
left to fend for itself = undefended
left to fend for themselves = undefended
left in the lurch = undefended
left out in the cold = undefended
abandoned to its fate = undefended
home alone = undefended
unattended = undefended
unescorted = undefended
undefended by anything = undefended
free for the taking = hanging
ripe for the taking = hanging
ripe for picking = hanging
ripe for plucking = hanging
a sitting duck = hanging
a sitting target = hanging
hanging loose = hanging
hanging out to dry = hanging
hung out to dry = hanging
for the taking = there for the taking
asking to be taken = hanging
begging to be taken = hanging
crying out to be taken = hanging
staring down at = staring at
stares down at = stares at
stare down at = stare at
staring down = staring at
glaring down at = glaring at
glares down at = glares at
gazing down at = gazing at
gazes down at = gazes at
peering down at = peering at
peers down at = peers at
looking down at = looking at
looking over at = looking at
looks over at = looks at
looking up at = looking at
looks up at = looks at
looking across at = looking at
looks across at = looks at
king 's file = e file
queen 's file = d file
king 's bishop 's file = f file
king bishop 's file = f file
king bishop file = f file
queen 's bishop 's file = c file
queen bishop 's file = c file
queen bishop file = c file
king 's knight 's file = g file
king knight 's file = g file
king knight file = g file
queen 's knight 's file = b file
queen knight 's file = b file
queen knight file = b file
king 's rook 's file = h file
king rook 's file = h file
king rook file = h file
king 's bishop 's pawn = f pawn
king bishop 's pawn = f pawn
queen 's bishop 's pawn = c pawn
queen bishop 's pawn = c pawn
king 's knight 's pawn = g pawn
king knight 's pawn = g pawn
queen 's knight 's pawn = b pawn
queen knight 's pawn = b pawn
king 's rook 's pawn = h pawn
king rook 's pawn = h pawn
royal pair = king and queen
royal couple = king and queen
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
    if verb in {"have", "be"}:
        return "has" if verb == "have" else "is"
    if verb.endswith("y") and verb[-2] not in "aeo":
        return f"{verb[:-1]}ies"
    return f"{verb}es" if verb.endswith(("s", "sh", "ch")) else f"{verb}s"


_VERBS = """
attack = poke, prod, bother, annoy, pester, nag, hassle, molest, besiege, assault, nibble at, snipe at, lay siege to,
    gang up on, pressurise, pressurize, put the squeeze on, take a swipe at, shoot at, prick, beset, harry, badger, heckle,
    bang on, hammer, hammer on, hammer at, hammer away at, lean on, leer at, ogle, gnaw at, nip at, peck at, pick on, have a go at,
    needle, jab at, tickle, take potshots at, fire on, press upon, lunge at, breathe down on, tug at, bite at, train its guns on,
    level its guns at, sink its teeth into, get its teeth into, make pressure on, exercise pressure on, apply pressure to,
    apply pressure on, bring pressure to bear on, bring pressure on, pile pressure on, keep up pressure on, maul, buzz, sniff at, poke at, prod at, clobber
cover = look after, take care of, watch over, stand guard over, keep guard over, back up, prop up, shore up, stand by,
    care for, babysit, bolster, buttress, underpin, chaperone, lend support to, give support to, give protection to,
    keep watch over, keep tabs on, take under its wing, give cover to, vouch for, uphold, sustain, bodyguard, keep safe,
    take good care of, stick up for, insure, stand sentinel over, stand sentry over, mount guard over, see to, keep a hand on,
    keep a watchful eye on, guarantee, minister to, give a helping hand to, come to the aid of, come to the help of, come to the rescue of,
    spring to the defence of, rush to the defence of, hold the hand of, keep covered, keep protected, keep defended, keep guarded
give up = hand over, part with, surrender, concede, relinquish, let go of, sign away, trade in
capture = eat, gobble, gobble up, munch, nab, snap off, snap up, pick off, chop off, swallow, devour, hoover up,
    whip off, lop off, scoff, bag, gulp down, scoop up, nick, pinch, slaughter
"""
_IRREGULAR = {"take": "taken", "stand": "stood", "keep": "kept", "lay": "laid", "give": "given", "put": "put",
              "eat": "eaten", "shoot": "shot", "lend": "lent", "babysit": "babysat", "let": "let",
              "uphold": "upheld", "hold": "held", "beset": "beset", "get": "got", "sink": "sunk", "bring": "brought", "see": "seen",
              "come": "come", "stick": "stuck", "bite": "bitten", "spring": "sprung", "have": "had", "buzz": "buzzed"}  # fmt: skip


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


_HAVERS = (
    "boast of, rejoice in, delight in, glory in, revel in, pride on, congratulate on, congratulate upon, lay claim to, flaunt, "
    "show off, wield, labour under, labor under, groan under, be proud of, dispose over, be favoured with, be favored with, "
    "be graced with, be rewarded with, be cursed with, be landed with, be encumbered with, be hampered by, be handicapped by, be afflicted by, "
    "be plagued by, be plagued with, limp along with, struggle with, wrestle with, contend with, be left nursing, be left holding, be the possessor of, "
    "be the proud possessor of, be in possession of, can boast, can boast of, secure, secure to, procure, be vested with, be provided with, dispose of, "
    "feature, harbour, harbor, be stuck nursing, be carrying, have to nurse, be favoured by, be weakened by, be disfigured by, be marred by, "
    "be spoiled by, be spoilt by, be left clutching"
).split(", ")
"""Verbs for "to have" of chattels of a position; "himself" behind them is left out before."""

_POSSESSION = (
    "the possession of, possession of, the ownership of, the advantage of, the benefit of, the luxury of, the burden of, "
    "the handicap of, the weakness of, the privilege of, the use of, the services of"
).split(", ")


def _having_lines() -> Iterator[str]:
    """The verbs for "to have" in all their forms, with and without "the possession of"."""
    for verb in ("has", "have", "enjoys", "enjoy", "retains", "keeps", "has retained", "has kept"):
        own = "have" if verb in {"have", "enjoy"} else "has"
        yield from (f"{verb} {tail} = {own}" for tail in _POSSESSION)
    often = {
        "boast of",
        "rejoice in",
        "congratulate on",
        "congratulate upon",
        "delight in",
        "glory in",
        "pride on",
        "labour under",
        "secure",
        "secure to",
    }
    for verb in _HAVERS:
        head, _, rest = verb.partition(" ")
        tail = f" {rest}" if rest else ""
        if head == "be":
            forms = {
                f"is{tail}": "has",
                f"are{tail}": "have",
                f"has been{tail}": "has",
                f"have been{tail}": "have",
            }
        elif head == "can":
            forms = {verb: "has", f"could{tail}": "has", f"may{tail}": "has", f"might{tail}": "has"}
        else:
            said = inflected(verb)
            forms = {said["third"]: "has", said["plain"]: "have", f"is {said['doing']}": "has", f"are {said['doing']}": "have",
                     f"has {said['past']}": "has", f"have {said['past']}": "have"}  # fmt: skip
            forms |= {f"{can} {said['plain']}": "has" for can in ("can", "may", "must")}
        for form, plain in forms.items():
            yield f"{form} = {plain}"
            if verb in often:
                yield from (f"{form} {more} = {plain}" for more in _POSSESSION)


def _men_lines() -> Iterator[str]:
    """Nouns for the men of a side, where it is told whose they are."""
    for whose in ("white", "black", "enemy", "our", "his", "her", "my", "your", "their"):
        for men in (
            "guys",
            "fellows",
            "chaps",
            "lads",
            "soldiers",
            "troops",
            "bodies",
            "figures",
            "boys",
            "warriors",
            "fighters",
            "blokes",
            "dudes",
        ):
            yield f"{whose} {men} = {whose} men"
            yield f"{whose} {men.removesuffix('s')} = {whose} man"


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


def _lines_by_first() -> dict[str, list[str]]:
    """The lines of the tables under the word they begin with."""
    found: dict[str, list[str]] = {}
    for line in (*_SAME.strip().splitlines(), *_verb_lines(), *_having_lines(), *_men_lines()):
        found.setdefault(line.partition(" ")[0], []).append(line)
    return found


_LINES = _lines_by_first()
SAME_FIRSTS = _LINES.keys()
"""The words with which runs of words begin that others stand for."""


@cache
def same(first: str) -> dict[str, Runs]:
    """The runs that begin with a word, under their second word ("" where there is none).

    Cost: each is read when a text has its first word, for most texts have few of them.
    """
    pairs = (line.split(" = ") for line in _LINES[first])
    runs = [(tuple(said.split()), tuple(meant.split())) for said, meant in pairs if said != meant]
    found: dict[str, Runs] = {}
    for run in sorted(runs, key=lambda run: -len(run[0])):
        second = run[0][1] if len(run[0]) > 1 else ""
        found[second] = (*found.get(second, ()), run)
    return found


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
    "lucky naughty merry fortunate jolly plucky gallant doughty noble stubborn rebellious reckless restless playful mischievous "
    "healthy solid nice dangerous beautiful lovely wonderful terrible awful ugly proud brave famous tiny huge "
    "nasty annoying awkward comfortable useful harmless splendid glorious magnificent fantastic marvellous superb gorgeous "
    "impressive unpleasant painful precious important sad lazy monster juicy cute sneaky cheeky clever mighty sturdy "
    "robust stout dear notorious celebrated classic classical textbook thematic typical superfluous brilliant "
    "horrible horrid dreadful miserable menacing mean pesky trusty faithful loyal humble cheerful venomous fearsome formidable "
    "imposing handsome pleasant cosy snug delicate poisonous greedy cunning crafty wicked vicious deadly big grand great "
    "unfortunate sorry wretched tremendous enormous massive colossal gigantic whopping pretty neat tidy curious strange odd "
    "interesting".split()
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
