"""Clauses brought to plain order: "it's the knight that hits e5" is read as "the knight hits e5".

The families of statements are written for plain clauses: subject, verb, object, place. What stands
in another order, is put off by "there is", cut up by an aside or said with a longer verb is read
here in the plain order as well. `TABLE` lists the ways: an example with the plain clause it is
read as, and below it the rule over normal forms (`linewright.english.phrases`). A rule is tried at
the beginning of a clause, and once more on what another rule has made.

In a rule ``<who>`` is a side or a piece, ``<piece>``, ``<side>``, ``<whose>``, ``<thing>`` (piece
or square) and ``<n>`` (a number) are phrases, ``<it>`` is a pronoun, ``<us>`` "we", ``<whole>`` "nothing" or the like, ``<verb>`` one of the verbs
that say what a piece does, ``<doing>`` its "-ing" form, put as "hits" or, where the plain clause
says ``<do>``, as "hit"; ``<act>`` is a verb and ``<past>`` a past one, put as "hits" for ``<acts>``; ``<what>`` is any run of words without a stop, ``<rest>`` everything up to
the end of the sentence and ``<end>`` the end of a clause.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from linewright._core import Wordings
from linewright.english.phrases import FIRST_MARK, Phrase
from linewright.english.wording import DOING, inflected, third_person
from linewright.expressions import expression

TABLE = r"""
pinned to the king, that knight on c6 = that knight on c6 is pinned to the king
    (?P<how>(?:pinned|hanging|undefended|unprotected|unguarded|attacked|defended|protected|guarded|covered|isolated|backward|passed|doubled|trapped|en prise|loose|overloaded)(?: (?:to|by|against|from) P.(?: and P.)?)?(?: N. times)?) , (?P<piece>P.|(?:the|that|this|G.) (?:F. )?pawn)<end> => <piece> is <how>
White, with his last move, attacked the knight on e4 = the last move attacks the knight on e4
    <side> ,? (?:with|by) (?:the|G.) (?:very )?(?:last|latest|previous) move ,? (?:has |have )?(?:just |also )?<past> <rest> => the last move <acts> <rest>
the bishop is hanging on d6 = the bishop on d6 is hanging
    <piece> (?P<be>is|are) (?P<how>hanging|loose|en prise|undefended|unprotected|unguarded|trapped|pinned|attacked|protected|defended|isolated|at home|undeveloped|unmoved|asleep) (?:on|at) Q.<end> => <piece> <be> <how>
the pawn on e6 has one black defender = the pawn on e6 has one defender
    <thing> (?:has|have) (?P<much>(?:only |just )?)<n> S. (?P<what>defenders?|protectors?|guards?|attackers?)<end> => <thing> has <much><n> <what>
the c-file is the open one = the c-file is open
    (?P<what>(?:the )?[FWQ].|P.) (?:is|are) the (?P<how>open|closed|half open|isolated|backward|passed|weak|weaker|doubled|hanging|pinned|undefended|unprotected|loose) (?:one|ones|file|pawn)<end> => <what> is <how>
the isolated pawn is Black's = Black has the isolated pawn
    the (?:only )?(?P<what>(?:isolated|passed|backward|extra|doubled|tripled|protected passed|outside passed|weak|bad) (?:pawns?|bishop)) (?:is|are) (?P<who>G.)<end> => <who> has a <what>
White's kingside contains doubled pawns = White has doubled pawns on the kingside
    (?P<who>G.) (?P<wing>W.) (?:has|contains|shows|holds|features|suffers from|is marred by) (?P<what>[^,;:.]*?)<end> => <who> has <what> on <wing>
White's centre consists of pawns on d4 and e4 = White has pawns on d4 and e4
    (?P<who>G.) (?:centre|center|pawn centre|pawn chain|chain|pawn structure|structure) (?:consists of|is made up of|comprises|is formed (?:by|of|from)|is) (?P<rest>(?:pawns |a |the |P.).*) => <who> has <rest>
White has d4 and e4 side by side = White has pawns on d4 and e4
    <side> (?:has|have) (?P<where>Q.) (?:all |both )?(?:side by side|next to each other|abreast)<end> => <side> has pawns on <where>
White is the one with an undefended queen = White has an undefended queen
    <side> (?:is|are) the (?:only )?(?:one|side|player) with an? (?P<how>undefended|unprotected|hanging|loose|pinned|trapped|isolated) (?P<man>king|queen|rook|bishop|knight)<end> => <side> has a <how> <man>
the queen has no protection on a5 = the queen has no protection
    <piece> (?P<has>(?:has|have)) (?P<what>(?:an? |any |its |G. )?(?:protection|cover|defender|defence|support|guard|defenders)) (?:on|at) Q.<end> => <piece> <has> <what>
this is a pin = it is a pin
    (?:this|that|here|what we have|what we have here|the result|what results|what remains|what is left) is <rest> => it is <rest>
we see a hole on d5 = there is a hole on d5
    (?:we have|here we have|here we see|S. (?:will |can |could )?(?:find|see|finds|sees)|one (?:finds|sees)) (?P<rest>(?:an?|any|no|the|N.|P.) ?.*) => there is <rest>
the exchange left White with an extra pawn = White has an extra pawn
    (?:it|this|that|P.|the (?:last )?(?:move|capture|exchange|recapture|trade|swap|advance|exchanges|check|trades|captures|transaction|deal|operation|sequence|opening)(?: (?:on|at) Q.)?) (?:gives?|gave|has given|leaves?|left|has left|hands?|handed|has handed|saddles?|saddled|has saddled|lands?|landed) <who> (?:with )?<rest> => <who> has <rest>
White has kept the pair = White has the pair
    <who> (?!(?:has|have|had) (?:so far )?(?:obtained|gained|acquired) N)(?P<more>(?:both |all |only )?)(?:(?:has|have|had|having) (?:kept|retained|obtained|acquired|gained|preserved)|holds?|own|keeps?|retains?|obtains?|acquires?|gains?|is with) <rest> => <who> <more>has <rest>
the material remains level = the material is level
    (?P<what>(?:the |all |both |only )?\S+(?: \S+){0,3}?) (?:remains?|stays?|looks?|seems?|has been|have been|is based|survives?)(?P<rest>$| .*) => <what> is<rest>
on the queenside White has two pawns = White has two pawns on the queenside
    (?P<where>(?:on|over on) W.|in the cent(?:re|er)) ?,? (?P<what>[SP]. [^,;:.]*[^,;:. ]) => <what> <where>
on d5 it is Black who has a knight = Black has a knight on d5
    (?P<where>(?:on|over on|along|down|in) (?:the )?[WFDRQ].) ?,? (?:it is )?(?:only )?<who>(?: who| that| which)? <what> => <who> <what> <where>
on d5 there is a knight = there is a knight on d5
    (?P<where>(?:on|over on|along|down|in) (?:the )?[WFDRQ].) ?,? (?P<what>(?:there (?:is|are)|it is|we have|(?:a|an|the|no|N.|G.) )[^,;:.]*[^,;:. ]) => <what> <where>
from c4 the bishop attacks f7 = the bishop attacks f7
    from Q. ?,? (?P<rest>P. .*) => <rest>
twice is the pawn attacked = the pawn is attacked twice
    (?P<often>N. times) (?P<be>is|are) (?P<who>[PQ].) (?P<what>\w+) => <who> <be> <what> <often>
White lost a pawn = White has lost a pawn
    <who> (?P<what>lost|won|exchanged|traded|swapped|sacrificed|kept|regained|developed|forfeited|captured|given up|recovered|dropped|completed|finished|blundered|preserved|retained|fianchettoed|doubled) <rest> => <who> has <what> <rest>
White has put two rooks on the d-file = White has two rooks on the d-file
    <who> (?:has|have) (?:put|placed|fixed|planted|set) (?P<rest>N. .*) => <who> has <rest>
White gave up a pawn = White has given up a pawn
    <who> (?:gave up|gave away) <rest> => <who> has given up <rest>
White, simply, has the pair = White has the pair
    <who> , , <rest> => <who> <rest>
White counts eight pawns = White has eight pawns
    <who> (?:counts?|musters?|shows?|numbers|can count) (?P<rest>N. .*) => <who> has <rest>
Black gets the pair = Black has the pair
    <who> (?:got|gets|did get|emerged with) <rest> => <who> has <rest>
it's the knight on f3 that attacks e5 = the knight on f3 attacks e5
    <itis> (?:only |just )?<who> (?:who|that|which) <rest> => <who> <rest>
it's the d-file that is open = the d-file is open
    <itis> (?:only |just )?(?P<what>(?:the )?[FQWRD].) (?:that|which) <rest> => <what> <rest>
doubled pawns are what Black has on the c-file = Black has doubled pawns on the c-file
    (?P<what>(?:(?:the|a|an) )?[^,;:.]*?) (?:is|are) what <who> (?:has|have)(?: got)?(?P<where>(?: (?:on|in) (?:the )?[WFQ].)?)<end> => <who> has <what><where>
White has more pawns than Black on the kingside = White has more pawns on the kingside than Black
    (?P<what>[SP]. [^,;:.]*?) (?P<than>than [SPG].) (?P<where>(?:on|in) (?:the )?[WF].|in the cent(?:re|er))<end> => <what> <where> <than>
between the rook on d8 and the knight on d4 there is a bishop = there is a bishop between the rook on d8 and the knight on d4
    (?P<where>(?:in )?between P.(?: and P.)?) ?,? (?P<what>(?:there (?:is|are)|we have|P.) [^,;:.]*[^,;:. ]) => <what> <where>
White is the one who has the pair = White has the pair
    <who> (?:is|are) (?:the (?:only )?(?:one|side|player|ones|piece|pawn)|P.) (?:who|that|which) <rest> => <who> <rest>
White is the one with the pair = White has the pair
    <who> (?:is|are) the (?:one|side|player|ones) (?:with|having|holding) <rest> => <who> has <rest>
White is the only one with the pair = only White has the pair
    <who> (?:is|are) the only (?:one|side|player|ones|N.) (?:with|having|holding|who has|that has) <rest> => only <who> has <rest>
White is the one to move = White is to move
    <who> (?:is|are) the (?:only )?(?:one|side|player|ones) (?P<rest>to move.*) => <who> is <rest>
the side with the pair is White = White has the pair
    the (?:only )?(?:one|side|player|camp) (?:with|having|who has|that has|which has|who owns) (?P<what>[^,;:.]*) is <who> => <who> has <what>
the player on move is White = White is on move
    the (?:only )?(?:one|side|player) (?P<what>to move|on move) is <who> => <who> is <what>
the side that has castled is White = White has castled
    the (?:only )?(?:one|side|player) (?:who|that|which) (?P<what>[^,;:.]*) is <who> => <who> <what>
the bishop pair belongs to White = White has the bishop pair
    (?P<what>(?:the|a|an|N.) [^,;:.A-EG-Z]*) (?:belongs? to|is in the hands of|is held by|is owned by|is on the side of|lies with|is with|stays with|goes to) <who> => <who> has <what>
the bishop pair is his = he has the bishop pair
    (?P<what>(?:the|a|an) [^,;:.A-Z]*) is (?:in )?(?P<who>G.)(?: hands| possession)?(?= ?$| [,;.!]) => <who> has <what>
for White there is a passed pawn = White has a passed pawn
    (?:for|with|in the case of) <who> ?,? there (?:is|are) <rest> => <who> has <rest>
there is a passed pawn for White = White has a passed pawn
    there (?:is|are) (?P<what>[^,;:.]*?) (?:for|in favour of|on the side of) <who> => <who> has <what>
there is a hole in White's camp = White has a hole
    there (?:is|are) (?P<what>[^,;:.]*?) (?:in|on) (?P<who>G.) (?:camp|position|side|structure|half|territory) => <who> has <what>
in White's camp there is a hole = White has a hole
    (?:in|on) (?P<who>G.) (?:camp|position|side|structure|half|territory) there (?:is|are) <rest> => <who> has <rest>
Black for his part has the pair = Black has the pair
    <who> ?,? (?:too|for (?:his|her|their|its|G.) part|as well|on the other hand|by contrast|however|meanwhile) ?,? <rest> => <who> <rest>
what White has is the pair = White has the pair
    what <who> (?:has|have) (?:got )?is <rest> => <who> has <rest>
White makes use of the pair = White has the pair
    <who> (?:can (?:use|enjoy|make use of|count on|rely on)|uses|makes use of|works with|plays with|is blessed with|is armed with) (?P<rest>the .*) => <who> has <rest>
the pawn on e4 has only the knight to defend it = only the knight defends the pawn on e4
    <thing> (?:has|have) (?:only |just |nothing but |no one but |nobody but )+<piece> (?:left )?to <act> (?:it|them|P.)<end> => only <piece> <acts> <thing>
the pawn on e4 has the knight to defend it = the knight defends the pawn on e4
    <thing> (?:has|have) <piece> (?:left )?to <act> (?:it|them|P.)<end> => <piece> <acts> <thing>
one bishop is left to White = White has one bishop
    (?P<what>(?:only |just )?(?:N.|an?|one) [a-z]+(?: [a-z]+){0,2}?) (?:is|are|remains?) (?:left )?(?:to|for|with) <who><end> => <who> has <what>
the pawn on e4 has nothing to protect it = nothing protects the pawn on e4
    <thing> (?:has|have) (?P<any>[SP].) (?:left )?to <act> (?:it|them|P.)<end> => <any> <acts> <thing>
the pawn on e4 has only the knight for a defender = only the knight protects the pawn on e4
    <thing> (?:has|have) (?:only |just |nothing but )+<piece> (?:for|as) (?:an?|its|the|G.)? ?(?:only |sole |single )?(?:defender|protector|guard|guardian|protection|support|cover|defence|bodyguard|helper|company)<end> => only <piece> protects <thing>
the pawn on e4 has the knight for a defender = the knight protects the pawn on e4
    <thing> (?:has|have) <piece> (?:for|as) (?:an?|its|the|G.)? ?(?:only |sole |single )?(?:defender|protector|guard|guardian|protection|support|cover|defence|bodyguard|helper|company)<end> => <piece> protects <thing>
the pawn on e4 has a defender in the knight on c3 = the knight on c3 protects the pawn on e4
    <thing> (?:has|have|finds|enjoys) (?:an?|its|G.) (?:only |sole |good |strong |fine |reliable )?(?:defender|protector|guard|guardian|supporter|friend|bodyguard|helper) in <piece><end> => <piece> protects <thing>
the rook on e1 is the one protecting e4 = the rook on e1 protects e4
    <piece> (?:is|are) (?:the|a) (?:one|man|piece|pawn|fellow|one there) <doing> <rest> => <piece> <doing> <rest>
White gave him a pawn = White has given up a pawn
    <who> (?:gave|has given|have given|donated to|gifted|has gifted|handed|has handed) S. (?P<rest>(?:P.|(?:a|one|N.) pawns?))<end> => <who> has given up <rest>
it's the pawn on e5 that our knight attacks = our knight attacks the pawn on e5
    <itis> (?P<thing>[PQ].) (?:that |which )?<who> <verb><end> => <who> <verb> <thing>
what protects e4 is the rook on e1 = the rook on e1 protects e4
    (?:what|all that|the (?:one )?(?:piece|thing|pawn|man|one) (?:that|which)|P. (?:that|which)) (?P<what>(?:VERB) [^,;:.]*[^,;:. ]) (?:is|are) <piece><end> => <piece> <what>
the only piece that protects e4 is the rook on e1 = only the rook on e1 protects e4
    (?:the|just|only)? ?(?:only|one|sole|one and only|N.) (?:other )?(?:piece|thing|pawn|man|one|unit|defender|P.)(?: of G.| of ours| G. has)? (?:(?:that|which|who) )?(?P<what>(?:VERB) [^,;:.]*[^,;:. ]) (?:is|are|:|,|—|–) <piece><end> => only <piece> <what>
the only piece protecting e4 is the rook on e1 = only the rook on e1 protects e4
    (?:the|just|only)? ?(?:only|one|sole|N.) (?:other )?(?:piece|thing|pawn|man|one|unit|P.)(?: of G.| of ours)? <doing> (?P<what>[^,;:.]*[^,;:. ]) (?:is|are|:|,|—|–) <piece><end> => only <piece> <doing> <what>
the rook on e1 is the only piece that protects e4 = only the rook on e1 protects e4
    <piece> is (?:the|G.) only (?:piece|thing|pawn|man|one|unit|P.)(?: of G.| of ours| G. has)? (?:that|which|who) (?P<rest>(?:VERB) .*) => only <piece> <rest>
the rook on e1 is the only piece protecting e4 = only the rook on e1 protects e4
    <piece> is (?:the|G.) only (?:piece|thing|pawn|man|one|unit|P.)(?: of G.| of ours)? <doing> <rest> => only <piece> <doing> <rest>
the rook on e1 is what protects e4 = the rook on e1 protects e4
    (?P<only>(?:only )?)<piece> (?:is|are) (?:what|the (?:one|ones|piece|pieces|man) (?:that|which)|there to|busy|used to|able to|here to) (?P<rest>(?:VERB) .*) => <only><piece> <rest>
there is a knight on f3 attacking e5 = a knight on f3 attacks e5
    there (?:is|are) <piece> (?:there )?<doing> <rest> => <piece> <doing> <rest>
there is a knight on f3 that attacks e5 = a knight on f3 attacks e5
    there (?:is|are) <piece> (?:that|which|who) (?P<rest>(?:VERB|is|are|has|have|can) .*) => <piece> <rest>
there are two black pieces protecting e5 = two black pieces protect e5
    (?:there (?:is|are)|it is|G. (?:has|have)) (?P<n>N.(?: white| black| enemy)?)(?: of G.)? (?:pieces|men|things|units)(?: in all)? <doing> <rest> => <n> pieces <do> <rest>
there are two black pieces that protect e5 = two black pieces protect e5
    (?:there (?:is|are)) (?P<n>N.(?: white| black| enemy)?)(?: of G.)? (?:pieces|men|things|units) (?:that|which) (?P<rest>(?:VERB) .*) => <n> pieces <rest>
the rook on e1, it protects e4 = the rook on e1 protects e4
    <who> ?,? <it> (?P<rest>(?:VERB|is|are|has|have|can) .*) => <who> <rest>
the knight, our best piece, attacks e5 = the knight attacks e5
    <who> [,(] (?!(?:if|when|once|unless|until|after|before|as|and|or|but|so) |[MPQ]. ?,)[^,;:.()]+ [,)] (?P<rest>(?:VERB|is|are|has|have|can) .*) => <who> <rest>
the rook ended up on e1 = the rook is on e1
    <piece> (?:has |have )?(?:ended up|ends up|end up|wound up|finished up|landed|come to rest|settled down|made (?:its|G.) home|found (?:its|G.) way|set up camp|taken up position|got stuck) (?P<rest>(?:on|at|in|behind) .*) => <piece> is <rest>
the pawn has been pushed to h5 = the pawn is on h5
    <piece> (?:has|have) (?:been )?(?:pushed|advanced|run|marched|come|gone|walked|driven|climbed|got|strayed|wandered|ventured|sallied|raced|rushed|flown|escaped|fled|hurried|withdrawn|retired|retreated|stepped|swung|slid|travelled|returned) (?:up |down |all the way |out |on )*(?:to|onto|as far as) (?P<where>Q.)<end> => <piece> is on <where>
the pawn is up to h5 = the pawn is on h5
    <piece> (?:is|are) (?:up|over|out|down|all the way) (?:to|at) (?P<where>Q.)<end> => <piece> is on <where>
the queens : gone = the queens are gone
    (?P<what>(?:(?:the|both|all|light|dark|squared) )*(?:queens|rooks|bishops|knights|minor pieces)) (?:: )?(?P<rest>(?:on|off|gone|exchanged|traded|swapped)(?: the board)?)<end> => <what> are <rest>
material : level = the material is level
    (?:the )?material ?: (?P<rest>(?:level|equal|balanced|identical|unchanged))<end> => the material is <rest>
pawn count : seven each = seven pawns each
    (?:the )?(?:pawn count|pawns) ?(?::|is|are|,)? <n> (?P<each>each|apiece|a side)<end> => <n> pawns <each>
the king is tucked away on g1 = the king is on g1
    <piece> (?:is|are) (?:tucked away|tucked in|tucked|hidden|hidden away|tucked up|hiding|stuck|exposed|stranded|marooned|safe|safely|alone|far from home|far away|offside|out of play|well placed|badly placed|nicely placed|perfectly placed|centralised|back|over|out|up|down|there|settled|camped|huddled|waiting|in place|all the way) (?P<rest>(?:on|at) (?:the )?[QFR]..*) => <piece> is <rest>
the rook has moved over to e1 = the rook has moved to e1
    <piece> (?:has|have) (?:moved|come|gone|got|been moved|been brought|been put|shifted|slid|stepped|jumped|hopped)(?: over| across| back| up| out| down| round| away| right)? (?P<rest>(?:to|onto|into) Q..*) => <piece> has moved <rest>
on e1 is our rook = our rook is on e1
    (?P<where>(?:on|in|at|behind|over on|in front of|next to) (?:the )?[WFDRQP].) ?,? (?:there )?(?P<be>is|are) <piece><end> => <piece> <be> <where>
attacking e5 is the knight on f3 = the knight on f3 attacks e5
    <doing> (?P<what>[^,;:.]*[^,;:. ]) (?:is|are) <piece><end> => <piece> <doing> <what>
gone are the queens = the queens are gone
    (?P<what>gone|off|missing|pinned|undefended|hanging|doubled|isolated|open|closed) (?P<be>is|are) <piece><end> => <piece> <be> <what>
I count two attackers on e4 = there are two attackers on e4
    S. counts? (?P<rest>N. .*) => there are <rest>
White has more pawns than Black does = White has more pawns than Black
    (?P<what>[SP]. (?:has|have|is|are) [^,;:.]*? than [SPG].) (?:does|do|has|have|did|is|are|can)(?: out| in play| developed)?<end> => <what>
White is allowed to castle = White can castle
    <who> (?:is|are) (?:able|free|allowed|permitted|at liberty|in a position|entitled|legally able) to <rest> => <who> can <rest>
White may castle = White can castle
    <side> (?:may|could) (?:also |now |even |simply |legally )?<rest> => <side> can <rest>
the knight on f3 may take the pawn on e5 = the knight on f3 can take the pawn on e5
    <piece> (?:may|could) (?:also |now |even |simply |legally )?(?P<rest>(?:go|move|step|take|capture|castle|jump|recapture|retreat|interpose|block) .*) => <piece> can <rest>
White alone has the pair = only White has the pair
    <who> alone <rest> => only <who> <rest>
it is possible for White to castle = White can castle
    <itis> (?:possible|legal|allowed|permitted|permissible|open) (?:for|to) <who> to <rest> => <who> can <rest>
there is nothing to stop White from castling = nothing stops White from castling
    (?:there is )?(?P<any>[SP].) (?:would |will |can |could )?(?:to )?(?:stop|stops|prevent|prevents|keep|keeps|hinder|hinders) (?P<rest>S. .*) => <any> stops <rest>
with his last move Black attacked the bishop on g5 = the last move attacks the bishop on g5
    (?:with|by|through) (?:the|G.|this|that) (?:very )?(?:last|latest|previous) (?:move|step) ?,? ?<side> (?:has |have |had )?(?:just |now )?<past> <rest> => the last move <acts> <rest>
Black's last move attacked the bishop on g5 = Black's last move attacks the bishop on g5
    (?P<what>(?:the|G.|this|that) (?:very )?(?:last|latest|previous) (?:move|step)|it|this|that|M.) (?:has |have |had )?(?:just |now )?<past> <rest> => <what> <acts> <rest>
with Nc3 White attacks the pawn on d5 = Nc3 attacks the pawn on d5
    (?:with|by|by playing) (?P<mv>[MQ].) ?,? S. (?:would |will |can |could |has |have )?(?:also |even |now )?<act> <rest> => <mv> <acts> <rest>
with Nc3 White has attacked the pawn on d5 = Nc3 attacks the pawn on d5
    (?:with|by|by playing) (?P<mv>[MQ].) ?,? S. (?:has |have )?(?:also |even |now )?<past> <rest> => <mv> <acts> <rest>
White guards the pawn with Nc3 = Nc3 guards the pawn
    <side> (?:now |also |simply )?<act> (?P<what>[PQ].) (?:with|by|by playing|by means of) (?P<mv>M.)<end> => <mv> <acts> <what>
Black has the knight on f3 pinned to the queen = the knight on f3 is pinned to the queen
    S. (?:has|have) <piece> (?P<rest>(?:pinned|attacked|under attack|under pressure|trapped|surrounded|blockaded|covered|protected|defended|guarded)\b.*) => <piece> is <rest>
the pawn on e5 White attacks twice = White attacks the pawn on e5 twice
    <thing> ?,? <who> <verb>(?P<often>(?: N. times)?)<end> => <who> <verb> <thing><often>
White has nothing defending e4 = nothing defends e4
    S. (?:has|have) <whole> <doing> <rest> => <whole> <doing> <rest>
the pawn on e4 has nothing defending it = nothing defends the pawn on e4
    <thing> (?:has|have) (?P<any>[SP].) <doing> (?:it|them|[PS].)<end> => <any> <doing> <thing>
the rook helps to protect e4 = the rook protects e4
    <who> (?:helps?|helps? out by|manages?|serves?|continues?|goes on|is able|are able|does the job of|takes? care of|is busy|are busy|is there|are there|is here|keeps?|keeps? on|goes on|is kept busy|are kept busy|does? (?:a|its) (?:good |fine )?job of)(?: to)? <act> <rest> => <who> <acts> <rest>
the rook has to protect e4 = the rook protects e4
    <piece> (?:has to|have to|must|needs to|is needed to|is required to) <act> <rest> => <piece> <acts> <rest>
the rook is busy protecting e4 = the rook protects e4
    <who> (?:helps? out by|continues?|goes on|does the job of|takes? care of|is busy|are busy|is there|are there|is here|keeps?|keeps? on|is kept busy|are kept busy|is left|are left|is stuck|are stuck|is tied down to|is tied to|(?:does|do|is doing|are doing) (?:a|its|G.) (?:good |fine |great )?job(?: of)?) <doing> <rest> => <who> <doing> <rest>
Black has on the queenside four pawns = Black has four pawns on the queenside
    <who> (?P<has>has|have) (?P<where>(?:on|in|over on) (?:the )?[WFQR].|in the cent(?:re|er)) ,? ?(?P<what>(?!and |but )[^,;:.]*[^,;:. ]) => <who> <has> <what> <where>
there are on the e-file no pawns = there are no pawns on the e-file
    there (?P<be>is|are) (?P<where>(?:on|in|over on) (?:the )?[WFQR].|in the cent(?:re|er)) ,? ?(?P<what>(?!and |but )[^,;:.]*[^,;:. ]) => there <be> <what> <where>
the majority in the centre has White = White has the majority in the centre
    (?P<what>(?:the|a) [^,;:.]*?) (?P<has>has|have) (?P<who>S.)<end> => <who> <has> <what>
the right to castle Black has lost = Black has lost the right to castle
    (?P<what>the [^,;:.]*?) (?P<who>S.) (?P<has>has|have) (?P<part>lost|kept|given up|won|got|regained|retained)<end> => <who> <has> <part> <what>
the half-open d-file is White's = White has a half-open d-file
    (?:the )?(?P<what>half open F.) ,? ?(?:(?:that|this|it|P.) )?(?:is|belongs to) (?P<who>[GS].)<end> => <who> has a <what>
the d-file is at White's disposal = the d-file is open for White
    (?P<what>the F.) (?:is )?(?:open )?(?:at|under) (?P<who>G.) (?:command|disposal|orders) => <what> is open for <who>
White's c-pawn : isolated = White's c-pawn is isolated
    (?P<what>P.|(?:the )?F.|the material|(?:the )?D.) (?::|,|—|–|--|…) (?P<how>(?:(?:all|both|still|quite|completely|wide|now|totally) )*(?:doubled|isolated|backward|passed|pinned|hanging|undefended|unprotected|protected|defended|covered|open|closed|half open|trapped|loose|attacked|blocked|gone|alone|level|en prise|developed|undeveloped|castled|off the board|under attack))(?P<more>(?: by [SP].| N. times| to P.)?)<end> => <what> is <how><more>
e4 — our knight covers it = our knight covers e4
    (?P<thing>[PQ].) (?:,|—|–|--|:|…) (?P<who>[SP].)(?P<all>(?: both| all)?) <verb> <it>(?P<often>(?: N. times)?)<end> => <who><all> <verb> <thing><often>
the white queen has it = the white queen protects it
    <piece> (?P<has>has|have) (?P<thing>[PQ].)(?: (?:wrapped up|under wraps|in hand|sewn up|nailed down|well in hand|taken care of|under lock and key|safely in hand|under its wing))<end> => <piece> protects <thing>
the queen has it = the queen protects it
    <piece> (?P<has>has|have) <it><end> => <piece> protects <it>
White can call the bishop pair his own = White has the bishop pair
    <who> (?:can call|may call|calls?) (?P<what>[^,;:.]*[^,;:. ]) G. own<end> => <who> has <what>
to castle short White must first move the knight = White must first move the knight before castling short
    (?:to|in order to|for|before) (?:castle|castling)(?P<way> short| long| (?:on )?W.)? ,? ?<who> (?P<what>(?:first )?(?:must|has to|needs to|have to|need to) [^,;:.]*[^,;:. ])<end> => <who> <what> before castling<way>
of open files there is one = there is one open file
    of (?P<what>[^,;:.]*?)s there (?P<be>is|are) (?P<n>N.|no|not one|none)(?: at all| as yet| so far)?<end> => there <be> <n> <what>
no file has been opened = no file is open
    (?P<some>(?:(?:a|any|one|N.) )?)files? (?:has|have) (?:been )?(?:opened|come open|become open|opened up|been opened up)<end> => <some>file is open
with the pawns on c2 and d4 White has built a chain = the pawns on c2 and d4 form a chain
    with <piece> ,? ?S. (?:has built|has formed|has made|has created|forms|builds|makes|has) (?:a|the) (?:\w+ )?(?P<what>chain|battery)<end> => <piece> form a <what>
Black has not moved a single rook = Black has not moved a rook
    <who> (?P<has>has|have) (?P<verb>moved|touched|developed|brought out) N. (?P<man>knight|bishop|rook|pawn|minor piece)<end> => <who> <has> <verb> a <man>
White found a pawn ahead = White is a pawn ahead
    <who> (?:found|finds|find) (?:P. )?(?P<rest>(?:an?|the|N.) (?:clear |whole |full |good )*(?:pawns?|pieces?|knight|bishop|rook|exchange) (?:up|down|ahead|behind|short|to the good|better off|worse off|richer|poorer).*) => <who> is <rest>
a pawn extra for White = White is a pawn up
    (?:it is |that is |this is |that makes |it makes )?(?P<how>(?:a|one|N.) (?:pawn|piece|knight|bishop|rook)s?) (?:extra|more|up|plus|to the good|in hand) for (?P<who>[SG].)<end> => <who> is <how> up
the d-, e- and f-files are all open = the d-, e- and f-files are open
    (?P<what>(?:the )?F.|P.) are (?:all|both) (?P<rest>(?!on |in |at )[^,;:.]*[^,;:. ]) => <what> are <rest>
the bishop has it in its sights = the bishop attacks it
    <piece> (?P<has>has|have) (?P<thing>[PQ].) in (?:its|G.|the) (?:sights?|crosshairs|cross hairs|firing line|line of fire|view)<end> => <piece> attacks <thing>
c3 , two hits , two guards = c3 has two attackers and two defenders
    <thing> (?:is (?:\w+ ){0,3})?(?:,|:|—|–|has)? ?<n> (?:hits?|attackers?|attacks?) ?,? (?:and |against |but |versus |to )?(?:only |just )?(?P<more>N.) (?:guards?|defenders?|defences?|protectors?)<end> => <thing> has <n> attackers and <more> defenders
the knight gives the pawn its support = the knight protects the pawn
    <piece> (?:gives?|lends?|offers?|affords?|provides?) <thing> (?:with )?(?:(?:its|G.|some|much|the|necessary|needed|good|full|all|valuable|a|little|bit|of) )*(?:support|protection|cover|backing|shelter|assistance|help)(?: it needs)?<end> => <piece> protects <thing>
two files are half open for Black = Black has two half-open files
    <n> files? (?:is|are) (?P<how>half open|semi open) for (?P<who>[SG].) => <who> has <n> <how> files
the pawn is there with cover = the pawn has cover
    <thing> (?:is|are) (?:there )?with (?P<what>(?:any |much |a )?(?:cover|protection|support|defenders?|guards?))<end> => <thing> has <what>
the d-pawn is in the air = the d-pawn is hanging
    <thing> (?:is|are) in the air<end> => <thing> is hanging
c3 has two enemies looking at it = c3 is attacked twice
    <thing> (?:has|have) <n> (?:(?:enemy|black|white|hostile) )?(?:enemies|pieces|attackers|men|units|hunters|foes) (?:looking at|attacking|hitting|bearing on|trained on|aimed at|staring at|on|against|after|eyeing) (?:it|P.)<end> => <thing> is attacked <n> times
e4 has two friends guarding it = e4 is defended twice
    <thing> (?:has|have) <n> (?:friends|friendly pieces|pieces|men|units|helpers|defenders|guards) (?:guarding|protecting|defending|covering|behind|supporting|looking after|watching over) (?:it|P.)<end> => <thing> is defended <n> times
the d-pawn is not going anywhere = the d-pawn can not move
    <piece> (?:is|are) going anywhere(?: for now| at the moment| soon)?<end> => <piece> can move
the pawn has a friend to protect it = the pawn is defended
    <thing> (?:has|have) (?:a|an|any|some|one|N.) (?:friends?|helpers?|colleagues?|pieces?|comrades?|companions?|mates?|men|man|pawns?) to <act> (?:it|them|P.)<end> => <thing> is defended
White gave a pawn away = White has given up a pawn
    <who> (?:gave|has given|gives) (?P<what>(?:P.|(?:an?|one|the|N.) (?:pawns?|pieces?|knight|bishop|rook|queen|exchange))) away => <who> has given up <what>
White is the man with the pair = White has the pair
    <side> (?:is|are) the (?:lucky |happy )?(?:man|lad|lady|fellow|lucky one|chap|girl|boy|proud owner) (?:with|having|who has) <rest> => <side> has <rest>
White has come out of the exchange with an extra pawn = White has an extra pawn
    <who> (?:has|have) (?:come out|emerged|come away|got out)(?: (?:of|from) (?:it|this|that|all this|P.|the [a-z]+(?: on Q.)?))? with <rest> => <who> has <rest>
the exchange of pawns has left Black a pawn short = Black is a pawn short
    (?:it|this|that|P.|the [a-z]+(?: (?:on|at) Q.| of (?:P.|[a-z]+))?) (?:leaves|left|has left|puts|has put) <who> (?P<rest>(?:an?|the|N.) (?:clear |whole |full )*(?:pawns?|pieces?|knight|bishop|rook|exchange) (?:short|up|down|ahead|behind|to the good).*) => <who> is <rest>
two half-open files for Black = Black has two half-open files
    (?:only |just )?<n> (?P<how>half open|semi open) files? (?:for|belongs? to|is with) (?P<who>[SG].) => <who> has <n> <how> files
from d3 the knight can give check = the knight can give check on d3
    from (?P<where>Q.) ,? ?<piece> (?:would|could|can|will) (?:give|be giving|deliver) (?:a )?check<end> => <piece> can give check on <where>
for White is the d-file half open = the d-file is half open for White
    for <side> ,? ?(?:is|are) (?P<what>(?:the )?F.) (?P<how>half open|open|closed) ?<end> => <what> is <how> for <side>
for White the d-file is half open = the d-file is half open for White
    for <side> ,? ?(?P<what>(?:the )?F.) (?:is|are) (?P<how>half open|open)<end> => <what> is <how> for <side>
Nc7 , that would be a fork = Nc7 would be a fork
    (?P<mv>M.) ,? ?(?:(?:with |it is )?check ,? ?)?(?:and |— |– )?(?:then )?(?:it|that|this|which|<it>) (?P<be>is|would be|will be|was|gives|forks|skewers|attacks|wins) (?P<rest>.*) => <mv> <be> <rest>
the knight on f3 owes its protection to the queen = the queen protects the knight on f3
    <thing> (?:owes?|owe) (?:its|G.|all its) (?:protection|safety|defence|support|cover) to <piece><end> => <piece> protects <thing>
a white knight has reached e5 = a white knight is on e5
    <piece> (?:has|have) (?:(?:just|now|already|finally|also) )?(?:reached|occupied|arrived on|arrived at|come to|taken up residence on|got to|got as far as|made it to|seized|conquered|gained|taken possession of|taken up (?:its |a )?(?:post|position|station) (?:on|at)|established itself on|appeared on|settled on) (?P<where>Q.)<end> => <piece> is on <where>
White has planted a knight on e5 = White has a knight on e5
    <side> (?:has|have) (?:planted|put|placed|posted|established|stationed|installed|parked|got|landed|brought|settled) (?P<rest>P.)<end> => <side> has <rest>
White has a knight established on d5 = White has a knight on d5
    <side> (?:has|have) (?P<man>(?:a|an|the|N.|G.) (?:king|queen|rook|bishop|knight|pawn)s?) (?:planted|placed|posted|established|stationed|installed|parked|landed|settled|entrenched) (?P<where>(?:on|at) .*) => <side> has <man> <where>
a pawn ending has arisen = it is a pawn ending
    (?P<what>(?:an?|the) [^,;:.]*?(?:ending|endgame|middlegame|colou?rs|coloured bishops|stalemate|check|mate|checkmate)) (?:(?:has|have) (?:now |thus )?(?:arisen|been reached|come about|resulted|appeared|been obtained|occurred|emerged|come into being)|is on the board|lies before S.|is the result)<end> => it is <what>
it has come down to a pawn ending = it is a pawn ending
    (?:it|P.|the game|the position|this|things|S.|the fight|everything) (?:has|have|is|are) (?:now |finally )?(?:come down to|boiled down to|been reduced to|reduced to|arrived at|arrived in|reached|turned into|simplified into|simplified to|gone over to|gone over into|down to|entered|dissolved into|resolved into) (?P<rest>(?:an?|the|kings|knight|bishop|rook|queen|pawns?|just|only|opposite) ?[^,;:.]*) => it is <rest>
Black's structure shows doubled f-pawns = Black has doubled f-pawns
    (?P<who>G.) (?:pawn )?(?:structure|formation|skeleton|chain|centre|center|camp|position) (?:shows|contains|has|features|exhibits|includes|suffers from|is marred by|is disfigured by|is spoilt by|reveals) (?P<rest>(?:an?|no|N.|doubled|isolated|the|passed|backward|fewer|more|P.)\b ?.*) => <who> has <rest>
with e3 White opens the diagonal = e3 opens the diagonal
    (?:with|by|by playing|through) (?P<mv>[MQ].) ,? ?S. (?P<rest>(?:opens|closes|frees|prepares|develops|gains|doubles|isolates|breaks|unpins|uncovers|creates|gives|puts|clears|unblocks|connects|shuts|cuts) .*) => <mv> <rest>
after d5 we would be blocking the diagonal = d5 blocks the diagonal
    (?:after|with|by|by playing|following) (?P<mv>[MQ].) ,? ?(?:S.|P.) (?:would |will |is |are )?(?:then |now |also )?(?:be )?<doing> <rest> => <mv> <doing> <rest>
this modest bishop move prepares castling = this move prepares castling
    (?:this|that|the last|G. last) (?:[a-z]+ ){0,2}(?:king|queen|rook|bishop|knight|pawn|quiet|developing|little|modest|simple|calm|waiting|innocent|sly) move (?P<rest>(?:VERB|prepares|opens|closes|gains|wins|stops|prevents|develops|frees|makes|leaves|gives|puts|allows|clears|breaks|loses|keeps|rules|doubles|isolates|has|is|was|attacked|defended|protected|hit) .*) => this move <rest>
the king was drawn to d8 = the king is on d8
    <piece> (?:was|were|has been|have been|is|are) (?:now |finally |thus )?(?:drawn|dragged|lured|forced|driven|brought|pulled|enticed|decoyed|transferred|relocated|taken|pushed|chased|led|dislodged|shifted) (?:out |up |back |over |away |across )*(?:to|onto|as far as) (?P<where>Q.)<end> => <piece> is on <where>
the king has found safety on g1 = the king is on g1
    <piece> (?:has|have) (?:found|taken|sought) (?:safety|shelter|refuge|a home|a haven|a safe home|its home|a safe place|sanctuary|a square|a post|its place|a nest) (?P<where>(?:on|at) (?:the )?[QFR].)<end> => <piece> is <where>
the c3-pawn has d4 under control = the c3-pawn controls d4
    <piece> (?:takes|has|keeps|holds|brings|have|keep|take|hold) (?P<where>Q.) (?:under|in) (?:its |G. |close |firm )?(?:control|observation|fire|guard|surveillance|watch|grip|check)<end> => <piece> controls <where>
Black can protect the knight with Ke6 = Ke6 protects the knight
    S. (?:can|could|may) (?:also |now |still |simply )?<act> <thing> (?:with|by|by playing|by means of) (?P<mv>[MQ].)<end> => <mv> <acts> <thing>
the knight occupies d4 = the knight is on d4
    <piece> (?:occupies|occupy|has occupied|graces|adorns|inhabits) (?P<where>Q.)<end> => <piece> is on <where>
he has grabbed two of our pawns = he has grabbed two pawns
    (?P<head>S. (?:has|have) (?:grabbed|won|taken|captured|snatched|lost|eaten|nicked|pinched|pocketed|bagged|collected|picked up|given up|sacrificed)) <n> of (?:G.|the) (?P<rest>(?:pawns?|pieces?|knights|rooks|bishops)\b.*) => <head> <n> <rest>
White's previous move , d5 , attacked the knight = d5 attacked the knight
    (?:G.|the) (?:last|previous|latest|next|text) move ,? (?P<mv>[MQ].) ,? (?P<rest>.*) => <mv> <rest>
White's c5 attacks the pawn on d6 = c5 attacks the pawn on d6
    (?:G.|the (?:lever|break|push|thrust|sortie|move|(?:king|queen|rook|bishop|knight|pawn|little|quiet|simple|modest) move)) (?P<mv>[MQ].) (?P<rest>(?:VERB|would|will|can|opens|closes|prepares|gains|is|was) .*) => <mv> <rest>
the knight can be hit with h6 = h6 hits the knight
    <thing> (?:can|could|may|is going to) (?:then |now |simply |easily |also )?be <past> (?:with|by playing|by means of|by advancing) (?P<mv>[MQ].)<end> => <mv> <acts> <thing>
one pawn down for White = White is one pawn down
    (?:it is |that is |this is |that makes |it makes )?(?P<how>(?:a|one|N.) (?:pawn|piece|knight|bishop|rook)s? (?:down|behind|short|less|ahead|in arrears)) for (?P<who>[SG].) => <who> is <how>
the two bishops speak for Black = Black has the two bishops
    (?P<what>(?:the|an?) [^,;:.]*?) (?:speaks?|tells?|counts?|counts? in favour) (?:for|of) <side><end> => <side> has <what>
in the two bishops Black has an asset = Black has the two bishops
    in (?P<what>P.|the (?:N. bishops|bishop pair|pair of bishops|pair|extra pawn|passed pawn)) <side> (?:has|have) (?:an?|the|G.) .* => <side> has <what>
to Black belong the two bishops = Black has the two bishops
    to <side> (?:belongs?|falls?|goes|went) <rest> => <side> has <rest>
the e5-pawn rests on the protection of the knight = the knight protects the e5-pawn
    <thing> (?:rests on|is on|depends on|relies on|lives on|enjoys|has) the (?:protection|support|cover|backing|help) of <piece><end> => <piece> protects <thing>
f6 is denied to Black's knight by the e-pawn = the e-pawn controls f6
    (?P<where>Q.) (?:is|are) (?:denied|closed|barred|forbidden|taken away|taken) (?:to|from) P. by <piece><end> => <piece> controls <where>
White's pawn chain consists of d4 and e5 = White has pawns on d4 and e5
    (?P<who>G.) (?:pawn )?(?:chain|centre|center|pawn centre) (?:consists of|is made up of|comprises|is formed (?:by|of|from)|is on|is) (?P<where>Q.)<end> => <who> has pawns on <where>
the e-file , God rest it , is open = the e-file is open
    (?P<what>(?:the )?[FQD].|the material|material) [,(—–] (?!(?:if|when|once|unless|until|after|before|as|and|or|but|so) )[^,;:.()—–]{3,48} [,)—–] (?P<rest>(?:is|are|has|remains|lies) .*) => <what> <rest>
gone are the rooks = the rooks are gone
    (?P<what>gone|off|missing|pinned|exchanged|undeveloped|unmoved|isolated|doubled) (?P<be>is|are) (?P<who>(?:the|both|all|two|N.|G.) (?:[a-z]+ ){0,2}(?:queens?|rooks?|bishops?|knights?|pawns?|pieces?|bishop pair))<end> => <who> <be> <what>
our rook is defended there = our rook is defended
    <piece> (?P<be>is|are) (?P<how>(?:\w+ly )?(?:pinned|hanging|undefended|unprotected|unguarded|attacked|defended|protected|guarded|covered|isolated|backward|passed|doubled|trapped|en prise|loose|overloaded|supported)(?: N. times)?) (?:over |right |in |up |down |out )?there<end> => <piece> <be> <how>
the last move gave a discovered check = it is a discovered check
    (?:the|G.) (?:very )?(?:last|latest|previous|preceding|final) move(?: just)? (?:was|is|gave|gives|has given|has been|made|makes|comes with|came with) (?P<what>(?:(?:a|the|an) )?(?:\w+ )?(?:check|mate|checkmate|fork|skewer|discovery|discovered attack|double attack|stalemate)(?: (?:on|against|of) [^,;:.]*[^,;:. ])?)<end> => it is <what>
the move just played is mate = it is mate
    (?:the|this) move (?:that was )?(?:just )?(?:played|made)(?: last| by S.)? (?:was|is|gave|gives|has given) (?P<what>(?:(?:a|the|an) )?(?:\w+ )?(?:check|mate|checkmate|fork|skewer|discovery|discovered attack|double attack|stalemate))<end> => it is <what>
the final position shows a double check = there is a double check
    (?:the|this|our) (?:(?:final|present|current|resulting|whole|last) )*(?:position|diagram|board|picture)(?: on the board)? (?:shows|features|presents|contains|displays|sees|reveals)(?: S.)? (?P<rest>(?:an?|no|N.|the|one|P.|mate|check|stalemate|checkmate) ?.*) => there is <rest>
we have a skewer along the e-file = there is a skewer along the e-file
    (?:so |here )?<us> (?:now )?(?:have|has|see|get|face) (?:here )?(?P<rest>(?:a|an|no|the) (?:\w+ ){0,2}(?:pin|fork|skewer|check|mate|double|discovered|stalemate|rook ending|pawn ending|queen ending).*) => there is <rest>
two men attack d4 = two pieces attack d4
    (?P<what>N. (?:white |black |enemy )?)(?:men|units|ones) (?P<rest>(?:VERB) .*) => <what>pieces <rest>
"""


@dataclass(frozen=True, slots=True)
class Recast:
    """A clause in plain order: its text, and how its places map to those of the form.

    Place `p` of the text is place `p + moved` of the form. Where words were put in another order
    `stop` is the place in the form where the clause ends, and nothing maps.
    """

    text: str
    moved: int = 0
    stop: int | None = None


VERBS = (
    "attack hit defend protect guard cover control watch eye support pin fork skewer block face "
    "occupy threaten target stop prevent shield hold dominate command oppose check blockade win"
).split()
"""What a piece does, in the verbs the families are written with."""

PAST = {
    inflected(verb)["past"]: third_person(verb)
    for verb in (*VERBS, "open", "close", "free", "unpin", "develop", "prepare")
}
PAST |= {
    "hit": "hits",
    "held": "holds",
    "won": "wins",
    "pinned": "pins",
    "freed": "frees",
    "went for": "attacks",
    "unpinned": "unpins",
}
_VERB = "|".join((*map(third_person, VERBS), *VERBS))
_LOOSE = (
    "looks? at|points? at|aims? at|bears? on|bears? down on|looks? after|takes? care of|backs? up"
)
_DOING = "|".join(DOING)
_SHORT = {
    "who": "(?P<who>[SP].)",
    "piece": "(?P<piece>P.)",
    "side": "(?P<side>S.)",
    "thing": "(?P<thing>[PQ].)",
    "it": "(?P<it>[SP].)",
    "whole": "(?P<whole>P.)",
    "us": "(?P<us>S.)",
    "itis": "(?:it|(?P<it>P.)) (?:is|was)",
    "n": "(?P<n>N.)",
    "verb": f"(?P<verb>(?:{_VERB}|{_LOOSE}))",
    "act": f"(?P<act>{_VERB})",
    "past": f"(?P<past>{'|'.join(sorted(PAST, key=len, reverse=True))})",
    "doing": f"(?P<doing>{_DOING})",
    "what": "(?P<what>[^,;:.]*[^,;:. ])",
    "rest": "(?P<rest>.*)",
    "end": "(?= ?$| [,;:.!])",
}


def examples() -> Iterator[tuple[str, str]]:
    """The examples of the table, each with the plain clause it is read as."""
    yield from re.findall(r"^(\S.*?) = (.*)$", TABLE, re.M)


@cache
def _rules() -> tuple[Wordings, tuple[str, ...]]:
    """The rules of the table: what is said, ready to be found, and the plain clauses for it."""
    rules = re.findall(r"^ {4}(.*) => (.*)$", TABLE, re.M)
    return Wordings([(_template(said), "") for said, _ in rules], {}), tuple(p for _, p in rules)


def _template(said: str) -> str:
    """What is said in a rule as a regular expression."""
    template = re.sub(r"(?<!\?P)<([a-z]+)>", lambda m: _SHORT[m[1]], said)
    return template.replace("VERB", f"{_VERB}|{_LOOSE}")


def recast(text: str, begin: int, phrases: Sequence[Phrase]) -> Iterator[Recast]:
    """The ways in which the clause that begins at a place may be put in plain order.

    `text` is that of a normal form, `phrases` are its phrases. Cost: the rules whose first word
    fits are tried, and once more on what they have made.
    """
    seen = {text[begin:]}
    made = list(_once(text, begin, phrases))
    for one in made:
        if one.text not in seen:
            seen.add(one.text)
            yield one
    for one in made:
        for again in _once(one.text, 0, phrases):
            if again.text in seen:
                continue
            seen.add(again.text)
            stop = again.stop
            if one.stop is not None:
                stop = one.stop
            elif stop is not None:
                stop += one.moved
            yield Recast(again.text, again.moved + one.moved, stop)


_MODAL = expression(
    r"(?P<who>(?:there|it|this|that|[SPQMG].)(?: [^,;:.]*?)?) (?:would|will|could|must|might|should|can) (?:then |now |still |already |immediately )*(?P<verb>\w+)(?P<rest>$| .*)"
)
_WOULD_DO = expression(
    rf"S. (?:would|will) (?:then |now )?be (?P<doing>{'|'.join(sorted(DOING, key=len, reverse=True))})(?= )"
)
_TAKES = expression(
    r"(?P<who>[SP].) (?:simply |just )?(?P<verb>takes? back|recaptures?|retakes?|takes?|captures?)(?= |$)"
)
_TAKING = {
    verb + "s" * third + back: verb + back
    for verb, back in (
        ("take", " back"),
        ("recapture", ""),
        ("retake", ""),
        ("take", ""),
        ("capture", ""),
    )
    for third in (0, 1)
}
_TENSES = {
    "be": "is",
    "have": "has",
    "do": "does",
    "go": "goes",
    "own": "has",
    "possess": "has",
    "enjoy": "has",
    "boast": "has",
    "get": "has",
}


def as_it_is(text: str, begin: int) -> Iterator[Recast]:
    """The clause that begins at a place as told of a board that has come about.

    "After h6 the bishop would be attacked" is "the bishop is attacked" on the board after h6.
    """
    if told := _TAKES.match(text, begin):
        lead = f"{told['who']} can {_TAKING[told['verb']]}"
        yield Recast(f"{lead}{text[told.end() :]}", told.end() - len(lead))
    match = _MODAL.match(text, begin)
    if match is None:
        return
    verb = match["verb"]
    if doing := _WOULD_DO.match(text, begin):
        lead = f"it {third_person(DOING[doing['doing']])}"
        yield Recast(f"{lead}{text[doing.end() :]}", doing.end() - len(lead))
    done = verb in VERBS or match["who"][0] in "MQ"
    verb = _TENSES.get(verb) or (third_person(verb) if done else verb)
    plain = f"{match['who']} {verb}{match['rest']}"
    yield Recast(plain, match.start("rest") - (len(plain) - len(match["rest"])))


def _once(text: str, begin: int, phrases: Sequence[Phrase]) -> Iterator[Recast]:
    found, plains = _rules()
    for number, _, end, held in found.leading(text, begin):
        groups = dict(held)
        if not _means_that(groups, phrases):
            continue
        plain = _filled(plains[number], groups)
        rest = groups.get("rest", "")
        if not rest.strip():
            yield Recast(plain.strip(), 0, end)
        else:
            yield Recast(plain, end - len(rest) - plain.rindex(rest))


def _means_that(groups: dict[str, str], phrases: Sequence[Phrase]) -> bool:
    """Whether ``<it>`` is a pronoun, ``<whole>`` is "nothing" or the like and ``<us>`` "we"."""
    if mark := groups.get("us"):
        return phrases[ord(mark[1]) - FIRST_MARK].who in {"we", "you"}
    if mark := groups.get("it"):
        phrase = phrases[ord(mark[1]) - FIRST_MARK]
        return phrase.determiner == "it" or phrase.who in {"he", "they"}
    if mark := groups.get("whole"):
        return phrases[ord(mark[1]) - FIRST_MARK].determiner == "all"
    return True


def _filled(plain: str, groups: dict[str, str]) -> str:
    """The plain clause with what was matched."""

    def put(short: re.Match[str]) -> str:
        name = short[1]
        if name in {"doing", "do"}:
            verb = DOING[groups["doing"]]
            return third_person(verb) if name == "doing" else verb
        if name == "acts" and "past" in groups:
            return PAST[groups["past"]]
        if name == "acts":
            act = groups["act"]
            return third_person(act) if act in VERBS else act
        told = groups.get(name, "")
        return f"S{told[1:]}" if name == "who" and told[:1] == "G" else told

    return re.sub(r"<([a-z]+)>", put, plain)


__all__ = ["TABLE", "VERBS", "Recast", "examples", "recast"]
