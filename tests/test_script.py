"""Parsing: the script language of design §3, its faults, and that nothing is lost."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linewright.english.sentences import read_sentences
from linewright.following import follow
from linewright.inline import Edits, Figure, Link, Mark, MarkKind, Mention, Move, Paren, Text
from linewright.script import Block, BlockKind, Script, parse, read_source
from linewright.source import Source


def script(text: str) -> Script:
    return parse(Source("lesson.md", text))


def first(text: str) -> Block:
    return script(text).blocks[0]


def moves(text: str) -> list[tuple[int | None, bool | None, str]]:
    inlines = [i for block in script(text).blocks for i in block.inlines]
    return [(i.number, i.black, i.written.san) for i in inlines if isinstance(i, Move)]


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("1.d4 d5 2.c4 e6 3.Nc3", ["d4", "d5", "c4", "e6", "Nc3"]),
        ("1. d4 d5 2. c4", ["d4", "d5", "c4"]),
        ("3...Nf6", ["Nf6"]),
        ("3…Nf6", ["Nf6"]),
        ("3... Nf6", ["Nf6"]),
        ("3. ... Nf6", ["Nf6"]),
        ("5.♘xd5 ♞xd5", ["Nxd5", "Nxd5"]),
        ("8.0-0 0-0-0", ["O-O", "O-O-O"]),
        ("4.ed5 exd5", ["exd5", "exd5"]),
        ("6.Nxd5?! Nxd5!!", ["Nxd5", "Nxd5"]),
        ("9.e8=Q e1(N)", ["e8=Q", "e1=N"]),
        ("1.e2-e4 Ng8-f6", ["e2e4", "Ng8f6"]),
        ("**1.d4** *d5* `2.c4`", ["d4", "d5", "c4"]),
        ("1.d4\nd5 2.c4", ["d4", "d5", "c4"]),
    ],
)
def test_moves_are_read_as_chess_books_print_them(written: str, expected: list[str]) -> None:
    assert [san for _, _, san in moves(f"Play {written}.")] == expected


def test_numbers_at_the_start_of_a_line_are_moves_and_not_a_list() -> None:
    blocks = script("1. d4 d5\n2. c4 e6\n3. Nc3\n").blocks
    assert [block.kind for block in blocks] == [BlockKind.PARAGRAPH]
    assert [san for _, _, san in moves("1. d4 d5\n2. c4 e6\n3. Nc3\n")] == [
        "d4", "d5", "c4", "e6", "Nc3",
    ]  # fmt: skip


def test_an_ordinary_list_stays_a_list() -> None:
    blocks = script("1. first thing\n2. second thing\n\n- bullet\n").blocks
    assert [block.kind for block in blocks] == [BlockKind.ITEM] * 3


@pytest.mark.parametrize(
    "text", ["at 3.30 we start", "version 2.0", "it cost 4.50", "page 12. End"]
)
def test_numbers_in_prose_are_no_moves(text: str) -> None:
    assert moves(text) == []


def test_a_lone_square_is_no_mention_but_a_piece_move_is() -> None:
    inlines = first("The pawn on e4 blocks Bg5 and ...c5 and exd5, not e4.").inlines
    assert [i.written.san for i in inlines if isinstance(i, Mention)] == ["Bg5", "c5", "exd5"]


@pytest.mark.parametrize(
    ("address", "marks"),
    [
        ("#e4", (Mark(MarkKind.POINT, "e4"),)),
        ("#e1-e8", (Mark(MarkKind.POINT, "e1", "e8"),)),
        ("#plan:b2-b4,b4-b5", (Mark(MarkKind.PLAN, "b2", "b4"), Mark(MarkKind.PLAN, "b4", "b5"))),
        ("#weak:d5,c6", (Mark(MarkKind.WEAK, "d5"), Mark(MarkKind.WEAK, "c6"))),
        ("#attack:g5-f6", (Mark(MarkKind.ATTACK, "g5", "f6"),)),
        ("#defend:c2", (Mark(MarkKind.DEFEND, "c2"),)),
    ],
)
def test_marks_stand_in_addresses(address: str, marks: tuple[Mark, ...]) -> None:
    link = first(f"[words]({address})").inlines[0]
    assert isinstance(link, Link)
    assert link.marks == marks


def test_what_if_addresses_join_their_edits() -> None:
    link = first("[x](?only=KP&remove=a1,h1&place=Nd5,rd8&turn=black)").inlines[0]
    assert isinstance(link, Link)
    assert link.what_if == Edits("KP", ("a1", "h1"), (("N", "d5"), ("r", "d8")), "black")


def test_a_position_may_stand_in_an_address() -> None:
    fen = "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"
    for written in (f"?fen={fen}", f"<?fen={fen}>", f"?fen={fen.replace(' ', '%20')}"):
        link = first(f"[x]({written})").inlines[0]
        assert isinstance(link, Link)
        assert link.what_if == Edits(fen=fen)


@pytest.mark.parametrize(
    "text",
    [
        "1.d4 and what about 1.Nc3? It is fine.",
        "And is 1.Nc3? No idea.",
        "After an hour what about 1.Nc3? It is fine.",
        "After 1.d4 d5 is 2.Nc3? No idea.",
        "We play 1.d4. Why not 1.Nc3?",
        "Can White play 1.Nc3? 1.d4 is better.",
        "It is quiet; does he like 1.Nc3? Perhaps.",
        "If the clock runs, can we try 1.Nc3? Hardly.",
        "And if he does not take, but plays 1.Nc3? Then 1...d5 is good.",
        "So what happens after 1.d4 d5 2.Nc3?",
        "(What about 1.Nc3?) It is fine.",
        "Which move do you like, 1.Nc3?",
        "You like 1.Nc3? Yes, so do I.",
        "Isn't it **1.Nc3? Surely.**",
    ],
)
def test_the_mark_that_ends_a_question_is_no_sign(text: str) -> None:
    inlines = first(text).inlines
    read = next(i for i in inlines if isinstance(i, Move) and i.written.san == "Nc3")
    assert read.written.suffix == ""
    assert text[read.span.end] == "?"
    words = "".join(i.text for i in inlines if isinstance(i, Text))
    assert words.count("?") == text.count("?")


@pytest.mark.parametrize(
    "text",
    [
        "White goes wrong with 1.Nc3? Black is better.",
        "Do not play 1.Nc3? Black is better.",
        "What about the pawn? The greedy 1.Nc3? Black is better.",
        "If he plays 1.Nc3? then Black is better.",
        "Is it 1.Nc3? d5 2.e4 or not.",
        "Why is 1.Nc3? bad.",
        "White can wait, which allows 1.Nc3? Black is better.",
        "That is why 1.Nc3? Black is better.",
        "What a bad move 1.Nc3?? is.",
        "Can this be good: 1.Nc3?! Hardly.",
    ],
)
def test_the_mark_of_a_mistake_is_a_sign(text: str) -> None:
    read = next(i for i in first(text).inlines if isinstance(i, Move) and i.written.san == "Nc3")
    assert read.written.suffix.startswith("?")


def test_an_exclamation_mark_after_a_move_is_a_sign() -> None:
    assert [
        i.written.suffix
        for i in first("What a move is 1.Nc3! Look.").inlines
        if isinstance(i, Move)
    ] == ["!"]


def test_ordinary_links_and_images_stay_ordinary() -> None:
    link, _, picture, _, board = first(
        "[club](https://club.example) ![us](photo.jpg) ![view](board)"
    ).inlines
    assert isinstance(link, Link)
    assert not link.marks and link.what_if is None
    assert isinstance(picture, Figure) and picture.kind == ""
    assert isinstance(board, Figure) and board.kind == "board"


@pytest.mark.parametrize("date", ["2026-13-14", "2026-02-30", "2026-00-01", "2026/13"])
def test_a_date_there_is_not_is_told(date: str) -> None:
    (fault,) = script(f"---\ndate: {date}\n---\ntext").faults
    assert fault.reason.startswith(f"'date: {date}' is not read: there is no such ")


@pytest.mark.parametrize("date", ["2026-03-12", "2026-03", "2026", "last Tuesday", "12 March"])
def test_other_dates_are_kept(date: str) -> None:
    read = script(f"---\ndate: {date}\n---\ntext")
    assert (read.front.date, read.faults) == (date, ())


@pytest.mark.parametrize(
    ("data", "encoding"),
    [("1.d4 König".encode("cp1252"), "Windows-1252"), ("1.d4 König".encode("utf-16"), "UTF-16")],
)
def test_another_encoding_is_named_and_the_repair_told(data: bytes, encoding: str) -> None:
    source, (fault,) = read_source("a.md", data)
    assert source.text == "1.d4 König"
    assert f"read as {encoding}; save the file as UTF-8" in fault.reason


def test_the_first_wrong_byte_is_found_whatever_stands_before_it() -> None:
    data = "Zoë\r\nund ".encode() + "König".encode("cp1252")
    source, (fault,) = read_source("a.md", data)
    assert source.words(fault.span) == "ö"
    assert "byte 12 is not UTF-8" in fault.reason


def test_a_mark_of_utf_8_is_no_text_though_the_rest_is_windows_1252() -> None:
    source, (fault,) = read_source("a.md", b"\xef\xbb\xbf1.d4 K\xf6nig")
    assert source.text == "1.d4 König"
    assert source.words(fault.span) == "ö"
    assert "byte 10 is" in fault.reason


def test_blocks_have_their_kinds() -> None:
    text = (
        "# Part 1.d4\n\nspoken\n\n- item\n\n> printed\n\n<!-- mine -->\n\n---\n\n"
        "```exercise\nfind it\n```\n\n```\ncode\n```\n"
    )
    kinds = [block.kind.value for block in script(text).blocks]
    assert kinds == [
        "heading", "paragraph", "item", "quote", "note", "pause", "exercise", "code",
    ]  # fmt: skip


def test_parentheses_know_their_partner() -> None:
    parens = [i for i in first("(1.d4 (1.e4) d5) and ( open").inlines if isinstance(i, Paren)]
    assert [(p.opens, p.partner) for p in parens] == [
        (True, True), (True, True), (False, True), (False, True), (True, False),
    ]  # fmt: skip


def test_escapes_entities_and_emphasis_are_resolved() -> None:
    inlines = first(r"a \*b\* &amp; **c** _d_ 2 * 3 * 4").inlines
    assert "".join(i.text for i in inlines if isinstance(i, Text)) == "a *b* & c d 2 * 3 * 4"
    styled = {i.text: i.style for i in inlines if isinstance(i, Text)}
    assert styled["c"].strong and styled["d"].emphasis


def test_front_matter_is_read() -> None:
    front = script(
        "---\ntitle: T\nfor: black\nstudents: 1200 – 1800\npace: 150\nminutes: 8-10\n"
        "games: [club, county]\naccept:\n  - {rule: r, place: p, because: b}\n---\ntext"
    ).front
    assert (front.title, front.taught, front.students, front.pace) == (
        "T",
        "Black",
        (1200, 1800),
        150,
    )
    assert front.minutes == (8.0, 10.0)
    assert front.games == ("club", "county")
    assert [(a.rule, a.place, a.because) for a in front.accept] == [("r", "p", "b")]


@pytest.mark.parametrize(
    "head",
    [
        "- a\n- list",
        "a: *x\nb: &x 1",
        "a: !!python/object/apply:os.system [ls]",
        "[" * 5000,
        "title: [",
        "x: &a [1]\ny: [*a,*a,*a]",
        "accept: 3",
        "accept:\n  - 3",
        "start: 8/8",
        "\x07: 1",
        "pace: 0",
        "students: 9999-1",
        "title: a\ntitle: b",
        "? [complex, key]\n: value",
    ],
)
def test_hostile_front_matter_is_a_finding_and_the_rest_is_read(head: str) -> None:
    read = script(f"---\n{head}\n---\nPlay 1.d4.\n")
    assert [i.written.san for b in read.blocks for i in b.inlines if isinstance(i, Move)] == ["d4"]
    if "start" not in head:
        assert read.faults


def test_very_long_front_matter_is_left_out() -> None:
    read = script("---\n" + "a: b\n" * 30_000 + "---\nPlay 1.d4.\n")
    assert any("longer than" in fault.reason for fault in read.faults)


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"\xef\xbb\xbf1.d4", "1.d4"),
        ("1.d4 \u2014 caf\u00e9".encode("cp1252"), "1.d4 \u2014 caf\u00e9"),
        (b"1.d4\r\n\r\n1...d5\r", "1.d4\n\n1...d5\n"),
        ("1.d4".encode("utf-16"), "1.d4"),
        (b"", ""),
        (b"\xff\xfe\x00", "\ufffd"),
    ],
)
def test_any_bytes_are_read(data: bytes, expected: str) -> None:
    source, _ = read_source("x", data)
    assert source.text.lstrip("\ufeff") == expected


PIECES = st.sampled_from(
    [
        "1.d4",
        "d5",
        "2.c4",
        "e6",
        "3.Nc3",
        "3...Nf6",
        "(",
        ")",
        "[",
        "]",
        "(#e4)",
        "(?only=KP)",
        "![view](board)",
        "**",
        "*",
        "_",
        "`",
        "<!--",
        "-->",
        "\n",
        "\n\n",
        "> ",
        "# ",
        "- ",
        "1. ",
        "---",
        "```",
        "```exercise",
        "\\",
        "&amp;",
        "Nf9",
        "O-O-O-O",
        "...",
        "♘",
        "é",
        "\0",
        "=",
        "e8=Q",
        "$5",
        " ",
        "text",
        "Bb5+",
        "\t",
    ]
)


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES, max_size=40).map(" ".join) | st.text(max_size=200))
def test_parsing_never_raises_and_every_span_lies_in_the_text(text: str) -> None:
    text = text.replace("\r", "\n")  # as `read_source` gives it
    read = script(text)
    for block in read.blocks:
        assert 0 <= block.span.start <= block.span.end <= len(text)
        for inline in block.inlines:
            assert block.span.start <= inline.span.start < inline.span.end <= len(text)
            if isinstance(inline, Move):
                assert inline.written.text in text
    for fault in read.faults:
        assert 0 <= fault.span.start <= fault.span.end <= max(len(text), 4)


@settings(max_examples=200, deadline=None)
@given(st.lists(PIECES, max_size=40).map(" ".join))
def test_inlines_are_in_order_and_do_not_overlap(text: str) -> None:
    for block in script(text).blocks:
        for before, after in zip(block.inlines, block.inlines[1:], strict=False):
            assert before.span.end <= after.span.start


@pytest.mark.parametrize(
    ("line", "words", "repairs"),
    [
        ("title: Why not: the pawn", "has a colon inside", ('title: "Why not: the pawn"',)),
        ("title: @home", "begins with @", ('title: "@home"',)),
        ("\tfor: White", "a tab moves 'for: White' in", ("for: White",)),
        ('title: "Open', "does not end with", ()),
    ],
)
def test_front_matter_that_cannot_be_read_is_told_without_jargon(
    line: str, words: str, repairs: tuple[str, ...]
) -> None:
    """Found in use: "mapping values are not allowed here" said nothing to a teacher."""
    read = script(f"---\nlanguage: en\n{line}\n---\n1.e4 e5.\n")
    (fault,) = read.faults
    assert words in fault.reason
    assert fault.repairs == repairs
    assert line.strip() in read.source.words(fault.span)


def test_a_quote_left_open_far_above_is_told_where_it_opens() -> None:
    """Found in use: the last line of the head was told to be none, which was one."""
    read = script('---\ntitle: "Open\nfor: White\npace: 120\nresult: 1-0\n---\n1.e4 e5.\n')
    (fault,) = read.faults
    assert read.source.words(fault.span) == 'title: "Open'


WRITTEN_IN_HASTE = {
    "figures never closed": lambda count: "![x](" * count,
    "marks never closed": lambda count: "[x](#" * count,
    "square brackets": lambda count: "[" * count,
    "round brackets": lambda count: "(" * count,
    "links in links": lambda count: "[" * count + "x" + "](#e4)" * count,
    "emphasis never closed": lambda count: "**a " * count + "x_ " * count,
    "space in an address": lambda count: "[x](?fen=a" + " " * (8 * count) + "(",
}


@pytest.mark.parametrize("written", WRITTEN_IN_HASTE.values(), ids=WRITTEN_IN_HASTE)
def test_four_times_the_marks_take_hardly_more_than_four_times_as_long(
    written: Callable[[int], str],
) -> None:
    def cost(count: int) -> float:
        text = "# Part\n\n1.e4 e5\n\n" + written(count) + "\n"
        began = process_time()
        script(text)
        return process_time() - began

    few = max(min(cost(1000) for _ in range(3)), 0.005)
    assert min(cost(4000) for _ in range(2)) < 9 * few


def test_links_nested_deeper_than_anyone_writes_are_printed() -> None:
    read = script("[" * 500 + "x" + "](#e4)" * 500)
    inlines, depth = read.blocks[0].inlines, 0
    while inlines and isinstance(inlines[0], Link):
        inlines, depth = inlines[0].children, depth + 1
    assert depth == 20
    assert isinstance(inlines[0], Text)
    assert inlines[0].text == "[" * 480 + "x]"


def test_much_space_between_words_costs_no_more_than_its_length() -> None:
    def cost(blanks: int) -> float:
        began = process_time()
        assert len(read_sentences("the knight waits" + " " * blanks + "on f3")) == 1
        return process_time() - began

    few = max(min(cost(2000) for _ in range(3)), 0.005)
    assert min(cost(8000) for _ in range(2)) < 9 * few


PLAYED = "1.d4 d5 2.c4 e6 3.Nc3 Nf6.\n\n"


@pytest.mark.parametrize(
    ("text", "line", "doubted"),
    [
        (PLAYED + "1. e4 is weak now.\n2. Nf6 looks at it.", "1.d4 d5 2.c4 e6 3.Nc3 Nf6", False),
        (PLAYED + "1. Wait.\n2. Nbd7 comes next.\n3. Castle.", "1.d4 d5 2.c4 e6 3.Nc3 Nf6", False),
        ("1. e4 c5 is sharp.\n2. e4 e6 is calm.\n3. e4 c6 is solid.", "", False),
        ("1. d4 holds e5.\n2. c4 comes next.", "", True),
        ("1. d4 waits for 11... e5.\n2. c4 comes next.", "", True),
        ("1. d4 d5\n2. c4 e6 is solid.\n3. Nc3", "1.d4 d5 2.c4 e6 3.Nc3", False),
        ("1. d4 holds e5.\n1... d5 does too.\n2. c4 hits it.", "1.d4 d5 2.c4", False),
        ("1.d4 d5\n\n2. c4 hits it.\n\n2... e6\n\n3. Nc3 is next.", "1.d4 d5 2.c4 e6 3.Nc3", False),
    ],
)
def test_a_numbered_list_is_moves_only_where_it_reads_as_a_run(
    text: str, line: str, doubted: bool
) -> None:
    """Found in use: "1. e4 is attacked." in a summing up was played on the board."""
    script = parse(Source("a.md", text))
    tree = follow(script).tree
    assert (tree.text(tree.main_line()[-1].index) if tree.main_line() else "") == line
    assert any(fault.kind == "list" for fault in script.faults) == doubted


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            "1. d4 Nf6\n2. c4 e6\n3. Nc3 Bb4\n4. a3 Bxc3+\n5. bxc3 d6\n6. c5 dxc5\n7. c4 O-O",
            "1.d4 Nf6 2.c4 e6 3.Nc3 Bb4 4.a3 Bxc3+ 5.bxc3 d6 6.c5 dxc5 7.c4 O-O",
        ),
        ("1. d4 d5\n2. Nf3 Nf6\n3. d4 e6\n4. Nc3 Be7", "1.d4 d5 2.Nf3 Nf6"),
        ("1. e4 is a king's pawn.\n2. e4 is strong.", ""),
    ],
)
def test_one_pawn_move_told_twice_makes_no_points_of_moves_of_both_sides(
    text: str, line: str
) -> None:
    """Found in use: a game with two pawns that came to c4, or with a slip, was not played."""
    lesson = follow(parse(Source("a.md", text)))
    assert lesson.tree.text(lesson.tree.main_line()[-1].index if line else 0).startswith(line)
    assert lesson.slips or line.endswith("O-O") or not line


@pytest.mark.parametrize(
    "text",
    ["1. e4, e5\n2. Nf3, Nc6", "1. e4 – e5\n2. Nf3 – Nc6", "1. e4 (so) e5\n2. Nf3 (then) Nc6"],
)
def test_moves_of_a_list_with_a_mark_between_them_are_told_as_such(text: str) -> None:
    """Found in use: the list was said not to have both sides' moves."""
    (fault,) = script(text).faults
    assert fault.kind == "list"
    assert "something stands between" in fault.reason


def test_a_list_behind_a_heading_may_open_a_game_of_its_own() -> None:
    """Found in use: a second game told as a list was left out without a word."""
    points = "1. d4 is a queen's pawn.\n2. c4 is next."
    assert [f.kind for f in script(f"1.e4 e5\n\n# Second\n\n{points}").faults] == ["list"]
    assert not script(f"1.e4 e5\n\n{points}").faults
    assert not script(f"# After 1.e4 e5\n\n{points}").faults


def test_a_numbered_list_between_moves_and_points_is_doubted() -> None:
    script = parse(Source("a.md", "1. d4 d5\n2. c4 hits it.\n3. Nc3"))
    assert [fault.kind for fault in script.faults] == ["list"]
    assert [block.kind for block in script.blocks] == [BlockKind.PARAGRAPH]
