"""Numbered moves that the words forbid or set beside the played one: "never 3.Nc3".

Such a move is shown for what is wrong with it; the line goes on from the played one. Whether the
moves behind it show what is wrong or go on with the line, the board says first, then the words.
"""

from __future__ import annotations

import re

from linewright.expressions import expression

_SHORT = "do does did is was has have had must should can could would will need".split()
_NOT = rf"(?:not|never|cannot|(?:{'|'.join(_SHORT)})n['’]t)"
_PLAYING = (
    r"(?:play|choose|choos|chose|chosen|go|goes|went|try|tri|take|tak|took|push|consider|want|like|"
    r"recommend|advise|advis|suggest|use|us|adopt|answer|reply|repli|respond|continue|continu|"
    r"start|begin|"
    r"move|mov|make|mak|put|rush|hurry|hurri|think|dream|bother|opt|switch|castle|castl|copy|copi|"
    r"fall|fell|capture|captur|recapture|recaptur|retreat|exchange|exchang|trade|trad|develop|"
    r"be tempted|be lured|be tricked)(?:s|es|d|ed|ing|ning|ting)?"
)
_LEADS_ON = (
    r"(?:to|for|with|into|by|of|about|in|on|back|it|here|there|now|then|ever|even|"
    r"again|at once|please|simply|first|therefore|however|instead|\w+ly)"
)
_OBJECT = (
    r"(?:the|an?|this|that|his|her|our|my|your|their|[\w]+['’]s)"
    r"(?: (?!(?:only|bad|worse|worst|wrong)\b)[\w'’-]+){0,3}"
)
_BESIDE = (
    r"(?:(?<!not )(?<!never )(?<!cannot )(?<!n't )(?<!n’t )avoid(?:s|ed|ing)?|"
    r"refrain(?:s|ed)? from|instead of|rather than|in place of|as opposed to)"
)
_OVERLOOKED = (
    r"(?:miss|overlook|forget|forgett|ignor|ignore|fear|underestimat|underestimate|worry)(?:s|ing)?"
)
_FORBIDS = expression(
    rf"(?:\b{_NOT}(?: (?:{_PLAYING}|{_LEADS_ON})){{0,6}}(?: {_OBJECT})?"
    rf"|\b{_BESIDE}(?: (?!{_OVERLOOKED}\b)[\w'’-]+){{0,4}}"
    r"(?: (?:that|which)(?: [\w'’-]+){1,3})?) ?[*_`(]*$",
    re.IGNORECASE,
)
"""Before a move: it is not to be played, or is not what was played. Behind "not" only verbs of
playing are read: of any other ("never regret", "cannot prevent") the move may well be played."""
_SAID = r"(?:all )?(?:this|that|it|these|those)"
_DOING = (
    r"(?!bring |king |wing |(?:no|any|some|every)?thing |(?:let|mak|see|watch|hear|think|hop|believ"
    r"|assum|fear|say|suppos|expect|imagin)ing )[a-z]+ing(?: [a-z]+s)?"
)
_OPENS_CLAUSE = r"(?:which|who|what|that|where|when|how|as|and)"
_SHALL = r"(?:can|could|will|would|may|might|must|should|has|had|is|was|chose|took|went|made|\w+ed)"
_SUBJECT_AND_VERB = (
    rf"(?:(?:White|Black|he|she) (?:\w+ly )?(?:{_SHALL}|\w+(?<!s)s(?!['’]))\b"
    r"|(?:we|I|they|you) (?!(?:the|an?|to|of|in|on|with|by|for|and|or|at|from|into|no|any|some"
    r"|this|that|our|your|his|her|their|its)\b)\w)"
)
_COMES = r"(?:is|was|comes|came|goes|went|follows|works)"
_TOLD = r"(?:play|choose|prefer|consider)"
_CLAUSE_BEGINS = expression(
    rf"^{_BESIDE} (?!all that \w+$)(?:{_SAID}|{_DOING})"
    rf" (?={_SUBJECT_AND_VERB}|{_COMES}\b|{_TOLD}\b)"
    rf"|^{_BESIDE} {_SAID} (?=(?:with|by)\b)"
    rf"|^{_BESIDE} (?:(?!{_OPENS_CLAUSE}\b)[\w'’-]+ )+(?={_COMES}$)"
    rf"|^{_BESIDE} {_SAID} (?:[\w'’-]+ )+(?={_COMES}$)"
    r"|\b(?=but\b)|(?:(?<!s )|(?<=\bthis ))\b(?=and \w+(?<!s)s\b(?!['’]))",
    re.IGNORECASE,
)
"""Where behind the words that forbid a clause of its own begins, which leads to the move that is
played: "instead of this | we play", "does not want that | and chooses", "to avoid it | with". What
is put aside must be told whole: behind "taking" a subject alone may be what is taken, and behind
"the line that" or "the move we" all is told of the forbidden move itself."""
_FOR_THE_SAKE = expression(r"(?:^|[,(—–])\s*(?:in order |so as )?to $", re.IGNORECASE)
_DONE_FOR_IT = expression(
    rf"^avoid (?:(?!{_OPENS_CLAUSE}\b)[\w'’-]+ )+?(?={_SUBJECT_AND_VERB})", re.IGNORECASE
)
"""What is done to avoid something: "to avoid the pin | we play"."""
_AVOID_THAT = expression(r"^(?:avoid\w*|refrain\w* from) that (?!and\b|with\b|by\b)", re.IGNORECASE)
"""What is to be avoided is told in a clause: "avoid that White plays"."""
_ASKS = expression(r"\bwhy\b", re.IGNORECASE)
_SET_BESIDE = expression(
    r"^[\s,–—-]*(?:and |but )?(?:not|never|instead of|rather than|in place of|as opposed to)\s+"
    r"[*_`]*$",
    re.IGNORECASE,
)
"""All that stands between the played move and the one set beside it."""
_SENTENCE = expression(r"[.!?;](?=\s|$)")
_STOP = expression(r"[.!?][\"”’)*_]*(?=\s|$)")
_BEGINS_ANEW = expression(r"\s+(?=[A-Z])")
_SHOWS_WHY = expression(
    r"^(?:\s*:|[\s,–—-]*(?:\w+ly |just )?"
    r"(?:which|where|because|since|as|for|when|whereupon|due|in view|on account|with)\b)"
    r"|\b(?:would|could|might)\b|['’]d\b",
    re.IGNORECASE,
)
_WOULD = expression(r"\b(?:would|could|might)\b|['’]d\b", re.IGNORECASE)
"""What leads from a forbidden move to its refutation, in its sentence and in the next."""


def forbids(before: str) -> bool:
    """Whether the words before a move forbid it or say that another is played.

    >>> [forbids(words) for words in ("We wait. Never", "Do not play", "3.Nd2, not", "Why not")]
    [True, True, True, False]
    >>> forbids("You will not regret"), forbids("It is not as good as")
    (False, False)
    >>> forbids("Instead of this we play"), forbids("Instead of playing the greedy")
    (False, True)
    """
    sentence = _SENTENCE.split(" ".join(before.split()))[-1]
    if not (found := _FORBIDS.search(sentence)) or _ASKS.search(sentence):
        return False
    clause = _CLAUSE_BEGINS.search(found[0])
    if clause is None and _FOR_THE_SAKE.search(sentence[: found.start()]):
        clause = _DONE_FOR_IT.match(found[0])
    if clause is None or _AVOID_THAT.match(found[0]):
        return True
    return bool(_FORBIDS.search(found[0][clause.end() :]))


def sets_beside(between: str) -> bool:
    """Whether nothing but such words stands between a move and the one played.

    >>> sets_beside(", not "), sets_beside(" instead of "), sets_beside(" waits. Never ")
    (True, True, False)
    """
    return bool(_SET_BESIDE.match(between))


def sentence_end(behind: str, marked: bool) -> int | None:
    """Where the sentence ends in words behind a move, or None; `marked` if the move has a `?` or
    `!`, which may end it too.

    >>> sentence_end(", which is slow. Now", False), sentence_end(" Now", True)
    (16, 1)
    """
    if marked and (anew := _BEGINS_ANEW.match(behind)):
        return anew.end()
    stop = _STOP.search(behind)
    return stop.end() if stop else None


def shows_why(words: str, same_sentence: bool) -> bool:
    """Whether words lead from a forbidden move to what is wrong with it.

    >>> shows_why(", because of", True), shows_why(" Now Black has", False)
    (True, False)
    """
    return bool((_SHOWS_WHY if same_sentence else _WOULD).search(words))


__all__ = ["forbids", "sentence_end", "sets_beside", "shows_why"]
