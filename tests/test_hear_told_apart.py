"""Words that name a move said elsewhere: behind its number, taken back, named next, or summed up."""

from __future__ import annotations

from linewright.source import Source
from linewright.talk.heard import Heard, Reading, hear, spoken
from linewright.talk.mentions import HINTED, NEVER
from linewright.talk.recaps import recap
from linewright.talk.record import UNWEIGHED, HeardSlip, Said
from linewright.talk.repairs import as_put_right
from linewright.talk.transcript import Transcript, read_transcript
from linewright.talk.vocabulary import Lexicon, tokenise
from linewright.talk.writing import script_text

SLAV = "d4, d5, c4, c6, knight f3, knight f6, knight c3, d takes c4, a4, bishop f5"


def read(text: str) -> Transcript:
    return read_transcript(Source("talk.txt", text))


def heard(text: str) -> Heard:
    return hear(read(text))


def test_the_number_behind_a_move_says_where_it_is_played() -> None:
    """Found in use: "what if White plays e3 on move five" was played on move six, or three."""
    talk = heard(f"{SLAV}. What if White plays e3 on move five, instead of a4? Then b5, a4, b4.")
    made = next(node for node, move in talk.moves.items() if move.san == "e3")
    assert talk.label(made) == "5.e3"
    assert talk.line_to(made)[:-1] == ("d4", "d5", "c4", "c6", "Nf3", "Nf6", "Nc3", "dxc4")
    assert "instead of a4?" in script_text(talk)


def test_a_number_behind_the_next_move_goes_nowhere() -> None:
    talk = heard(
        "e4, e5, knight f3, knight c6. Bishop b5 on move three is the Spanish. A6, bishop a4."
    )
    assert [len(line.moves) for line in talk.lines] == [7]


def test_a_sentence_that_says_who_takes_leaves_it_to_the_next_what() -> None:
    """Found in use: in "we take. D takes c4" the other side took first."""
    words = "d4, d5, c4, c6, knight f3, knight f6, knight c3. We take. D takes c4. A4, bishop f5."
    reading = Reading.of(read(words))
    bare = [p for same in reading.phrases.values() for p in same if p.end - p.first == 1]
    (take,) = [p for p in bare if reading.tokens[p.first].text == "take"]
    assert take.told <= HINTED
    assert "cxd5" not in {move.san for move in heard(words).moves.values()}


def test_a_noun_behind_a_word_for_a_digit_is_no_square() -> None:
    """Found in use: "it would be a fine move" went back to a5."""
    reading = Reading.of(read(f"{SLAV}. With the other rook it would be a fine move. E3, e6."))
    fine = [p for same in reading.phrases.values() for p in same
            if reading.tokens[p.first].text == "a" and p.end - p.first == 2]  # fmt: skip
    assert all(phrase.told == NEVER for phrase in fine)


def test_what_is_learned_at_the_end_is_summed_up() -> None:
    """Found in use: "so what do we learn? After a4 count ..." went back to a4 under a heading."""
    tokens = Reading.of(read(f"{SLAV}. So what do we learn? After a4 count what hangs.")).tokens
    first, _ = recap(tokens)
    assert [token.text for token in tokens[first : first + 2]] == ["what", "do"]
    tokens = Reading.of(read(f"{SLAV}. What do we learn from that? E3, e6.")).tokens
    assert recap(tokens)[0] == len(tokens)


def test_a_move_that_is_taken_back_for_another_of_the_same_piece_is_no_slip() -> None:
    """Found in use: "bishop e7, no, sorry, bishop b4" was perhaps a slip for e2."""

    def told(words: str) -> int:
        talk = read(f"{SLAV}, e3, e6, bishop takes c4, and now bishop e7{words}")
        tokens = tokenise(spoken(talk))
        first = next(t.word for t in tokens if t.text == "e7") - 1
        line = tuple("d4 d5 c4 c6 Nf3 Nf6 Nc3 dxc4 a4 Bf5 e3 e6 Bxc4".split())
        slip = HeardSlip(
            Said(first, first + 2, "bishop e7", None), "e2", "square", UNWEIGHED, "", line
        )
        return len(list(as_put_right(iter([slip]), tokens, Lexicon.of(tokens))))

    assert told(", no, sorry, bishop b4. Castles.") == 0
    assert told(". Then castles, castles.") == 1


def test_a_preposition_governs_no_square_behind_a_comma() -> None:
    """Found in use: "we have been waiting for, a4!" was no slip for b4, and three moves were lost."""
    reading = Reading.of(read(f"{SLAV}. Here is the push they have been hoping for, e4! E6."))
    (push,) = [p for same in reading.phrases.values() for p in same
               if reading.tokens[p.first].text == "e4" and p.end - p.first == 1]  # fmt: skip
    assert not push.cues.static


def test_a_supposition_behind_why_not_stands_in_the_place_of_the_last_move() -> None:
    """Found in use: a move of the other side was put in before "if Black castles here"."""
    talk = heard(
        "so white begins with d4 knight f6 c4 e6 knight c3 bishop b4 queen c2 and that is why we play"
        " d5 at once somebody will ask me why not just castle let me see if black castles here then a3"
        " comes and after bishop takes c3 queen takes c3 white has two bishops so back to d5 white goes"
        " c takes d5 and we take queen takes d5"
    )
    shown = [" ".join(move.san for move in line.moves)[25:] for line in talk.lines]
    assert "O-O a3 Bxc3+ Qxc3" in shown
    assert "d5 cxd5 Qxd5" in shown


def test_a_number_far_ahead_of_the_first_move_is_not_its_own() -> None:
    """Found in use: after "tonight the queens come off at move five" the first move was not said."""
    talk = heard(
        "good evening in this game the bishops come off at move six white plays d4 black plays d5"
        " then c4 e6 and knight c3"
    )
    assert [" ".join(move.san for move in line.moves) for line in talk.lines] == ["d4 d5 c4 e6 Nc3"]
    assert "not said" not in script_text(talk)


def test_a_number_in_what_is_said_of_a_move_is_not_that_of_the_next() -> None:
    """Found in use: after "knight f6 was the move on move two, and" the next was none of move three."""
    talk = heard(
        "e4, e5, knight f3, knight f6. What if he goes knight c6? Bishop b5.\n\nLet's go back. Knight"
        " f6 was the move on move two, and here we strike, d4, and he takes on e4."
    )
    shown = [" ".join(move.san for move in line.moves) for line in talk.lines]
    assert shown == ["e4 e5 Nf3 Nf6 d4 Nxe4", "e4 e5 Nf3 Nc6 Bb5"]
    assert not talk.slips


QUEENS = "d4, d5, c4, e6, knight c3, knight f6. "


def test_a_recapture_that_is_told_with_its_man_and_then_in_full_is_one() -> None:
    """Found in use: "we take back with the knight, knight takes d5" took back twice."""
    words = f"{QUEENS}White takes, c takes d5, and we take back with the knight, knight takes d5."
    told = [move.san for move in heard(words).moves.values()]
    assert told[-2:] == ["cxd5", "Nxd5"]


def test_two_men_that_take_take_twice() -> None:
    words = f"{QUEENS}White takes, c takes d5, we take back with the knight, pawn e4. Castles."
    assert "Nxd5" in {move.san for move in heard(words).moves.values()}
    twice = f"{QUEENS}C takes d5, we take back with the pawn, knight takes d5, knight takes d5."
    sans = [move.san for move in heard(twice).moves.values()]
    assert sans[-4:] == ["cxd5", "exd5", "Nxd5", "Nxd5"]


def test_another_one_that_is_taken_is_the_one_named_next() -> None:
    """Found in use: "takes another one d takes e3" took on c3 and then, in its place, on e3."""
    talk = heard(
        "d4 d5 c4 d takes c4 knight f3 knight f6 e3 e6 bishop takes c4 c5 castles a6 bishop b3 knight"
        " c6 knight c3 bishop e7 queen e2 and black takes c takes d4 but rook d1 is strong because if"
        " he grabs another one d takes e3 then rook takes d8 check and his queen is gone"
    )
    moves = {move.san: move for move in talk.moves.values()}
    assert "dxc3" not in moves
    assert moves["dxe3"].kind == "supposed"
