"""Moves that are only talked about, and the same words where they tell a move."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Reading, hear
from linewright.talk.mentions import NEVER, only_talk
from linewright.talk.transcript import read_transcript


def lines(text: str) -> list[str]:
    talk = hear(read_transcript(Source("talk.txt", text)))
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


def told(text: str, words: str) -> set[bool]:
    """Whether the phrases that are just these words are plainly only talk, in each of their places."""
    reading = Reading.of(read_transcript(Source("talk.txt", text)))
    found = set()
    for phrases in reading.phrases.values():
        for phrase in phrases:
            said = " ".join(token.text for token in reading.tokens[phrase.first : phrase.end])
            if said == words:
                assert only_talk(reading.tokens, phrase) <= (phrase.told == NEVER)
                found.add(phrase.told == NEVER)
    assert found, words
    return found


ITALIAN = "e4 e5, knight f3, knight c6, bishop c4, bishop c5. "
SCOTCH = "e4 e5, knight f3, knight c6, d4, e takes d4. "


@pytest.mark.parametrize(
    ("talk", "words", "played"),
    [
        (ITALIAN + "White can't castle. He goes d3, knight f6.", "castle",
         ITALIAN + "White wants safety, so he decides to castle. Then d6, d3."),
        (SCOTCH + "White doesn't take on d4, he goes bishop c4.", "take on d4",
         SCOTCH + "Now we take on d4, bishop c5."),
        (SCOTCH + "We don't take back straight away, we go bishop c4.", "take back",
         SCOTCH + "We take back, bishop c5."),
        (ITALIAN + "White wants d4. First c3, knight f6.", "d4",
         ITALIAN + "White plays d4, e takes d4."),
        (ITALIAN + "He'd like to play d4. First c3, knight f6.", "d4",
         ITALIAN + "He likes to play d4, e takes d4."),
        (ITALIAN + "White is going to roll forward with d4. First c3, knight f6.", "d4",
         ITALIAN + "White rolls forward with d4, e takes d4."),
        (ITALIAN + "a3, that stops b4. Knight f6.", "b4",
         ITALIAN + "And b4, bishop takes b4."),
        (ITALIAN + "The idea is d4. c3, knight f6.", "d4",
         ITALIAN + "And d4, e takes d4."),
        (ITALIAN + "Knight g5 is coming. c3, knight f6.", "knight g5",
         ITALIAN + "c3 knight f6, and knight g5 comes, d5."),
        (ITALIAN + "d3, with knight g5 to come. Knight f6.", "knight g5",
         ITALIAN + "d3, knight f6, and knight g5, castles."),
        (ITALIAN + "Two people said knight g5. But c3, knight f6.", "knight g5",
         ITALIAN + "d3, knight f6. What did two people say? Quiet. Knight g5, castles."),
        (ITALIAN + "I'd have played b4. c3, knight f6.", "b4",
         ITALIAN + "I played b4, bishop takes b4."),
        (ITALIAN + "Black needs one more move, knight f6. But it's White's turn, c3.", "knight f6",
         ITALIAN + "Black makes the next move after c3, knight f6."),
        (ITALIAN + "And next d4. First c3, knight f6.", "d4",
         ITALIAN + "And then d4, e takes d4."),
        (ITALIAN + "d4 would lose a pawn. c3, knight f6.", "d4",
         ITALIAN + "d4 loses a pawn, e takes d4."),
        (ITALIAN + "Maybe d4. Later. c3, knight f6.", "d4",
         ITALIAN + "Boldly d4, e takes d4."),
        (SCOTCH + "Knight takes d4. White should not exchange too many pieces. Bishop c5.", "exchange",
         SCOTCH + "Knight takes d4, knight takes d4. And now we exchange, queen takes d4."),
        (SCOTCH + "Take your time. Knight takes d4, bishop c5.", "take",
         SCOTCH + "We take, bishop c5."),
        (ITALIAN + "A knight on g5 is the dream. c3, knight f6.", "knight on g5",
         ITALIAN + "c3 knight f6, the knight on g5 is a nuisance."),
        (ITALIAN + "The root of his trouble is d4. c3, knight f6.", "d4",
         ITALIAN + "The best move here is d4, e takes d4."),
        (ITALIAN + "If White ever gets d4 in, he is happy. c3, knight f6.", "d4",
         ITALIAN + "White gets a big centre with d4 now, e takes d4."),
        (ITALIAN + "d3, and castles next. Knight f6.", "castles",
         ITALIAN + "d3, knight f6, castles."),
        (ITALIAN + "c3, and next is d4. Knight f6.", "d4",
         ITALIAN + "c3 knight f6, and the next move is d4."),
        (ITALIAN + "The rook looks along the fifth rank. c3.", "the fifth",
         ITALIAN + "White wins d5, the fifth. c3."),
    ],
)  # fmt: skip
def test_words_that_only_talk_of_a_move(talk: str, words: str, played: str) -> None:
    assert True in told(talk, words)
    assert True not in told(played, words)


def test_what_if_a_move_is_not_made_may_be_looked_at() -> None:
    assert told(SCOTCH + "And if White doesn't take on d4, bishop c5.", "take on d4") == {False}
    assert told(SCOTCH + "Why don't we take on d4? Let's see.", "take on d4") == {False}


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("d3, knight f6. Black needs one more move, castles, and then he castles and is safe. Where"
         " would you like White's pieces? I would like a knight on g5. White plays c3, d6.",
         "d3 Nf6 c3 d6"),
        ("d3, knight f6. I asked round the room. Six people said knight g5, two said castles. White"
         " plays c3, d6.", "d3 Nf6 c3 d6"),
    ],
)  # fmt: skip
def test_the_game_goes_on_from_the_board_before_the_talk(words: str, wanted: str) -> None:
    assert lines(ITALIAN + words) == [f"e4 e5 Nf3 Nc6 Bc4 Bc5 {wanted}"]


def test_the_number_of_a_move_is_no_rank() -> None:
    assert told("A gambit gives a pawn on move two. e4 e5, f4.", "pawn on move two") == {True}
    assert True not in told("e4 e5, knight f3 knight f6, pawn d four.", "pawn d four")


def test_men_that_are_counted_do_not_move() -> None:
    """Also in captions without stops: who attacks a square, and who defends it."""
    count = "c3 knight f6 d4 now the attackers knight c6 queen b6 and our defenders {} that holds"
    assert told(ITALIAN + count.format("knight f3 queen d1"), "queen b6") == {True}
    assert told(ITALIAN + count.format("knight f3 queen d1"), "queen d1") == {True}
    talk = (
        ITALIAN + "c3, knight f6, d4. With two attackers he takes, e takes d4, bishop b6, queen d1."
    )
    assert told(talk, "bishop b6") == {False}


def test_who_asks_something_makes_no_move() -> None:
    begun = "so e4 e5 night f3 night c6 bishop c4 bishop see five "
    asked = "somebody always asks can't we take on e5 and no we can't c3 night f6"
    assert told(begun + asked, "asks") == {True}
    assert told(begun + "c3 night f6 d3 asks night g4", "asks") == {False}


@pytest.mark.parametrize(
    "words", ["hands up", "raise your hands", "put your hand up", "eyes on the board", "sit down"]
)
def test_what_the_class_is_told_to_do_is_no_move(words: str) -> None:
    assert told(f"{ITALIAN}c3. {words.capitalize()}! What does Black do? Knight f6.", words) == {
        True
    }


@pytest.mark.parametrize("words", ["the slow defence", "that is the australian attack"])
def test_the_name_of_an_opening_is_no_move(words: str) -> None:
    assert told(f"{ITALIAN}c3. {words.capitalize()}. Knight f6, d4.", words) == {True}


def test_other_words_may_still_stand_for_a_move() -> None:
    clause = "heads up"
    assert told(f"{ITALIAN}c3. {clause.capitalize()}! Knight f6, d4.", clause) == {False}


ENDING = (
    "e4 e5, knight f3 knight c6, d4, e takes d4, knight takes d4, knight f6, knight takes c6,"
    " b takes c6, bishop d3, d5, e takes d5, c takes d5, castles, bishop e7, bishop g5, castles,"
    " bishop takes f6, bishop takes f6. "
)


@pytest.mark.parametrize(
    "announced",
    [
        "And now the last move I want to show you,",
        "And now one more move that I'd like to show,",
        "Here is a move we want to look at:",
        "And I would like to finish with",
    ],
)
@pytest.mark.parametrize("stops", [True, False])
def test_a_move_that_the_teacher_announces_is_made(announced: str, stops: bool) -> None:
    """Found in use: "the last move I want to show you" was a wish, and the move was lost in silence."""
    text = f"{ENDING}{announced} knight d2."
    talk = text if stops else text.lower().replace(",", "").replace(".", "").replace(":", "")
    assert [line.split()[-2:] for line in lines(talk)] == [["Bxf6", "Nd2"]]


@pytest.mark.parametrize(
    "set_up",
    [
        "now careful people play knight f3 and some of you like bishop e3 with queen d2 and all that but it's f4",
        "now others prefer bishop g5 with queen d2 and so on but tonight it's f4",
        "now some people play knight f3 and bishop e2 and that sort of thing but f4 is the move",
    ],
)
def test_a_set_up_told_in_passing_brings_in_no_moves(set_up: str) -> None:
    """Found in use: replies that nobody said stood between the moves of a set-up."""
    text = f"White opens with e4 we play d6 d4 knight f6 knight c3 g6 {set_up} bishop g7 knight f3"
    talk = hear(read_transcript(Source("talk.txt", text)))
    assert [talk.moves[node].san for node in talk.main_line()][6:] == ["f4", "Bg7", "Nf3"]
    assert all(len(line.moves) == 7 for line in talk.lines[:-1])


def test_one_side_meets_a_move_with_another() -> None:
    text = "e4 d6, d4 knight f6, knight c3 g6. White likes to meet this with bishop e3, bishop g7, queen d2."
    assert lines(text) == ["e4 d6 d4 Nf6 Nc3 g6 Be3 Bg7 Qd2"]


@pytest.mark.parametrize(
    "idle", ["if we just sit there then e5 comes and it hurts us", "if black does nothing then e5"]
)
def test_what_comes_if_nobody_moves_needs_no_move_before_it(idle: str) -> None:
    """Found in use: a castling that nobody said made "if we just sit there then e5 comes" legal."""
    told = "White plays e4 black plays d6 d4 knight f6 knight c3 g6 f4 bishop g7 knight f3"
    assert [line.split()[-2:] for line in lines(f"{told} and {idle} so we play c5")] == [
        ["Nf3", "c5"]
    ]


def test_what_follows_an_idle_move_may_be_a_line() -> None:
    told = "White plays e4 black plays d6 d4 knight f6 knight c3 g6 f4 bishop g7 knight f3"
    idle = f"{told} and if we do nothing then e5 d takes e5 f takes e5 and our knight is hit"
    assert lines(idle)[-1].endswith("e5 dxe5 fxe5")


@pytest.mark.parametrize(
    "words",
    [
        "No, there's no rook on the c-file yet.",
        "With a rook on the c-file it would be a fine move.",
        "He has no rook on the c-file.",
        "Without a rook on the c-file that is nothing.",
    ],
)
def test_a_man_that_is_missed_makes_no_move(words: str) -> None:
    """Found in use: "no, there's no rook on the c-file yet" played the rook there."""
    reading = Reading.of(read_transcript(Source("talk.txt", f"e4, e5. {words}")))
    named = [p for same in reading.phrases.values() for p in same if p.spec.to_file == "c"]
    assert named and all(phrase.told == NEVER for phrase in named)


def test_a_man_that_is_there_may_move() -> None:
    reading = Reading.of(read_transcript(Source("talk.txt", "e4, e5. No, rook to the c-file.")))
    named = [p for same in reading.phrases.values() for p in same if p.spec.to_file == "c"]
    assert named and not any(phrase.told == NEVER for phrase in named)


def test_moves_that_are_only_presented_make_no_other_move() -> None:
    """Found in use: behind "there's knight e5" the words "there's the quiet e3" played a reply."""
    talk = hear(
        read_transcript(
            Source(
                "talk.txt",
                "d4, d5, c4, c6, knight f3, knight f6, knight c3, d takes c4, a4, bishop f5. White has"
                " two ways. There's knight e5, and there's the quiet e3. Let me show you knight e5"
                " first. Knight e5, e6, f3, bishop b4.",
            )
        )
    )
    assert [move.san for move in talk.lines[0].moves][-4:] == ["Ne5", "e6", "f3", "Bb4"]
    assert "Nbd7" not in {move.san for move in talk.moves.values()}


@pytest.mark.parametrize(
    "listed",
    [
        "So d6, f6, g5, h6, all those dark squares, nobody minds them.",
        "And d6 and f6 are the holes.",
        "so d6 f6 and g5 those squares are weak",
        "He has these four little pawns, d5, e6, f7, g7, and not one has moved far.",
    ],
)
def test_squares_that_are_called_so_together_are_no_moves(listed: str) -> None:
    """Found in use: of a list of weak squares one was played."""
    opening = "e4 e6, d4 d5, knight c3 bishop b4, e5 c5, a3 bishop takes c3, b takes c3, knight e7."
    assert lines(f"{opening} {listed} Knight f3.")[-1].endswith("bxc3 Ne7 Nf3")


def test_moves_before_words_of_all_squares_are_made() -> None:
    assert lines("e4 e5, d4, all the squares are open now.") == ["e4 e5 d4"]


@pytest.mark.parametrize(
    "asked",
    ["So which trades does White want?", "Most exchanges help Black.", "What captures are there?"],
)
def test_trades_in_general_are_no_trade(asked: str) -> None:
    """Found in use: "which trades does White want" took a knight."""
    assert lines(f"{ITALIAN}d3, knight f6. {asked} Castles, d6.")[-1].endswith("d3 Nf6 O-O d6")


TRIED = (
    "White plays f4, d5, knight f3, knight f6, e3, g6, bishop e2, bishop g7, castles, castles, d3, c5,"
    " queen e1, knight c6, knight c3, and then d4. {} Pawn takes, pawn takes, and his pawn is a nuisance."
    " So the knight goes back to d1 first. Black takes on e3, and we take back with the knight."
)


@pytest.mark.parametrize("asked", ["Should we take?", "Can we take it?"])
def test_what_is_tried_behind_a_question_is_supposed(asked: str) -> None:
    """Found in use: "should we take? Pawn takes, pawn takes" was a capture by the knight, and shown."""
    talk = hear(read_transcript(Source("a.txt", TRIED.format(asked))))
    kinds = {talk.label(node): move.kind for node, move in talk.moves.items()}
    assert (kinds["9.exd4"], kinds["9...cxd4"]) == ("supposed", "supposed")
    assert "9.Nxd4" not in kinds and kinds["10.Nxe3"] == "shown"


def test_the_number_of_a_move_stands_behind_it() -> None:
    """Found in use: "bishop g4 there on move two" was heard two moves later."""
    said = (
        "After f4 the answer is d5. Knight f3, knight f6. Next e3. Some people pin us with bishop g4"
        " there on move two, and then I go e3, e6, h3, bishop takes f3, queen takes f3. But we are in"
        " the main line, so after e3 he plays g6, bishop e2, bishop g7."
    )
    talk = hear(read_transcript(Source("a.txt", said)))
    told = {talk.label(node) for node, move in talk.moves.items() if move.said is not None}
    assert {"2...Bg4", "3.e3", "3...e6", "4.h3", "4...Bxf3", "5.Qxf3"} <= told
    assert all(move.said is not None for move in talk.moves.values())


ALEKHINE = (
    "White plays e4, and we answer with knight f6. White pushes: e5, the knight goes to d5, d4, d6,"
    " knight f3. We play bishop g4, bishop e2, e6. White castles, and we play bishop e7. Now c4 kicks"
    " our knight, and it goes to b6. "
)


@pytest.mark.parametrize(
    ("plan", "item"),
    [
        ("He would love to keep his pawns on d4 and e5, put a knight on c3, and squeeze us.",
         "knight on c3"),
        ("So the plan is: castle, trade on f3 and jump into c4.", "castle"),
        ("So the plan is simple: castle, trade on f3 and jump into c4.", "jump into c4"),
        ("He hopes to push on the kingside and take on d6.", "take on d6"),
    ],
)  # fmt: skip
def test_all_that_is_of_one_wish_is_wished(plan: str, item: str) -> None:
    """Found in use: "he would like to keep his pawns there, put a knight on c3" moved the knight."""
    text = f"{ALEKHINE}{plan} Now White plays h3, bishop takes f3."
    assert told(text, item) == {True}
    assert lines(text)[0].endswith("c4 Nb6 h3 Bxf3")


@pytest.mark.parametrize(
    "plan",
    [
        "He wants to play on the kingside, but we castle.",
        "The plan is good, so we castle.",
        "He wants to attack. Castle, of course!",
    ],
)
def test_what_another_clause_tells_is_not_wished(plan: str) -> None:
    assert told(f"{ALEKHINE}Knight c3. {plan}", "castle") == {False}


def test_a_plan_of_one_move_is_played() -> None:
    """Found in use: "the plan is simple: castle." lost castling."""
    text = f"{ALEKHINE}Knight c3. The plan is simple: castle. H3, bishop takes f3."
    assert told(text, "castle") == {False}


def test_when_something_will_be_so_is_no_line() -> None:
    """Found in use: "weak if the knight goes to d7" went there, behind a move that nobody said."""
    text = f"{ALEKHINE}The pawn on e5 will be weak if the knight goes to d7. Knight c3, castles."
    assert told(text, "knight goes to d7") == {True}
    assert lines(text) == ["e4 Nf6 e5 Nd5 d4 d6 Nf3 Bg4 Be2 e6 O-O Be7 c4 Nb6 Nc3 O-O"]
    line = f"{ALEKHINE}Knight c3. It will be dull if we take on f3, bishop takes f3, castles."
    assert told(line, "take on f3") == {False}


def test_what_then_comes_is_as_real_as_what_it_comes_behind() -> None:
    """Found in use: "our next move is usually to castle, and then comes f6" on White's move."""
    text = (
        "e4, knight f6, e5, knight d5, d4, d6, c4, knight b6, f4, d takes e5, f takes e5, knight c6,"
        " bishop e3, bishop f5, knight c3, e6, knight f3 and bishop e7. Our next move is normally to"
        " castle, and then comes f6, which bites into it."
    )
    assert lines(text)[0].endswith("e6 Nf3 Be7")


def test_one_side_cannot_do_both_things_of_a_rule() -> None:
    """Found in use: "if you take on e5, you follow with c6" put a knight there, as a slip."""
    text = f"{ALEKHINE}If you take on e5, you {{}} c6. Knight c3, castles."
    assert told(text.format("follow with"), "take on e5") == {True}
    assert told(text.format("must play"), "take on e5") == {True}
    assert told(text.format("lose"), "take on e5") == {False}
    named = f"{ALEKHINE}If you take on e5, you play a gambit. D takes e5, knight takes e5."
    assert told(named, "take on e5") == {False}
    other = (
        f"{ALEKHINE}If we take on e5, he plays knight takes e5, bishop takes e2, queen takes e2."
    )
    assert told(other, "take on e5") == {False}
