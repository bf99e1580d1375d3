"""How often and how well a move is played, and whether that changes: asked of the collection.

Definitions: frequency and score are those of the games of the lesson's collection that reached the
position; a score is given with its number of games. Without a collection the answer is "cannot
tell".

    after 1.e4 e5 2.Nf3:
        cannot tell: Nc6 is the commonest move
        cannot tell: Black scores well
        cannot tell: White scores 55 percent
        cannot tell: most players choose Nc6
        cannot tell: Nf6 is becoming more popular
        cannot tell: this move is rarely played
        cannot tell: Black plays Nc6 most often
        cannot tell: nobody has ever played Nh6
        cannot tell: most of our members play Nc6
        left alone: the commonest mistake is impatience
        left alone: Ann plays Nc6 most often
        left alone: White plays Nc6 most often
        left alone: nobody has ever played Nh6 and won
        left alone: many players like open games
"""

from __future__ import annotations

from linewright.judging import Fact, Pattern, Said

FAMILY = "frequency"


def _asked(said: Said, question: str) -> Fact:
    tally = said.place.judges.tally
    if tally is None:
        return Fact(None, "needs a collection")
    found: Fact | None = tally(said, question)
    return found or Fact(None, "the collection does not decide it")


def frequency(said: Said) -> Fact | None:
    """How often a move is played; of a move that the lesson goes on with as its main line, nothing."""
    if said.place.judges.tally is None and _is_the_lessons(said):
        return None
    return _asked(said, "frequency")


def most_often(said: Said) -> Fact | None:
    """How often a side plays a move of its own; of a move of the other side, nothing."""
    if "side" in said and "move" in said:
        played = said.played()
        if played is not None and played.colour is not said.side():
            return None
    return frequency(said)


def by_nobody(said: Said) -> Fact | None:
    """Whether a move is in none of the games, where nobody is said to have played it."""
    words = said.original.lower()
    return _asked(said, "frequency") if words.startswith(("nobody", "no one", "none")) else None


def _is_the_lessons(said: Said) -> bool:
    """Whether "the main line" may be the lesson's own: the move has just been played in it."""
    played = said.played() if "move" in said and "main line" in said.original.lower() else None
    last = said.place.last()
    return bool(played and last and played.after == last.after)


def score(said: Said) -> Fact:
    """How well a side does."""
    return _asked(said, "score")


def trend(said: Said) -> Fact:
    """Whether a move is played more or less often than it was."""
    return _asked(said, "trend")


_MOST = (
    r"(?:by far |still |easily )?(?:the )?(?:(?:second |third )?(?:commonest|most (?:common|popular|frequent|usual|played|frequently played|often "
    r"played)|main|usual|normal|standard|principal|popular|rarest|least common|common|rare)|favourite)"
)
_THING = r"(?:moves?|replies|reply|answers?|choices?|continuations?|responses?|line|option|lines|variation|one|recapture|retreat|capture|defence|development|main line)(?: of .*)?"
PATTERNS = (
    Pattern(
        rf"(?:{{move}}|it|this|this move) (?:is|remains|was) {_MOST} {_THING}(?: (?:here|at this level|by far|among \w+ \w+|for {{side}}))?",
        frequency,
        usual=True,
    ),
    Pattern(
        rf"(?:the|{{own}}) (?:(?:second |third )?commonest|most (?:common|popular|frequent|usual|played|frequently played)|rarest|usual|normal|standard|main) "
        rf"{_THING} (?:here )?(?:is|remains) {{move}}",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:{move}|this move|it|this) (?:is|gets|has been) (?:very |quite |extremely |the most |much |almost )*(?:often|rarely|seldom|frequently|usually|"
        r"commonly|hardly ever|never|always|sometimes|occasionally|regularly)? ?(?:often|rarely|seldom|most often|frequently)? ?(?:played|seen|chosen|met|"
        r"tried|encountered)(?: (?:here|at club level|at this level|in practice|by \w+ \w+|most often|more often than {move2}|{number} times))?",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:{move}|this move|it) (?:is|remains) (?:very |quite |extremely |rather )*(?:popular|rare|common|unpopular|fashionable|unusual|uncommon|"
        r"out of fashion)",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:most|many|few|nearly all|almost all|half of the|the majority of|the vast majority of|hardly any|a third of|two thirds of|about half of the) "
        r"(?:of (?:the|G.|these) )?(?:club |strong |club's |other )?(?:members|players|opponents|people|pupils|masters|grandmasters|amateurs|beginners|students|games) "
        r"(?:play|choose|go|prefer|continue with|reply with|answer with|reply|opt for|take|castle|continue|capture) (?:for |with )?(?:{move}|here)",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:{side}|(?:the )?(?:players|members|masters|pupils|students|opponents)|people|everyone|everybody|they) (?:plays?|chooses?|replies|answers|continues|goes) (?:with |for )?{move} most often",
        most_often,
        usual=True,
    ),
    Pattern(
        r"(?:S.|none of (?:the|G.|these) \w+) (?:(?:has|have) (?:ever |yet )?|ever |yet )"
        r"(?:played|chosen|chose|tried|answered with|gone for) {move}(?: yet)?(?: against S.| here)?(?! (?:against|here|yet|and|but|with|well|better|worse|badly|without|so|as)\b)",
        by_nobody,
        usual=True,
    ),
    Pattern(
        r"{side} (?:usually|normally|often|mostly|almost always|rarely|sometimes|generally) (?:plays?|chooses|replies|answers|continues|goes) (?:with |for )?{move}",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:in )?(?:about |around |roughly |nearly |over |almost |only )*{number} (?:%|percent|per cent)?(?: of (?:the |all )?(?:players|games|opponents|cases))? "
        r"(?:play|choose|continue with|go for|see|have|follow with) {move}",
        frequency,
        usual=True,
    ),
    Pattern(
        r"{move} (?:is|has been) (?:played|seen|chosen|tried) in (?:about |around |roughly |nearly |over |almost |only )*{number} (?:%|percent|per cent|out of|of|games).*",
        frequency,
        usual=True,
    ),
    Pattern(
        r"(?:{side}|{move}|it|this move|this line) (?:scores?|is scoring|has scored|does|performs?) (?:very |quite |extremely |rather |really |surprisingly |"
        r"remarkably |slightly |much |significantly |a little )*(?:well|badly|poorly|better|worse|heavily|best|disappointingly|above average|below average|"
        r"excellently|splendidly|decently|best of all)(?: (?:here|in practice|with {move2}|for {side2}|than {move3}|in this line|after {move4}))*",
        score,
        usual=True,
    ),
    Pattern(
        r"(?:{side}|{move}|it|this move) (?:scores?|is scoring|has scored|wins?) (?:about |around |roughly |nearly |over |almost |only |just |a |under |more than |"
        r"less than )*(?:{number}|(?P<half>half|most|more than half)) ?(?:%|percent|per cent|points|of the (?:games|points|time)|out of .*|plus)?(?: (?:here|with {move2}|in "
        r"practice|of the games|of games|of the points))*(?<=[a-z%])",
        score,
        usual=True,
    ),
    Pattern(
        r"{side} {have} (?:a )?(?:good|bad|poor|excellent|plus|terrible|fine|great|healthy|better|positive|negative) (?:score|record|results|statistics|percentage)",
        score,
        usual=True,
    ),
    Pattern(
        r"{side} (?:wins|loses|win|lose) (?:more often|most of the time|more games)(?: than .*)?",
        score,
        usual=True,
    ),
    Pattern(
        r"(?:the )?(?:statistics|results|numbers|scores) (?:favou?r|are good for|speak for|are better for|are with) {side}",
        score,
        usual=True,
    ),
    Pattern(
        r"(?:{move}|this move|it|this line|the line|the variation) (?:is|has been|has become|have become) (?:becoming |getting |growing |gaining )?(?:more and more |ever more |"
        r"increasingly |less and less |less |more |much more |in )?(?:popular|fashionable|common|rare|popularity|on the rise|in decline|out of fashion|in fashion|played)"
        r"(?: (?:in recent years|recently|lately|these days|nowadays|than .*|every year|since .*))?",
        trend,
        usual=True,
    ),
    Pattern(
        r"(?:the )?(?:popularity|share|score) of {move} (?:is|has been|has) (?:rising|falling|growing|declining|risen|fallen|grown|doubled|shrunk).*",
        trend,
        usual=True,
    ),
    Pattern(
        r"{side} (?:takes|captures|plays|castles|recaptures|goes)[^,;.]* in {number} games? out of {number2}",
        frequency,
        usual=True,
    ),
)
