"""Where a teacher should read first: there the hearing may have lost the board."""

from __future__ import annotations

from dataclasses import dataclass

from linewright.talk.answers import overlap, place_of
from linewright.talk.record import AS_SAID, Heard, Said, Turn, when
from linewright.talk.sureness import in_doubt


@dataclass(frozen=True, slots=True)
class ReadFirst:
    """Moves in a row that hardly fit their words: the words of the first and the last, how many."""

    said: Said
    last: Said
    moves: int
    text: str
    """What is to be told of them."""

    @property
    def until(self) -> str:
        """When the last of them is told."""
        return when(self.last)


def read_first(heard: Heard) -> list[ReadFirst]:
    """The stretches to be read first, in the order of the talk."""
    found = []
    for stretch in in_doubt(heard):
        turns = stretch.turns
        first, last = (_words_of(heard, turn) for turn in (turns[0], turns[-1]))
        span = f"{heard.label(turns[0].node)} to {heard.label(turns[-1].node)}"
        text = (
            f"read this first: {len(turns)} moves up to {when(last)} hardly fit their words"
            f" ({span}); the board may be another one from there on, or from a little before"
        )
        spoken = (_words_of(heard, turn) for turn in turns)
        if (
            said := next((one for one in spoken if not _is_put_right(heard, one)), None)
        ) is not None:
            text += f'; if all is right, answer "{place_of(said)}": "{AS_SAID}"'
        found.append(ReadFirst(first, last, len(turns), text))
    return found


def _is_put_right(heard: Heard, said: Said) -> bool:
    """Whether captions are put right in some words: "as said" of them would refuse that."""
    spots = [(one.said.first, one.said.end) for one in heard.caption_changes]
    return any(overlap(spot, (said.first, said.end)) for spot in spots)


def _words_of(heard: Heard, turn: Turn) -> Said:
    first, end = turn.phrase
    words = heard.transcript.words[first:end]
    return Said(first, end, " ".join(word.text for word in words), words[0].start_ms)
