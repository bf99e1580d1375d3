"""Boards, pieces and marks as SVG text: what everything students see is drawn with."""

from linewright.drawing.board import (
    FULL,
    NARROW,
    Dark,
    Gliding,
    Margins,
    board_svg,
    board_words,
    corner,
    ground_svg,
    last_svg,
    shared_shapes,
    squares_of,
    turn_svg,
    white_to_move,
)
from linewright.drawing.engraving import Engraving
from linewright.drawing.marks import Marking, Sign, mark_sample, signs
from linewright.drawing.pieces import piece_group, piece_svg

__all__ = [
    "FULL",
    "NARROW",
    "Dark",
    "Engraving",
    "Gliding",
    "Margins",
    "Marking",
    "Sign",
    "board_svg",
    "board_words",
    "corner",
    "ground_svg",
    "last_svg",
    "mark_sample",
    "piece_group",
    "piece_svg",
    "shared_shapes",
    "signs",
    "squares_of",
    "turn_svg",
    "white_to_move",
]
