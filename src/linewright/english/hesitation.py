"""What a speaker puts in to win time, taken out: "the e-file is, I think, open" says that it is.

Sounds ("um"), turns of speech between commas ("let me see", "folks") and "I reckon" before what is
said change nothing of it; what is taken back ("three, no wait, four") is not said at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from linewright.english.words import Token

SOUNDS = frozenset("um umm uhm uh uhh er erm err hmm hm mm mmm ahem".split())
"""Sounds, left out wherever they stand."""

ASIDES = """
i think; i believe; i would say; i should say; i suppose; i guess; i reckon; i fancy; i daresay; i dare say; i presume; i imagine;
i would imagine; i should imagine; i would think; i should think; i would guess; i take it; i gather; i assume; i would suggest; i would argue;
i am afraid; i am glad to say; i am sorry to say; i must say; i must admit; i admit; i confess; i hasten to add; i promise; i swear; i am told;
if i am not mistaken; if i am not wrong; if i am right; if i see it rightly; if i see it right; if i see correctly; if i may say so; if i may;
if i count right; if i count rightly; if i count correctly; if i have counted right; if i have counted rightly; if i have counted correctly;
if i am counting right; if memory serves; if you ask me; if you like; if you will; unless i am mistaken; unless i am blind; unless i am wrong;
unless i am missing something; unless i have miscounted; unless i am dreaming; as far as i can see; as far as i can tell; as far as i know;
from what i can see; from where i sit; to my mind; in my opinion; in my view; to my eyes; let me see; let us see; let me think; let me look;
let me check; let me count; what; how shall i put it; how shall i say; how to say; shall we say; let us say; should we say; so to say; so to speak; as it were;
well; oh; oh dear; dear me; my word; alas; hang on; hold on; wait; right; okay; ok; yes; yeah; you know; you see; you understand; mind you; like; say;
it seems; it would seem; it appears; it would appear; so it seems; as it seems; apparently; evidently; surely; certainly; no doubt; without doubt;
folks; friends; my friends; dear friends; ladies and gentlemen; dear listeners; dear listener; dear reader; dear readers; dear viewers; guys; kids;
boys and girls; everybody; everyone; people; mates; class; children; dear pupils; my dear; sir; gentlemen; colleagues; dear colleagues;
believe me; trust me; believe it or not; as luck would have it; as you may have noticed; as you will have noticed; as you will notice; as you notice; as we all know;
as we speak; as i said; as i say; as i told you; as said; as mentioned; as noted; as usual; as ever; as always; as expected; as planned; of course; naturally;
incidentally; by the way; by the by; for what it is worth; truth be told; to tell the truth; to be honest; to be frank; to be fair; honestly; frankly;
albeit for a moment; albeit briefly; albeit temporarily; for the moment; for the time being; at least for now; for now; at least for the moment;
on the other hand; for his part; for her part; for its part; for their part; for my part; on its part; in turn; in his turn; by contrast; by the same token; at the same time; in other words;
meanwhile; however; therefore; too; also; moreover; indeed; in fact; for instance; for example; in addition; after all; on balance; at present; at the moment;
at this point; in short; as a result; thus; hence; nevertheless; nonetheless; by now; of late; in the meantime; for good measure; into the bargain;
note well; mark you; mark my words; nota bene; please note; note this; remember; do not forget; notice; look; look here; see; listen
"""

OPENINGS = """
i think; i believe; i would say; i should say; i suppose; i guess; i reckon; i fancy; i daresay; i presume; i imagine; i would imagine; i should imagine;
i would think; i should think; i would guess; i take it; i gather; i assume; i am sure; i am fairly sure; i am pretty sure; i am quite sure; i am almost sure;
i am certain; i am fairly certain; i am pretty certain; i am quite certain; i am confident; i am convinced; i am positive; i am inclined to say;
i am inclined to think; i am tempted to say; i dare say; i would have thought; i would venture; i would venture to say; i would go so far as to say;
we may say; we can say; one may say; one can say; one could say; you could say; you might say; it is fair to say; it is safe to say; it must be said;
i have to say; i must say; i must admit; i want to point out; i would point out; i should point out; i would add; i might add; i notice; i note; i see; i make it;
my impression is; my feeling is; my count says; my eyes tell me; as far as i can see; as far as i can tell; unless i am mistaken; if i am not mistaken;
if i see it rightly; if i have counted right; if i have counted correctly; if i count right; by my reckoning; to my mind; in my opinion; in my view;
what i see is; what we see is; what is clear is; what matters is; what is certain is; what strikes me is; what strikes the eye is; it strikes me;
the thing is; the point is; the fact is; the truth is; fact is; truth is; point is; thing is; no question; no doubt; no doubt about it; it is no secret
"""

TAKEN_BACK = """
no wait; no , wait; no hang on; no , hang on; no hold on; no , hold on; wait no; wait , no; no sorry; no , sorry; sorry , no; scratch that; scrap that;
no let me count; no , let me count; no let me see; no , let me see; no let me think; no , let me think; no let me check; no , let me check;
no let me look; no , let me look; no let me start again; no , let me start again; no i mean; no , i mean; or rather; i mean no; correction; no , correction; i tell a lie; no , not that; strike that
"""

_STOPS = frozenset([",", "—", "–", "--", "…", "...", "(", ")", ";", ":"])
_CALLS = frozenset(
    "look see listen remember notice note mark please do yes no hang hold wait".split()
)
"""Asides that call for attention part two clauses, so a comma stays."""
_REPLIES = frozenset("yes yeah right of certainly surely naturally apparently okay ok".split())
"""At the beginning these answer what was asked."""
_JOINTS = frozenset("and but so because as since while though although for well now".split())


def _by_first(runs: str) -> dict[str, tuple[tuple[str, ...], ...]]:
    """Runs of words under the word they begin with, longest first."""
    found: dict[str, list[tuple[str, ...]]] = {}
    for run in runs.replace("\n", " ").split(";"):
        words = tuple(run.split())
        found.setdefault(words[0], []).append(words)
    return {first: tuple(sorted(many, key=len, reverse=True)) for first, many in found.items()}


_ASIDES, _OPENINGS, _TAKEN_BACK = map(_by_first, (ASIDES, OPENINGS, TAKEN_BACK))


def without_hesitation(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens of a sentence without what only wins time, and without what is taken back.

    >>> from linewright.english.words import read_words
    >>> " ".join(t.text for t in without_hesitation(read_words("White, um, has, I think, castled.")))
    'white has castled .'
    """
    kept = [t for t in tokens if t.text not in SOUNDS]
    if len(kept) < len(tokens):
        kept = _without_doubled_stops(kept)
    kept = _after_taking_back(kept)
    at = 0
    while at < len(kept):
        if length := _opening(kept, at) or _aside(kept, at):
            first, last = at, at + length
            calls = kept[at].text in _CALLS
            if at and kept[at - 1].text in _STOPS and last < len(kept) and not calls:
                first -= 1
            del kept[first:last]
            at = max(first, 0)
            continue
        at += 1
    return tuple(kept)


def _says(tokens: Sequence[Token], at: int, runs: Iterable[tuple[str, ...]]) -> int:
    """How many tokens the longest of the runs takes at a place; 0 where none stands there."""
    for run in runs:
        if tuple(t.text for t in tokens[at : at + len(run)]) == run:
            return len(run)
    return 0


def _aside(tokens: Sequence[Token], at: int) -> int:
    """How many tokens an aside takes with the stop behind it, if stops stand on both sides of it."""
    length = _says(tokens, at, _ASIDES.get(tokens[at].text, ()))
    if not length or (at and tokens[at - 1].text not in _STOPS):
        return 0
    behind = tokens[at + length].text if at + length < len(tokens) else ""
    if at == 0:
        if tokens[0].text in _REPLIES:
            return 0
        return length + 1 if behind in _STOPS - {":"} else 0
    if behind in _STOPS:
        return length + 1
    ends = behind in {"", ".", "!"}
    return length if ends and at > 1 else 0


def _opening(tokens: Sequence[Token], at: int) -> int:
    """How many tokens "I'm fairly sure that" takes where a clause begins."""
    begins = at == 0 or tokens[at - 1].text in _JOINTS
    length = _says(tokens, at, _OPENINGS.get(tokens[at].text, ())) if begins else 0
    if not length:
        return 0
    behind = tokens[at + length].text if at + length < len(tokens) else ""
    if behind in {"", ".", "!", "?", "so", "not", "of", "about"}:
        return 0
    return length + (behind in {"that", ",", ":"})


def _after_taking_back(tokens: list[Token]) -> list[Token]:
    """What stands behind the last "no, wait"."""
    for at in range(len(tokens) - 1, 0, -1):
        length = _says(tokens, at, _TAKEN_BACK.get(tokens[at].text, ()))
        if length and tokens[at - 1].text in _STOPS:
            rest = tokens[at + length :]
            while rest and rest[0].text in _STOPS:
                rest.pop(0)
            return rest
    return tokens


def _without_doubled_stops(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the two commas that stood about a sound."""
    kept: list[Token] = []
    for token in tokens:
        if kept and kept[-1].text in _STOPS and token.text in _STOPS:
            kept.pop()
            continue
        kept.append(token)
    return kept[1:] if kept and kept[0].text in _STOPS else kept
