"""Which words of a talk a heading stands above."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

OPEN = "White plays e4, Black plays e5, knight f3, knight c6, d4, e takes d4, knight takes d4."


def parts(text: str) -> list[str]:
    """What the script says, part by part, each with its heading."""
    script = script_text(hear(read_transcript(Source("talk.txt", text))))
    return [" ".join(part.split()) for part in script.split("\n## ")]


def test_a_heading_stands_above_the_paragraph_that_leads_to_its_move() -> None:
    told = parts(
        f"[0:00] {OPEN} Black plays knight f6, knight takes c6, b takes c6, and then e5, queen e7,"
        " queen e2, knight d5, c4, bishop a6, b3. A sharp position.\n\n"
        "[0:20] Yes, Nela? Can't Black take with the d-pawn on move five? You can, but then queen"
        " takes d8, king takes d8, and Black can't castle any more.\n"
    )
    assert told[-1].startswith("5.Nxc6: 5…**dxc6** instead of bxc6 Yes, Nela? Can't Black take")
    assert "Nela" not in told[0]


def test_words_of_a_board_that_the_next_part_leaves_are_a_part_of_their_own() -> None:
    told = parts(
        f"[0:00] {OPEN}\n\n[0:10] There are two moves. One is bishop c5, which attacks the knight."
        " The other is knight f6, which attacks the pawn on e4.\n\n[0:20] The main line today is"
        " bishop c5, so put that on your boards.\n\n[0:30] Yes, Nela? Can Black play queen h4 here"
        " instead? It looks at the pawn. Queen h4 is possible, and there we play knight c3. Black"
        " plays bishop b4, and now bishop e2. Queen takes e4, knight b5.\n\n[0:50] Okay, back to"
        " bishop c5. Now bishop e3, queen f6, c3, knight g to e7, bishop c4, knight e5, bishop e2.\n"
    )
    after = [part for part in told if "put that on your boards" in part]
    assert after == [
        "Back to 4...Bc5 The main line today is bishop c5, so put that on your boards."
    ]
    assert any("instead of Bc5 Yes, Nela? Can Black play 4...Qh4" in part for part in told)


def test_what_is_said_of_the_board_at_hand_stays_above_the_next_heading() -> None:
    told = parts(
        "[0:00] White plays e4, Black plays e5, f4, e takes f4, knight f3, g5, h4, g4. A sharp"
        " position.\n\n[0:20] White's pawn on h4 is attacked by nothing. Black has won a pawn. Back"
        " to move two, d5 there, e takes d5, e4."
    )
    assert told[0].endswith("White's pawn on h4 is attacked by nothing. Black has won a pawn.")
    assert told[1].startswith("2.f4: 2…**d5** instead of exf4 Back to move two")


def test_a_line_told_again_from_its_first_move_is_called_after_where_it_leads() -> None:
    """Found in use: the part of the third reply was called after the first move of the game."""
    told = parts(
        f"{OPEN} Black plays bishop c5, bishop e3, queen f6, c3. Now the second move, knight f6. So we"
        " are after e4, e5, knight f3, knight c6, d4, e takes d4, knight takes d4, knight f6. Knight"
        " takes c6, b takes c6, e5, queen e7."
    )
    assert told[-1].startswith("From 1.e4 to 4…**Nf6** So we are after e4, 1...e5,")
    assert told[-1].endswith("6.e5, 6...Qe7.")


@pytest.mark.parametrize(
    ("opening", "leads"),
    [
        ("Material is level.", ""),
        ("Black's bishop is on a6.", ""),
        ("Material is level. Yes, Tamsin?", "Yes, Tamsin?"),
        ("Is the bishop on a6 safe? Yes, Tamsin.", "Yes, Tamsin."),
        ("Yes, Tamsin? Good question.", "Yes, Tamsin? Good question."),
        ("Anything else? Material is level.", ""),
        ("Now for what somebody asked me by letter after last week's evening.",) * 2,
    ],
)
def test_only_what_says_nothing_of_a_board_leads_to_the_next_part(opening: str, leads: str) -> None:
    told = parts(
        f"{OPEN} Black plays knight f6, knight takes c6, b takes c6, and then e5, queen e7, queen"
        " e2, knight d5, c4, bishop a6, b3. A sharp position.\n\n"
        f"{opening} What about bishop c5 instead of knight f6?"
    )
    kept = opening.removesuffix(leads).strip()
    assert told[0].endswith(f"A sharp position. {kept}".strip())
    heading = "After 4.Nxd4" if "?" in opening else "After 4.Nxd4: 4…**Bc5**"
    assert told[1].startswith(f"{heading} {leads} What about".replace("  ", " "))


@pytest.mark.parametrize(
    "asked",
    [
        "Back to the position after bishop b5. Find the best move for Black. It is",
        "Back to the position after bishop b5. Who knows Black's other move? It is",
        "Who remembers Black's other third move? Yes, instead of a6,",
    ],
)
def test_no_heading_gives_away_the_move_that_is_asked_for(asked: str) -> None:
    """Found in use: "3…Nf6 instead of a6" stood above "who knows Black's other move?"."""
    told = (
        "White plays e4, Black e5, knight f3, knight c6, bishop b5, a6, bishop a4, knight f6, castles,"
        f" bishop e7. {asked} knight f6, castles, knight takes e4, d4."
    )
    assert parts(told)[-1].startswith("After 3.Bb5 ")
