"""Words that a recogniser writes for a man throughout a talk are put right wherever they stand."""

from __future__ import annotations

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript


def test_a_man_always_misheard_is_put_right_though_another_is_not() -> None:
    text = (
        "White plays e4 and Black plays e5 the pawn on e5 is attacked by night f3 and night see six"
        " protects the pawn then bishop b5 a pawn goes to a6 and bishop a4 night f6 castles and night"
        " takes e4 the pawn on e4 is gone so rook e1 and the other night was better instead of the"
        " night move the pawn on a6 and the pawn on b7 and the pawn on c7 and the"
        " pawn on g7 stand well and that asks our night the question good night"
    )
    changes = hear(read_transcript(Source("talk.txt", text))).caption_changes
    at = {change.said.first: change.now for change in changes}
    words = text.split()
    nights = [k for k, word in enumerate(words) if word == "night"]
    assert [k for k in nights if k not in at] == nights[-1:]
