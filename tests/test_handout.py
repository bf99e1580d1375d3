"""The handout: a tagged PDF that says what the lesson says, on paper and to those who cannot see it."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from linewright.build import edition_of, examine
from linewright.drawing import board_words
from linewright.outputs import Edition
from linewright.outputs import handout as outputs_handout
from linewright.outputs.handout import literal, make, typeset, typst_source
from linewright.reading import set_out
from linewright.set_blocks import Diagram, Exercise, plain
from linewright.source import Source

HERE = Path(__file__).parent / "pages"


def edition(text: str, **more: Any) -> Edition:
    return edition_of(examine(Source("lesson.md", text)), "lesson", **more)


def read(text: str, **more: Any) -> PdfReader:
    (artifact,) = make(edition(text, **more))
    return PdfReader(io.BytesIO(artifact.data))


def printed(reader: PdfReader) -> str:
    """The text of all pages, line ends and hyphens at line ends taken away."""
    text = "\n".join(page.extract_text() for page in reader.pages)
    return " ".join(re.sub(r"[-\u00ad]\n", "", text).split())


@pytest.fixture(scope="module")
def lesson_text() -> str:
    return (HERE / "exchange.md").read_text()


@pytest.fixture(scope="module")
def handout(lesson_text: str) -> PdfReader:
    return read(lesson_text)


def structure(reader: PdfReader) -> Iterator[Any]:
    """All elements of the tag tree, in reading order."""
    root: Any = reader.trailer["/Root"]
    waiting = [root["/StructTreeRoot"]]
    while waiting:
        element = waiting.pop()
        if not isinstance(element, dict):
            continue
        yield element
        kids = element.get("/K", [])
        kids = kids.get_object() if hasattr(kids, "get_object") else kids
        kids = kids if isinstance(kids, list) else [kids]
        waiting.extend(kid.get_object() for kid in reversed(kids) if hasattr(kid, "get_object"))


def test_it_says_what_it_is(handout: PdfReader) -> None:
    """ISO 14289-1 (PDF/UA-1): 5 (identifier), 7.1 (tags, title shown), 7.2 (language)."""
    root: Any = handout.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert bool(root["/MarkInfo"]["/Marked"])
    assert bool(root["/ViewerPreferences"]["/DisplayDocTitle"])
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
    assert handout.metadata is not None
    assert handout.metadata.title == "The Exchange Variation: a plan for life"


def test_every_diagram_has_its_words(handout: PdfReader, lesson_text: str) -> None:
    """ISO 14289-1, 7.3: figures have an alternative text."""
    reading = set_out(edition(lesson_text).lesson)
    boards = [
        board_words(p.fen, p.marks, imagined=p.imagined)
        if isinstance(p, Diagram)
        else board_words(p.fen)
        for block in reading.blocks
        for p in block.plates
        if isinstance(p, Diagram | Exercise)
    ]
    figures = [element for element in structure(handout) if element.get("/S") == "/Figure"]
    told = [str(figure["/Alt"]) for figure in figures]
    assert [words for words in told if "to move" in words] == boards
    assert "White: king g1" in told[3]
    assert len(told) == len(boards) + 5  # one sample for each kind of mark that the key explains


def test_headings_are_nested_without_gaps(handout: PdfReader) -> None:
    """ISO 14289-1, 7.4.2: heading levels descend by one."""
    levels = [
        int(e["/S"][2:]) for e in structure(handout) if re.fullmatch(r"/H\d", e.get("/S", ""))
    ]
    assert levels == [1, 2, 2, 3, 2, 2]
    skipping = read("#### Deep 1.e4\n\nwords\n\n# Shallow\n\nwords\n\n### Middle\n\nwords\n")
    found = [
        int(e["/S"][2:]) for e in structure(skipping) if re.fullmatch(r"/H\d", e.get("/S", ""))
    ]
    assert found[:4] == [1, 2, 2, 3]


def test_the_outline_leads_to_the_parts(handout: PdfReader) -> None:
    def titles(entries: Any) -> Iterator[str]:
        for entry in entries:
            if isinstance(entry, list):
                yield from titles(entry)
            else:
                yield entry.title

    assert list(titles(handout.outline))[:4] == [
        "The Exchange Variation: a plan for life",
        "The trap on move six",
        "The minority attack",
        "What Black wants",
    ]


def test_all_words_are_printed(handout: PdfReader, lesson_text: str) -> None:
    blocks = set_out(edition(lesson_text).lesson).blocks
    captions = {getattr(plate, "caption", "") for block in blocks for plate in block.plates}
    # A board at the foot of a column stands among the words of its paragraph.
    lines = [line.words for line in lines_of(handout) if line.words.strip() not in captions]
    text = "".join(re.sub(r"[-\u00ad]\n", "", "\n".join(lines)).split())
    for block in blocks:
        for sentence in re.split(r"(?<=[.!?]) ", plain(block.runs)):
            assert sentence.replace(" ", "").replace("-", "") in text.replace("-", ""), sentence
    text = printed(handout).replace(" ", "")
    assert "Queen’sGambitDeclined,ExchangeVariation·D35" in text
    assert "ForWhite·rated1200–1700·MaritSolvang·7October2026" in text
    assert "1of2" in text
    assert "projector" not in text


def test_the_index_names_every_line_with_its_page(handout: PdfReader) -> None:
    text = printed(handout)
    index = text[text.index("Index of moves") :]
    assert re.search(r"1\.d4 d5 2\.c4 .* 8\.Qd2 Kxd8[ .]+1", index)
    assert re.search(r"6\.e3 Be7 .* 14\.axb4[ .]+2", index)
    assert re.search(r"8…Bxd2\+ 9\.Kxd2 Kxd8[ .]+1", index)


@pytest.mark.parametrize(
    ("paper", "size"),
    [("a4", (595.28, 841.89)), ("us-letter", (612.0, 792.0)), ("letter", (612.0, 792.0))],
)
def test_paper_sizes(paper: str, size: tuple[float, float]) -> None:
    """ISO 216 (A4 is 210 × 297 mm); ANSI/ASME Y14.1 (Letter is 8.5 × 11 in)."""
    box = read("1.e4 e5\n", paper=paper).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)


def test_all_fonts_are_embedded_and_none_comes_from_the_system(handout: PdfReader) -> None:
    names = set()
    for page in handout.pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = below["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(descriptor)
            names.add(str(below["/BaseFont"]).split("+")[1].split("-")[0])
    assert names <= {"LibertinusSerif", "NewCMMath", "DejaVuSansMono"}


def test_the_same_lesson_gives_the_same_bytes(lesson_text: str) -> None:
    assert make(edition(lesson_text)) == make(edition(lesson_text))


HOSTILE = """---
title: 'a "quoted" #panic("title") \\ $x$'
club: '#read("/etc/passwd")'
teacher: '") ; panic("out") ; ("'
---

Words #panic("no") \\#eval and "quotes" and [link](https://example.org/"#panic()) $ @ref <label> 1.e4

> "} ) ] #panic()

```
#panic("code")\\
```

![#panic("caption")](board)

![x](#panic)
"""


def test_hostile_words_stay_words() -> None:
    text = printed(read(HOSTILE))
    for words in (
        "#panic(“title”)",
        '#read("/etc/passwd")',
        "#panic(“no”)",
        '#panic("code")\\',
        "$ @ref <label>",
    ):
        assert words in text, words
    assert "root:" not in text


@pytest.mark.parametrize(
    "text",
    ["", "---\ntitle:\n---\n", "<!-- only a note -->", "---\n\n---\n", "> only a quote", "1.e4", "\0\1 control\ufffe \x85",
     "# Only a heading", "---\nlanguage: Norsk bokmål\ndate: never\n---\n\nHei\n", "- a\n\n  b\n- c\n    1. d\n", "日本語 العربية ♘ 🐴"],
)  # fmt: skip
def test_little_or_strange_is_still_printed(text: str) -> None:
    assert len(read(text).pages) == 1


def test_a_character_no_font_has_is_shown_as_missing_and_listed() -> None:
    text = printed(read("Here is \U00013000 and \U0001f434.\n\nMore words.\n"))
    assert "Printed as □, because no font here has them: U+13000" in text
    assert "More words." in text


def test_a_lesson_for_black_is_printed_from_behind_black(lesson_text: str) -> None:
    white, black = (
        typst_source(edition(lesson_text.replace("for: White", f"for: {side}")))
        for side in ("White", "Black")
    )
    assert white != black
    assert "For Black" in black


@given(st.text(max_size=60))
def test_any_text_becomes_one_literal(text: str) -> None:
    made = literal(text)
    assert made[0] == made[-1] == '"'
    inside = re.sub(r"\\.", "", made[1:-1])
    assert '"' not in inside
    assert "\\" not in inside
    assert "\n" not in made


FRAGMENTS = st.sampled_from(
    ["1.e4 e5 ", "2.Nf3 ", "(1...c5) ", "[x](#e4)", "[z](?only=KP)", "![c](board)", "\n\n", "\n# H 1.d4\n", "\n#### H\n",
     "\n> q\n", "\n- item\n", "\n---\n", "```exercise\nanswer: y\n```\n", "**b**", "`c`", "<b>", '"', "\\", "#", "$"]
)  # fmt: skip


@given(st.lists(FRAGMENTS, max_size=12))
@example(["![c](board)", "\n---\n"])
@settings(max_examples=12, deadline=None)
def test_whatever_is_written_becomes_a_handout(parts: list[str]) -> None:
    assert typeset(typst_source(edition("".join(parts)))).startswith(b"%PDF-1.7")


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm is not installed")
def test_the_first_page_is_not_blank(lesson_text: str, tmp_path: Path) -> None:
    from PIL import Image

    path = tmp_path / "handout.pdf"
    path.write_bytes(make(edition(lesson_text))[0].data)
    subprocess.run(
        ["pdftoppm", "-r", "40", "-png", "-f", "1", "-l", "1", path, tmp_path / "p"], check=True
    )
    image = Image.open(next(tmp_path.glob("p*.png"))).convert("L")
    dark = sum(image.histogram()[:128]) / (image.width * image.height)
    assert 0.02 < dark < 0.3


def test_the_box_of_the_main_line_is_no_key_idea() -> None:
    words = printed(read("> **Main line.** 1.e4 e5 2.Nf3\n\n1.e4 d5 is answered by 2.exd5.\n"))
    assert "Main line." in words and "key idea" not in words.lower()


EXERCISE = "```exercise\nWhat now?\nanswer: {}\n```\n\n"


def test_many_answers_stand_on_a_page_of_their_own_behind_everything() -> None:
    long = "the knight comes to c6 with 2...Nc6, since the pawn on e5 is attacked; " * 3
    pages = [
        page.extract_text() for page in read("1.e4 e5 2.Nf3\n\n" + EXERCISE.format(long) * 2).pages
    ]
    assert ["Answers" in page for page in pages] == [False] * (len(pages) - 1) + [True]
    assert "Exercise" not in pages[-1] and "Index" not in pages[-1]
    assert "Answers" not in printed(read("1.e4 e5\n\n```exercise\nWhat now?\n```\n"))


def test_no_page_is_left_nearly_empty_for_few_answers(handout: PdfReader) -> None:
    pages = [page.extract_text() for page in handout.pages]
    assert not any("Answers" in page for page in pages)
    assert all("14…Ne4" in page for page in pages if "EXERCISE" in page.upper())


def test_an_answer_at_the_foot_of_its_exercise_is_upside_down() -> None:
    """Nobody reads it who looks at the exercise above."""
    heights: list[tuple[str, float, float]] = []

    def seen(text: str, _: object, matrix: list[float], *__: object) -> None:
        if text.strip():
            heights.append((text, matrix[0], matrix[5]))

    page = read("1.e4 e5 2.Nf3\n\n" + EXERCISE.format("2...Nc6")).pages[0]
    page.extract_text(visitor_text=lambda t, cm, tm, *more: seen(t, cm, _product(tm, cm), *more))
    answers = [(slope, y) for text, slope, y in heights if "Nc6" in text]
    task = min(y for text, _, y in heights if "What now" in text)
    assert answers and all(slope < 0 and y < task for slope, y in answers)


def _product(one: list[float], other: list[float]) -> list[float]:
    """Two text matrices as one."""
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return [
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    ]


def test_castling_is_not_broken_across_lines() -> None:
    """In answers of many lengths, so that some line would end there."""
    exercises = "\n\n".join(
        f"```exercise\nWhat now?\nanswer: he goes there {'x' * k} with 4.O-O Nf6 5.d3 O-O or 3...O-O-O"
        " as O-O is possible\n```"
        for k in range(1, 30)
    )
    pages = read(f"1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.O-O\n\n{exercises}\n").pages
    plain = "\n".join(page.extract_text() for page in pages)
    assert plain.count("O-O") > 100
    assert not re.search(r"O-\n|[.…]\nO-O", plain)


INDEX_LINE = re.compile(r"(?:\. ?){3,}\s*\d+$", re.MULTILINE)
THIRDS = "Bc4 d4 Nc3 c3 Be2 g3 d3 h3 a3 b3 Bd3 h4 a4 b4".split()


@pytest.mark.parametrize("sides", [4, 14])
@pytest.mark.parametrize("paragraphs", range(44, 56, 2))
def test_no_page_holds_only_a_few_lines_of_the_index(paragraphs: int, sides: int) -> None:
    """Found in use: the last page held three lines of the index and nothing else."""
    moves = " ".join(["1.e4 e5 2.Nf3 Nc6 3.Bb5 a6", *(f"(3.{san})" for san in THIRDS[:sides])])
    words = "Words of a paragraph that go on for a while, as words do.\n\n" * paragraphs
    pages = [page.extract_text() for page in read(f"{moves}\n\n{words}").pages]
    counts = [len(INDEX_LINE.findall(page)) for page in pages]
    assert sum(counts) == sides + 1
    assert all(count >= 5 for count in counts if count)
    with_heading = [page for page, count in zip(pages, counts, strict=True) if count]
    assert "Index of moves" in with_heading[0]


def test_what_explains_a_line_is_a_line_of_the_index() -> None:
    words = printed(read("1.e4 e5 2.Nf3 (because 2.f4 exf4) 2...Nc6 (since if 3.Bb5 a6 (3...d6))"))
    index = words.split("Index of moves")[1]
    lines = [re.sub(r"[. ]+\d+$", "", line).strip() for line in re.split(r" \. .*?\d+ ", index)]
    assert lines[:4] == ["1.e4 e5 2.Nf3 Nc6", "2.f4 exf4", "3.Bb5 a6", "3…d6"]


def test_moves_that_fill_their_line_do_not_run_into_the_page() -> None:
    """Found in use: "8.Nc3 h61"."""
    side = "3...e5 4.Bxc4 exd4 5.exd4 Nf6 6.Nf3 Bd6 7.O-O O-O 8.Nc3 h6"
    text = printed(read(f"1.d4 d5 2.c4 dxc4 3.e3 Nf6 ({side}) 4.Bxc4"))
    assert re.search(r"8\.Nc3 h6[ .]+1", text.split("Index of moves")[1])


def test_a_private_note_leaves_one_space() -> None:
    reading = set_out(examine(Source("lesson.md", "So 1.e4 <!-- not said --> e5 and on.")).lesson)
    assert plain(reading.blocks[0].runs) == "So 1.e4 e5 and on."


class Line(NamedTuple):
    """A printed line: its place in the order of reading, its words, and how far up it stands."""

    page: int
    right: bool
    y: float
    words: str


def lines_of(reader: PdfReader) -> list[Line]:
    """The lines of the columns in the order in which they are read."""
    found: dict[tuple[int, bool, float], str] = {}
    for k, page in enumerate(reader.pages):
        middle, top = float(page.mediabox.width) / 2, float(page.mediabox.height) - 24 * MM

        def seen(
            words: str,
            cm: Any,
            tm: Any,
            *_: Any,
            k: int = k,
            middle: float = middle,
            top: float = top,
        ) -> None:
            x, y = _product(tm, cm)[4:]
            if words.strip() and 20 * MM < y < top:
                place = (k, x > middle - 4 * MM, -round(y))
                found[place] = found.get(place, "") + words.strip("\n")

        page.extract_text(visitor_text=seen)
    lines = [Line(page, right, -y, words) for (page, right, y), words in sorted(found.items())]
    return [line for line in lines if not re.fullmatch(r"[\sa-h1-8]*", line.words)]


MM = 72 / 25.4


MOVES = (
    "1.e4 e5|2.Nf3 Nc6|3.Bb5 a6|4.Ba4 Nf6|5.O-O Be7|6.Re1 b5|7.Bb3 d6|8.c3 O-O|9.h3 Nb8|10.d4 Nbd7|"
    "11.Nbd2 Bb7|12.Bc2 Re8|13.Nf1 Bf8|14.Ng3 g6|15.a4 c5|16.d5 c4|17.Bg5 h6|18.Be3 Nc5|19.Qd2 h5"
).split("|")


def told(paragraphs: Sequence[tuple[int, int]]) -> str:
    """Numbered paragraphs of so many sentences, each with so many boards behind it."""
    text, board = ["Tonight we look at this."], 0
    for k, (sentences, boards) in enumerate(paragraphs):
        text.append("Here the words go on for quite a while. " * sentences + f"End{k}.")
        for _ in range(boards):
            text[-1] = text[-1].removesuffix(f"End{k}.")
            text[-1] += f"{MOVES[board]} and look at [the square](#a4). End{k}."
            board += 1
    return "\n\n".join(text)


@pytest.mark.parametrize("seed", range(6))
def test_boards_keep_their_order_and_stand_by_their_words(seed: int) -> None:
    """Found in use: boards passed their words and each other, and stood on top of each other."""
    chosen = Random(seed)
    paragraphs = [(chosen.randint(2, 16), int(chosen.random() < 0.5)) for _ in range(22)]
    text = told(paragraphs)
    lines = lines_of(read(text))
    captions = [k for k, line in enumerate(lines) if line.words.startswith("After ")]
    moves = [int(re.findall(r"\d+", lines[k].words)[0]) for k in captions]
    with_board = [k for k, (_, boards) in enumerate(paragraphs) if boards]
    assert moves == list(range(1, len(with_board) + 1))
    assert all(other - one > 1 for one, other in pairwise(captions)), "boards touch"
    for place, paragraph in zip(captions, with_board, strict=True):
        end = next(k for k, line in enumerate(lines) if f"End{paragraph}." in line.words)
        between = lines[min(place, end) + 1 : max(place, end)]
        behind = sum("After" not in line.words for line in between)
        at_foot = place < end and lines[place + 1 :][0].y > lines[place].y
        assert behind <= (16 if at_foot else 20), lines[place]
        assert place > end or at_foot
        # What lets other words pass stands at the head of the next column, or close by.
        following = {(line.page, line.right) for line in lines[end : place + 1]}
        assert len(following) <= 2
    assert _empty(lines) < 0.12


def _empty(lines: Sequence[Line]) -> float:
    """What share of the columns, but the last, stands empty at the foot."""
    columns = [list(group) for _, group in groupby(lines, key=lambda line: line[:2])]
    index = next(
        k for k, column in enumerate(columns) if any("Index of" in x.words for x in column)
    )
    feet = [column[-1].y - 22 * MM for column in columns[:index]]
    return sum(feet) / (251 * MM * max(len(feet), 1))


def test_a_board_in_another_part_names_its_own() -> None:
    """The words of the next part fill the column that it does not fit into."""
    example = Path(__file__).parents[1] / "examples" / "exchange-variation.md"
    lines = [line.words.strip() for line in lines_of(read(example.read_text()))]
    caption = lines.index("The end of the trap: a piece for a pawn (A trap worth knowing)")
    assert lines.index("Many roads, one position") < caption < lines.index("The minority attack")
    assert sum(line.endswith("(A trap worth knowing)") for line in lines) == 1


def test_words_fill_the_column_that_a_board_leaves() -> None:
    """Found in use: a third of a column stood empty before a board that did not fit."""
    text = (
        "# A\n\n1.e4 e5 2.Nf3 Nc6. " + "Words go on and on here. " * 100 + "Look at [f7](#f7).\n\n"
        "Behind it more is told. " + "More words follow it here now. " * 40 + "\n"
    )
    lines = lines_of(read(text))
    (foot,) = [line for line, other in pairwise(lines) if other.right and not line.right]
    assert foot.y < 22 * MM + 30
    board = next(k for k, line in enumerate(lines) if "After 2" in line.words)
    behind = next(k for k, line in enumerate(lines) if "Behind it" in line.words)
    assert abs(board - behind) < 12


def test_the_index_leads_to_the_words_and_not_to_the_box_of_moves() -> None:
    words = "> **Main line.** 1.e4 e5 2.Nf3 Nc6\n\nWe play 1.e4 e5 2.Nf3 Nc6 here.\n"
    source = typst_source(edition(words))
    box, told = source.partition("We play")[::2]
    assert "boxed-m(" in box and "<n1>" not in box and "<n1>" in told


def test_the_title_is_set_like_the_words() -> None:
    """Found in use: the title kept the straight apostrophe, under it stood the curly one."""
    source = typst_source(edition('---\ntitle: White\'s "quiet" way\n---\nAfter 1.e4 e5.'))
    assert "White’s “quiet” way" in source and "White's" not in source


def test_boxes_with_an_empty_line_between_them_are_two() -> None:
    """Found in use: a plan and a warning stood in one frame, under the plan's name."""
    two = "1.e4 e5.\n\n> **Plan.** Push.\n\n> **Mind it!** Do not rush.\n"
    assert typst_source(edition(two)).count("\nboxed(") == 2


def test_a_board_stands_inside_a_long_paragraph_by_its_words() -> None:
    """Found in use: a paragraph of eighteen moves had its three boards together behind it."""
    text = (
        "# A\n\n1.e4 e5 2.Nf3 Nc6. The knight looks at [the pawn](#attack:f3-e5) on e5 from here, as"
        " you know. 3.Bc4 Bc5. And now it looks (after 3.Bc4, not before. Mind that.) at [a weak"
        " pawn](#weak:f7), so Black must take care of it. 4.c3 Nf6 5.d3 d6 and both sides go on with"
        " their plans. They castle soon enough.\n"
    )
    words = [line.words for line in lines_of(read(text))]
    marks = [k for k, w in enumerate(words) if w.startswith("After")]
    behind = [next(k for k, w in enumerate(words) if s in w) for s in ("3.Bc4Bc5", "4.c3Nf6")]
    assert marks[0] < behind[0] < marks[1] < behind[1]


def test_a_last_page_with_next_to_nothing_is_saved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Found in use: the last page held six lines of the index."""
    text = (
        "# A\n\n1.e4 e5 2.Nf3 Nc6.\n\nLook at [f7](#f7).\n\n"
        + "Words go on and on here, and nobody knows how long they will go on.\n\n" * 24
        + "# B\n\n3.Bc4 Bc5. Look at [f7](#attack:f7).\n\n# C\n\n4.c3 Nf6. Look at [f2](#f2).\n"
    )
    assert len(read(text).pages) == 1
    monkeypatch.setattr(outputs_handout, "THIN", 0)
    assert len(read(text).pages) == 2
