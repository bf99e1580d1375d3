"""The reading of a lesson, the page and the proof sheet, as text and in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linewright.build import edition_of, examine
from linewright.drawing import board_words, squares_of
from linewright.drawing.board import mark_words
from linewright.drawing.engraving import Engraving
from linewright.finding import Evidence, Finding, Severity
from linewright.following import follow
from linewright.margin import statement_counts
from linewright.masthead import opening_line
from linewright.outputs import Edition
from linewright.outputs.handout import typst_source
from linewright.outputs.page import _Web, make, page_html
from linewright.outputs.proof import proof_html
from linewright.plates import plate_of, tree_engraving
from linewright.reading import set_out
from linewright.script import BlockKind, parse
from linewright.set_blocks import Diagram, Drawing, Exercise, MoveWords, plain
from linewright.source import Source, Span

from .browser import chromium, serious

HERE = Path(__file__).parent / "pages"
HOSTILE = """---
title: "</title><script>window.hacked=1</script>"
teacher: "<img src=x onerror=window.hacked=2>"
club: "\\"><script>window.hacked=3</script>"
accept:
  - rule: "<script>window.hacked=4</script>"
    place: "</script><script>window.hacked=5</script>"
    because: "<svg onload=window.hacked=6>"
---

# <script>window.hacked=7</script> 1.e4

[words <b>](#e4) and [more](javascript:window.hacked=8) and [again]("onmouseover=window.hacked=9)
and `</script><script>window.hacked=10</script>` and [</script><script>window.hacked=11</script>](#e4)
and [<img src=x onerror=window.hacked=12>](?only=KP) 1...e5 <img src=x onerror=window.hacked=13>

![<script>window.hacked=14</script>](board)

![<script>window.hacked=15</script>](tally)

![<b>](x"onerror="window.hacked=16)

> <iframe src="javascript:window.hacked=17"></iframe>

```exercise
<script>window.hacked=18</script>
answer: <script>window.hacked=19</script>
```

<script>window.hacked=20</script>

<!-- --><script>window.hacked=21</script>
"""


def edition(text: str, name: str = "lesson.md", **more: Any) -> Edition:
    return edition_of(examine(Source(name, text)), "lesson", **more)


@pytest.mark.parametrize(
    ("title", "told"),
    [
        ("Queen's Pawn Game", False),
        ("queen’s pawn game", False),
        ("A quiet evening", True),
    ],
)
def test_the_opening_is_not_told_twice(title: str, told: bool) -> None:
    """Found in use: title and subtitle of page and handout were the same words."""
    from linewright.masthead import opening_line

    made = edition(f'---\ntitle: "{title}"\n---\n\n1.d4 d5 2.c4 and so on.\n')
    assert ("Queen’s Pawn Game" in opening_line(made.lesson)) is told
    assert ('class="opening"' in page_html(made)) is told


@pytest.fixture(scope="module")
def lesson_text() -> str:
    return (HERE / "exchange.md").read_text()


@pytest.fixture(scope="module")
def faulty_text() -> str:
    return (HERE / "faults.md").read_text()


# --- the reading ------------------------------------------------------------------------------


def test_moves_are_set_as_books_set_them(lesson_text: str) -> None:
    reading = set_out(edition(lesson_text).lesson)
    moves = [run for block in reading.blocks for run in block.runs if isinstance(run, MoveWords)]
    assert [
        move.text for move in moves[:10]
    ] == "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 5…Nbd7".split()
    side = [move.text for move in moves if not move.main]
    assert side[:4] == ["6.Nxd5?", "Nxd5", "7.Bxd8", "Bb4+"]  # the trap, told before the plan
    assert "6.Nxd5?" in [move.text for move in moves]


@pytest.mark.parametrize(
    ("heading", "shown"),
    [
        ("3.f4 exf4: Back to 2...Nc6", "Back to 2…Nc6"),
        ("3.f4 exf4: After 2...Nc6", "After 2…Nc6"),
        ("3.f4: better than 3.Bc4", "3.f4: better than 3.Bc4"),
        ("3.f4 (instead of 3.Bc4)", "3.f4 (instead of 3.Bc4)"),
        ("3.f4, 3.Bc4 and 3.d4", "3.f4, 3.Bc4 and 3.d4"),
        ("3.f4 – 3...exf4 – 4.Nf3", "3.f4 – 3…exf4 – 4.Nf3"),
        ("3.f4: What the pawn gives up", "3.f4: What the pawn gives up"),
        ("3.f4 exf4: 4.**Nf3** instead of h4", "3.f4 exf4: 4.Nf3 instead of h4"),
        ("Back to 3.f4", "Back to 3.f4"),
        ("3.f4 exf4: The main line 4.Nf3", "3.f4 exf4: The main line 4.Nf3"),
        ("3.f4 exf4", "3.f4 exf4"),
    ],
)
def test_a_heading_leaves_out_moves_that_only_lead_to_where_it_goes_back(
    heading: str, shown: str
) -> None:
    """Found in use: the page's parts were "8.exf6 8…Bxf6 9.O-O: Back to 9…Nc6"."""
    text = f"---\ntitle: A part\n---\n\n1.e4 e5 2.Nc3 Nc6 3.f4 exf4 4.h4\n\n## {heading}\n\nWords."
    blocks = set_out(examine(Source("lesson.md", text)).lesson).blocks
    assert [plain(b.runs) for b in blocks if b.kind is BlockKind.HEADING] == [shown]


def test_every_mark_and_imagined_board_has_a_diagram(lesson_text: str) -> None:
    lesson = edition(lesson_text).lesson
    plates = [p for b in set_out(lesson).blocks for p in b.plates if isinstance(p, Diagram)]
    shown = {(plate.fen, mark) for plate in plates for mark in plate.marks}
    assert {(mark.fen, mark.mark) for mark in lesson.marks} == shown
    imagined = {step.fen for step in lesson.steps if step.imagined}
    assert {plate.fen for plate in plates if plate.imagined} == imagined
    assert len(imagined) == 1


def test_a_box_is_a_key_idea_unless_it_names_itself() -> None:
    html = page_html(edition("> **Main line.** 1.e4 e5 2.Nf3\n\nWords.\n\n> Develop first.\n"))
    assert 'aria-label="Main line"' in html and 'aria-label="Key idea"' in html
    assert html.count('<p class="label">Key idea</p>') == 1


def test_each_part_shows_its_key_position(lesson_text: str) -> None:
    lesson = edition(lesson_text).lesson
    blocks = set_out(lesson).blocks
    for part in lesson.parts[1:]:
        inside = [b for b in blocks if b.span.start in part.span]
        boards = {p.fen for b in inside for p in b.plates if isinstance(p, Diagram)}
        assert lesson.tree.nodes[part.key].fen in boards, part.title


def test_a_diagram_nobody_asked_for_does_not_break_a_list(lesson_text: str) -> None:
    blocks = set_out(edition(lesson_text).lesson).blocks
    items = [block for block in blocks if block.kind is BlockKind.ITEM]
    assert [bool(item.plates) for item in items] == [False, False, True]
    assert [item.marker for item in items] == ["1.", "2.", "3."]


def test_private_notes_are_left_out_and_quotation_marks_curled() -> None:
    reading = set_out(edition("He said \"Don't\" and *'no'*.\n\n<!-- a secret -->\n").lesson)
    assert "".join(plain(b.runs) for b in reading.blocks) == "He said “Don’t” and ‘no’."


def test_other_languages_keep_their_quotation_marks() -> None:
    reading = set_out(edition('---\nlanguage: nb\n---\n\nHan sa "nei".\n').lesson)
    assert plain(reading.blocks[0].runs) == 'Han sa "nei".'


def test_an_exercise_has_its_board_task_and_answer(lesson_text: str) -> None:
    lesson = edition(lesson_text).lesson
    found = [p for b in set_out(lesson).blocks for p in b.plates if isinstance(p, Exercise)]
    assert len(found) == 1
    assert found[0].task.startswith("Black to move. Which")
    assert found[0].answer == "14…Ne4"
    here = edition("1.e4 e5\n\n```exercise\nWhat now?\nfen: nonsense\n```\n").lesson
    plate = set_out(here).blocks[-1].plates[0]
    assert isinstance(plate, Exercise)
    assert plate.fen == here.tree.nodes[2].fen
    assert plate.task == "What now?"
    moves = edition("1.e4 e5 2.Nf3\n\n```exercise\nAfter 1...c5 2.Nc3 what then?\n```\n").lesson
    plate = set_out(moves).blocks[-1].plates[0]
    assert isinstance(plate, Exercise)
    assert plate.fen.startswith("rnbqkbnr/pp1ppppp/8/2p5/4P3/2N5/PPPP1PPP/R1BQKBNR b")


# --- figures ----------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["tally", "plans", "reach", "pawn-ending"])
def test_a_figure_without_its_data_says_why(kind: str) -> None:
    made = edition(f"1.e4 e5\n\n![The numbers]({kind})\n")
    html = page_html(made)
    drawing = next(p for b in set_out(made.lesson).blocks for p in b.plates)
    assert isinstance(drawing, Drawing)
    words = plate_of(drawing, None, made.lesson).words
    assert words.endswith(".")
    assert (f"The numbers: {words}" in html) == (kind == "pawn-ending")
    assert (words in typst_source(made)) == (kind == "pawn-ending")
    assert words in proof_html(made)


def test_a_figure_with_its_record_is_drawn() -> None:
    text = "1.e4 e5\n\n![The numbers](tally)\n"
    picture = Engraving(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"></svg>', "61 games."
    )
    made = edition(text, figures={text.index("!["): picture})
    for html in (page_html(made), proof_html(made)):
        assert picture.svg in html
        assert 'aria-label="61 games."' in html


def test_the_tree_shows_every_line(lesson_text: str) -> None:
    lesson = edition(lesson_text).lesson
    made = tree_engraving(lesson)
    shown = re.sub(r"<[^>]+>", " ", made.svg)
    for node in lesson.tree.nodes[1:]:
        assert node.san in shown
    assert made.words.startswith("Lines of the lesson: 1.d4 d5 2.c4 e6")
    assert "no moves" in tree_engraving(edition("Nothing here.").lesson).words


def test_a_side_line_of_the_tree_hangs_where_it_leaves() -> None:
    """Found in use: lines that leave moves apart hung from one stem, as if at one board."""
    lines = (
        "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6. Then 3.Bc4 Bc5 4.c3 Nf6. Or 2.f4 exf4. Back: 2.Nf3 Nc6 3.Bb5."
    )
    made = tree_engraving(edition(lines).lesson)
    assert made.words == (
        "Lines of the lesson: 1.e4 e5 2.Nf3; 2.f4 exf4; 2…Nc6 3.Bb5; 3.Bc4 Bc5 4.c3 Nf6; 3…a6."
    )
    assert made.svg.count('font-weight="bold"') == 3


# --- the page as text -------------------------------------------------------------------------


class _Words(HTMLParser):
    """The text of elements of a class, or of all but style, script and pictures."""

    def __init__(self, wanted: str = "", without: str = "no") -> None:
        super().__init__()
        self.wanted = wanted
        self.without = without
        self.stack: list[tuple[str, bool, bool]] = []
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"meta", "br", "hr", "use", "path", "circle", "img"}:
            return
        classes = (dict(attrs).get("class") or "").split()
        inside, hidden = (
            (self.stack[-1][1], self.stack[-1][2]) if self.stack else (not self.wanted, False)
        )
        if self.wanted in classes:
            inside = True
            self.found.append("")
        hidden = hidden or tag in {"style", "script", "svg"} or self.without in classes
        self.stack.append((tag, inside, hidden))

    def handle_endtag(self, tag: str) -> None:
        while self.stack and self.stack.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self.stack and self.stack[-1][1] and not self.stack[-1][2]:
            self.found[-1:] = [(self.found[-1] if self.found else "") + data]


def words_of(html: str, wanted: str = "") -> list[str]:
    parser = _Words(wanted)
    parser.feed(html)
    return parser.found


def test_the_page_is_the_same_bytes_and_small(lesson_text: str) -> None:
    one, other = (make(edition(lesson_text))[0] for _ in range(2))
    assert one == other
    assert one.name == "lesson.html"
    assert len(one.data) < 400_000


def test_the_page_holds_all_the_words(lesson_text: str) -> None:
    made = edition(lesson_text)
    text = " ".join("".join(words_of(page_html(made))).split())
    for block in set_out(made.lesson).blocks:
        assert " ".join(plain(block.runs).split()) in text
    assert "projector" not in text


def test_links_lead_only_to_the_web(lesson_text: str) -> None:
    html = page_html(edition(lesson_text))
    assert 'href="https://example.org/brackwater"' in html
    assert "javascript:" not in html


FRAGMENTS = st.sampled_from(
    ["1.e4", "1.e4 e5 2.Nf3", "5.Nf6", "1...c5", "(", ")", "[x](#e4)", "[y](#attack:e1-e8)", "[z](?only=KP)",
     "[w](?fen=8/8/8/8/8/8/8/8)", "![c](board)", "![c](tree)", "![c](tally)", "![c](a.png)", "\n\n", "\n# H\n",
     "\n#### H 1.d4\n", "\n> q\n", "\n- item\n", "\n1. d4\n", "\n---\n", "```exercise\nfen: x\nanswer: y\n```\n", "**b**",
     "`code`", "<b>", "<!-- n -->", "\\", '"', "'", "&amp;", "\0", "é", "♘f3", "0-0", "$", "#panic()", "{{ 7*7 }}", " "]
)  # fmt: skip


@given(st.lists(st.one_of(FRAGMENTS, st.text(max_size=8)), max_size=30))
@settings(max_examples=120, deadline=None)
def test_whatever_is_written_becomes_a_page_and_a_proof_sheet(parts: list[str]) -> None:
    text = "".join(parts).replace("\r", "")
    made = edition(text)
    assert page_html(made).startswith("<!doctype html>")
    printed = words_of(proof_html(made), "words")
    written = [line for line in text.split("\n") if line.strip()]
    assert [line.replace("\u2060", "") for line in printed] == [
        w.replace("\u2060", "") for w in written
    ]


# --- the proof sheet as text ------------------------------------------------------------------


def test_every_finding_stands_beside_its_words(faulty_text: str) -> None:
    made = edition(faulty_text)
    html = proof_html(made)
    assert len(made.findings) >= 8
    for number, finding in enumerate(made.findings, 1):
        assert f'id="f{number}"' in html
        assert f'href="#f{number}"' in html
        assert f'id="w{number}"' in html
        for repair in finding.repairs:
            assert f"<code>{repair}</code>" in html
    row = next(part for part in html.split('<div class="row')[1:] if 'id="l15"' in part)
    assert "3.Nd3" in row
    assert "illegal-move · line 15" in row


def test_the_proof_sheet_prints_the_script_as_it_is(faulty_text: str) -> None:
    printed = words_of(proof_html(edition(faulty_text)), "words")
    written = [line for line in faulty_text.split("\n") if line.strip()]
    assert [line.replace("\u2060", "") for line in printed] == written


def test_a_clean_script_says_so(lesson_text: str) -> None:
    html = proof_html(edition("---\ntitle: Short\n---\n\nWe begin with 1.d4.\n"))
    assert "Nothing found." in html
    assert 'class="notes"' not in html
    assert "The script has no text yet." in proof_html(edition(""))


def test_findings_may_overlap_end_anywhere_and_be_empty() -> None:
    text = "one two three\n\nfour five\n"
    made = edition(text)
    spans = [Span(0, 7), Span(4, 13), Span(0, 23), Span(13, 13), Span(22, 24), Span(24, 24)]
    board = Evidence("a fact", "8/8/8/3k4/8/8/8/4K3 w - - 0 1", ("e4",), ("d5-e4",), "1.Ke2 Kd4")
    findings = tuple(
        Finding(f"rule-{k}", Severity.WARNING, s, "a fault", board) for k, s in enumerate(spans)
    )
    html = proof_html(Edition(made.lesson, made.timeline, findings))
    printed = words_of(html, "words")
    assert [line.replace("\u2060", "") for line in printed] == ["one two three", "four five"]
    for number in range(1, 6):
        assert len(re.findall(rf'class="no warning" href="#f{number}"', html)) == 1, number
    assert html.count("<figure>") == 1


def test_evidence_that_is_no_board_is_printed_without_one() -> None:
    made = edition("one two\n")
    bad = Finding("rule", Severity.NOTE, Span(0, 3), "a fault", Evidence("", "no board", ("z9",)))
    assert "A fault." in proof_html(Edition(made.lesson, made.timeline, (bad,)))


def test_statements_are_counted() -> None:
    class Verdict:
        def __init__(self, verdict: str) -> None:
            self.verdict = verdict

    told = statement_counts(
        [*(Verdict("holds") for _ in range(27)), Verdict("fails"), Verdict("cannot-tell")]
    )
    assert told == "29 statements: 27 hold, 1 fails, 1 could not be judged"
    assert statement_counts([]) == ""


# --- in the browser ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as running:
        yield running


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory, lesson_text: str, faulty_text: str) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    (folder / "page.html").write_text(page_html(edition(lesson_text)))
    (folder / "black.html").write_text(
        page_html(edition(lesson_text.replace("for: White", "for: Black")))
    )
    (folder / "proof.html").write_text(proof_html(edition(faulty_text)))
    (folder / "hostile.html").write_text(page_html(edition(HOSTILE)))
    (folder / "hostile-proof.html").write_text(
        proof_html(edition(HOSTILE, "<script>window.hacked=22</script>.md"))
    )
    (folder / "empty.html").write_text(page_html(edition("")))
    return folder


def opened(browser: Any, path: Path, width: int = 1280, height: int = 860, **options: Any) -> Any:
    """The page in a fresh context; anything it asks the network for or complains of is kept."""
    context = browser.new_context(viewport={"width": width, "height": height}, **options)
    page = context.new_page()
    page.asked, page.complaints = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on("dialog", lambda dialog: page.complaints.append(dialog.message))
    page.goto(path.as_uri())
    return page


@pytest.mark.browser
def test_page_loads_nothing_else_and_complains_of_nothing(browser: Any, files: Path) -> None:
    for name in ("page", "black", "proof", "empty"):
        page = opened(browser, files / f"{name}.html")
        page.wait_for_timeout(150)
        assert page.asked == [(files / f"{name}.html").as_uri()]
        assert page.complaints == []
        page.context.close()


@pytest.mark.browser
@pytest.mark.parametrize(
    ("name", "scheme", "width"),
    [
        ("page", "light", 1280),
        ("page", "dark", 390),
        ("proof", "light", 390),
        ("proof", "dark", 1280),
        ("empty", "light", 1280),
    ],
)
def test_axe_finds_nothing_serious(
    browser: Any, files: Path, name: str, scheme: str, width: int
) -> None:
    page = opened(browser, files / f"{name}.html", width, color_scheme=scheme)
    assert serious(page) == []
    page.context.close()


@pytest.mark.browser
def test_axe_without_scripts(browser: Any, files: Path) -> None:
    page = opened(browser, files / "page.html")
    page.evaluate("document.documentElement.classList.remove('js')")
    assert serious(page) == []
    page.context.close()


@pytest.mark.browser
@pytest.mark.parametrize("name", ["page", "proof", "hostile", "hostile-proof", "empty"])
def test_a_phone_needs_no_sideways_scroll(browser: Any, files: Path, name: str) -> None:
    for width in (390, 320):
        page = opened(browser, files / f"{name}.html", width, 844)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.context.close()


PIECES = """() => Object.fromEntries([...document.querySelectorAll('.pieces use')].map((use) => {
  const [x, y] = use.style.transform.match(/-?\\d+/g).map(Number);
  return ['abcdefgh'[x / 100] + (8 - y / 100), use.getAttribute('href').slice(3, 4)];
}))"""


@pytest.mark.browser
def test_the_board_shows_every_position_by_arrow_keys(
    browser: Any, files: Path, lesson_text: str
) -> None:
    made = edition(lesson_text)
    web = _Web(made, set_out(made.lesson))
    list(web.body())
    page = opened(browser, files / "page.html")
    assert len(web.stops) > 40
    for number, stop in enumerate(stop for stop in web.stops if not stop.back):
        if number:
            page.keyboard.press("ArrowRight")
        assert page.evaluate(PIECES) == squares_of(stop.fen), number
        label = page.locator("#board svg").get_attribute("aria-label")
        marks = [web.marks[key]["words"] for key in stop.marks]
        told = board_words(stop.fen, imagined=stop.imagined)
        assert label == told + (f" Shown: {'; '.join(marks)}." if marks else "")
        assert ("stroke-dasharray" in page.locator(".ground").inner_html()) == stop.imagined
        drawn = page.locator(".over > *, .under > *").count()
        assert drawn == (len(marks) if marks else 2 if stop.last else 0), number
    page.keyboard.press("ArrowRight")
    assert page.locator("#caption b").inner_text() == web.stops[-1].caption
    for _ in web.stops:
        page.keyboard.press("ArrowLeft")
    assert page.evaluate(PIECES) == squares_of(web.stops[0].fen)
    page.context.close()


@pytest.mark.browser
def test_clicking_a_move_and_marked_words(browser: Any, files: Path) -> None:
    page = opened(browser, files / "page.html")
    page.get_by_text("6.Nxd5?").click()
    assert page.locator("#caption b").inner_text() == "After 6.Nxd5?"
    assert page.evaluate(PIECES)["d5"] == "N"
    page.get_by_text("pins the knight").click()
    assert page.locator(".over > g").count() == 1
    assert page.locator("#caption").inner_text().endswith("pins the knight")
    assert "attack arrow g5 to f6" in page.locator("#status").inner_text()
    page.get_by_text("picture it with just kings and pawns").click()
    assert page.locator("#caption b").inner_text() == "Imagined board"
    assert set(page.evaluate(PIECES).values()) == set("KkPp")
    page.context.close()


READ_ON = """async () => {
  const seen = [];
  for (let y = 0; y <= document.documentElement.scrollHeight; y += 20) {
    scrollTo(0, y);
    for (let k = 0; k < 3; k++) await new Promise(requestAnimationFrame);
    const now = document.querySelector('#caption b').textContent;
    if (seen[seen.length - 1] !== now) seen.push(now);
  }
  return seen;
}"""
"""Scrolls down slowly and returns the captions in the order they were shown."""


@pytest.mark.browser
def test_the_board_follows_the_reading(browser: Any, files: Path) -> None:
    for width in (1280, 390):
        page = opened(browser, files / "page.html", width)
        seen = page.evaluate(READ_ON)
        assert seen[0] == "The starting position"
        assert seen[-1] == "After 14.axb4"
        assert "Imagined board" in seen
        assert len(seen) >= 8, seen
        page.context.close()


@pytest.mark.browser
def test_walking_the_page_by_keyboard(browser: Any, files: Path) -> None:
    """Every control can be reached and used; the board is not a place focus gets lost in."""
    page = opened(browser, files / "page.html")
    names: list[str] = []
    focused = (
        "(document.activeElement.getAttribute('aria-label') || document.activeElement.textContent)"
    )
    for _ in range(12):
        page.keyboard.press("Tab")
        names.append(page.evaluate(focused).strip())
    assert names[:6] == ["To the text", "Start", "Back", "Next", "End", "Turn the board"]
    assert "The minority attack" in names
    page.get_by_label("Start").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Next").focus()
    page.keyboard.press("Enter")
    assert page.locator("#caption b").inner_text() == "After 1.d4"
    page.get_by_text("5.Bg5", exact=True).click()
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.textContent") == "pins the knight"
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "pins the knight"
    page.get_by_label("Turn the board").focus()
    page.keyboard.press("Space")
    assert page.get_by_label("Turn the board").get_attribute("aria-pressed") == "true"
    assert "Black's side" in page.locator("#status").inner_text()
    page.context.close()


@pytest.mark.browser
def test_the_end_key_takes_the_board_to_the_end_and_home_to_the_start(
    browser: Any, files: Path
) -> None:
    page = opened(browser, files / "page.html")
    caption = page.locator("#caption")
    page.get_by_label("End", exact=True).click()
    end = caption.inner_text()
    page.get_by_label("Start").click()
    start = caption.inner_text()
    assert start != end
    page.wait_for_timeout(1000)
    page.keyboard.press("End")
    assert caption.inner_text() == end
    page.wait_for_timeout(1200)
    assert caption.inner_text() == end
    page.keyboard.press("Home")
    page.wait_for_timeout(1200)
    assert caption.inner_text() == start
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.wait_for_timeout(400)
    assert caption.inner_text() == end
    page.context.close()


@pytest.mark.browser
@pytest.mark.parametrize("width", [1280, 390])
def test_the_board_is_whole_at_the_end_of_the_page(browser: Any, files: Path, width: int) -> None:
    """Found in use: the line below the text pushed the eighth rank out of sight."""
    page = opened(browser, files / "page.html", width, 800)
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.wait_for_timeout(400)
    assert page.locator("#board").bounding_box()["y"] >= 0
    page.context.close()


@pytest.mark.browser
def test_a_closing_parenthesis_is_no_step(browser: Any, files: Path) -> None:
    page = opened(browser, files / "page.html")
    assert page.locator("[data-stop]", has_text=re.compile(r"^\)$")).get_attribute("role") is None
    page.get_by_text("9.Kxd2", exact=True).first.click()
    page.keyboard.press("ArrowRight")
    assert page.locator(".now").inner_text() == "Kxd8"
    page.keyboard.press("ArrowRight")
    assert page.locator(".now").first.inner_text() not in {"", ")"}
    page.keyboard.press("ArrowLeft")
    assert page.locator(".now").inner_text() == "Kxd8"
    page.context.close()


@pytest.mark.browser
def test_controls_on_a_phone_are_as_high_as_a_thumb(browser: Any, files: Path) -> None:
    """Controls of their own 44 pixels (Web Content Accessibility Guidelines 2.2, 2.5.5), moves in
    the running text at least 28 to click on, without covering those of the next line."""
    page = opened(browser, files / "page.html", 390, 844)
    for control in (".parts a", ".bar button", ".exercise summary"):
        heights = page.locator(control).evaluate_all("all => all.map(e => e.offsetHeight)")
        assert heights and min(heights) >= 44, control
    hit = """all => all.map(e => {
        const box = getComputedStyle(e, '::after');
        return [parseFloat(box.height), parseFloat(getComputedStyle(e.parentElement).lineHeight)];
    })"""
    for height, line in page.locator(".text p .stop.mv").evaluate_all(hit):
        assert 28 <= height <= line + 1
    page.context.close()


def _right(box: Any) -> float:
    """Where a box ends on the right (px)."""
    return float(box["x"] + box["width"])


@pytest.mark.browser
@pytest.mark.parametrize(
    ("width", "height", "share"), [(390, 850, 0.39), (390, 664, 0.4), (320, 568, 0.46)]
)
def test_the_board_leaves_room_for_the_text_on_a_phone(
    browser: Any, files: Path, width: int, height: int, share: float
) -> None:
    """Found in use: the board that stays in sight took half of the screen."""
    page = opened(browser, files / "page.html", width, height)
    page.evaluate("scrollTo(0, 1500)")
    page.wait_for_timeout(400)
    box = page.locator("#panel").bounding_box()
    board = page.locator("#board").bounding_box()
    assert box["y"] == 0 and box["height"] <= share * height
    assert min(board["width"], board["height"]) >= 8.5 * 24  # a man is known from 24 pixels on
    for words in ("#caption", ".bar button", ".text p"):
        size = page.locator(words).first.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
        assert size >= 15, words
    bar, sheet = page.locator(".bar").bounding_box(), page.locator("#caption").bounding_box()
    assert bar["x"] >= _right(board) and _right(bar) <= width
    assert sheet["y"] >= board["y"] + board["height"] - 1
    page.context.close()


@pytest.mark.browser
def test_the_controls_stand_below_the_board_on_a_phone_held_across(
    browser: Any, files: Path
) -> None:
    page = opened(browser, files / "page.html", 844, 390)
    board, bar = page.locator("#board").bounding_box(), page.locator(".bar").bounding_box()
    assert bar["y"] >= board["y"] + board["height"] and bar["width"] > 3 * bar["height"]
    assert bar["y"] + bar["height"] <= 390
    page.context.close()


@pytest.mark.browser
def test_black_sits_below_in_a_lesson_for_black(browser: Any, files: Path) -> None:
    page = opened(browser, files / "black.html")
    top = page.evaluate("""() => [...document.querySelectorAll('.pieces use')]
      .filter((use) => use.style.transform.endsWith(', 0px)')).map((use) => use.getAttribute('href'))""")
    assert sorted(top) == sorted(f"#lw{letter}t" for letter in "RNBQKBNR")
    page.context.close()


@pytest.mark.browser
def test_without_scripts_diagrams_stand_between_the_words(browser: Any, files: Path) -> None:
    page = opened(browser, files / "page.html", java_script_enabled=False)
    assert not page.locator("#panel").is_visible()
    assert page.locator("figure").count() >= 8
    for figure in page.locator("main > figure").all():
        assert figure.is_visible()
    assert page.locator("figure svg[aria-label^='Imagined board']").is_visible()
    assert page.locator("summary").is_visible()
    page.context.close()


@pytest.mark.browser
def test_printing_shows_diagrams_and_no_controls(browser: Any, files: Path) -> None:
    page = opened(browser, files / "page.html")
    assert not page.locator("figure.still").first.is_visible()
    page.emulate_media(media="print")
    assert page.locator("figure.still").first.is_visible()
    assert not page.locator("#panel").is_visible()
    page.context.close()


@pytest.mark.browser
@pytest.mark.parametrize("name", ["hostile", "hostile-proof"])
def test_hostile_words_stay_words(browser: Any, files: Path, name: str) -> None:
    page = opened(browser, files / f"{name}.html", bypass_csp=True)
    page.wait_for_timeout(200)
    for span in page.locator("[data-stop]").all():
        if span.is_visible():
            span.click()
    assert page.evaluate("window.hacked") is None
    assert page.locator("script").count() == (2 if name == "hostile" else 0)
    assert page.locator("iframe, img, [onerror], [onload], [onmouseover]").count() == 0
    assert page.locator("a[href^='javascript']").count() == 0
    assert page.complaints == []
    page.context.close()


def test_marks_are_worded_as_on_the_page() -> None:
    from linewright.drawing import Sign

    assert mark_words(Sign("attack", "g5", "f6")) == "attack arrow g5 to f6"


# --- a pawn ending ----------------------------------------------------------------------------


def test_a_pawn_ending_not_judged_is_drawn_once_and_says_so() -> None:
    html = page_html(edition("1.e4 e5 [only these](?only=KP) ![Who wins?](pawn-ending) stay.\n"))
    assert html.count("Imagined board. White: king e1") == 1
    assert "This pawn ending has not been judged, so there is no verdict." in html


def test_a_pawn_ending_is_printed_with_both_verdicts() -> None:
    """Opposition: with the kings face to face the side not to move has it (common practice)."""
    from linewright.analyst.pawn_ending import Certainty, PawnEnding, Result, Verdict
    from linewright.outputs.handout import typeset, typst_source

    white = "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"
    black = white.replace(" w ", " b ")
    proved = Certainty.PROVED
    here = Verdict(
        white, Result.WHITE, proved, (), "1.Kd6 Kd8 2.e6", "", ("Kd6", "Kf6"), "pawn tables", 0, 9
    )
    other = Verdict(
        black, Result.WHITE, Certainty.LEANING, (), "1...Kd8 2.Kf7", "White's king leads", ("Kd8",), "Engine 1", 12, 4000
    )  # fmt: skip
    text = (
        "---\nstart: 4k3/8/4K3/4P3/8/8/8/8 w - - 0 1\n---\n\nLook.\n\n![Who wins?](pawn-ending)\n"
    )
    made = edition(text, figures={text.index("!["): PawnEnding(white, here, other)})
    html = page_html(made)
    assert "White to move: White wins. 1.Kd6 Kd8 2.e6. Proved by pawn tables." in html
    told = (
        "Black to move: White wins, White’s king leads. 1…Kd8 2.Kf7. Only Kd8 holds. "
        "Leaning, by Engine 1 at depth 12 (4,000 positions)."
    )
    assert told in html
    assert "White: king e6, pawn e5. Black: king e8. White to move." in html
    assert "Who wins?" in html
    assert typeset(typst_source(made)).startswith(b"%PDF")


def test_the_series_stands_at_the_head(lesson_text: str) -> None:
    text = lesson_text.replace("---\n", "---\nseries: Openings on Tuesday\n", 1)
    assert "Openings on Tuesday" in make(edition(text))[0].data.decode()


BOX = """---
title: A game
---

> **Main line.** 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6

We begin with 1.e4 and 1...e5, then 2.Nf3! and 2...Nc6. Some go 3.Bb5, but here 3.Bc4 is played, and
3...Nf6 follows.
"""


def test_a_box_of_moves_is_set_plainly_with_the_signs_of_the_words() -> None:
    """Found in use: sixty moves in bold, and "15.exd5?" of the words without its sign."""
    read = set_out(follow(parse(Source("a.md", BOX))))
    box = next(block for block in read.blocks if block.kind is BlockKind.QUOTE)
    assert box.looked_up
    moves = [run for run in box.runs if isinstance(run, MoveWords)]
    assert [run.text for run in moves][:3] == ["1.e4", "e5", "2.Nf3!"]
    assert all(run.boxed and not run.main for run in moves)
    page = page_html(edition(BOX))
    assert "<b>2.</b>Nf3!</span>" in page


def test_a_box_of_moves_that_nothing_else_tells_is_no_box_to_look_up() -> None:
    read = set_out(follow(parse(Source("a.md", BOX.replace("3...Nf6 follows", "that is all")))))
    assert not next(block for block in read.blocks if block.kind is BlockKind.QUOTE).looked_up


def test_a_key_idea_with_moves_in_it_is_no_box_of_moves() -> None:
    idea = "1.e4 e5 2.Nf3 Nc6\n\n> **Develop** with 1.e4 e5 2.Nf3 Nc6 and castle.\n"
    read = set_out(follow(parse(Source("a.md", idea))))
    box = next(block for block in read.blocks if block.kind is BlockKind.QUOTE)
    assert not any(run.boxed for run in box.runs if isinstance(run, MoveWords))


@pytest.mark.browser
def test_stepping_goes_through_the_words_and_past_the_box_of_moves(
    browser: Any, tmp_path: Path
) -> None:
    """Found in use: "next" played the sixty moves of the box, then began again in the words."""
    (tmp_path / "box.html").write_text(page_html(edition(BOX)))
    page = opened(browser, tmp_path / "box.html")
    seen = []
    for _ in range(7):
        page.keyboard.press("ArrowRight")
        seen.append(page.locator(".now").inner_text())
    assert seen == ["1.e4", "1…e5", "2.Nf3!", "2…Nc6", "3.Bb5", "3.Bc4", "3…Nf6"]
    page.locator(".idea [data-stop]", has_text="Nc6").click()
    page.keyboard.press("ArrowRight")
    assert page.locator(".idea .now").inner_text() == "3.Bc4"
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert page.locator(".text > p .now").inner_text() == "1.e4"
    assert not page.complaints
    page.context.close()


def test_the_key_explains_all_marks_if_any_but_the_one_that_only_points() -> None:
    """Found in use: "point: look here"; and a key that left out the blue mark beside the others."""
    assert "What the marks mean" not in page_html(edition("1.e4 e5. Look at [f7](#f7)."))
    page = page_html(edition("1.e4 e5. Look at [f7](#f7), [weak](#weak:f7)."))
    assert "What the marks mean" in page and "a weakness" in page
    assert "what the words on it speak of" in page


def test_an_opening_without_a_code_ends_with_its_name() -> None:
    """Found in use: "Nimzo-Larsen Attack, Modern Variation ·" under the title."""
    followed = follow(parse(Source("a.md", "1.b3 e5 2.Bb2 Nc6 3.e3 d5 4.Bb5 Bd6 are the moves.")))
    assert opening_line(followed) and not opening_line(followed).rstrip().endswith("·")


def test_boxes_with_an_empty_line_between_them_are_two() -> None:
    """Found in use: a plan and a warning stood in one frame, under the plan's name."""
    two = "1.e4 e5.\n\n> **Plan.** Push.\n\n> **Mind it!** Do not rush.\n"
    assert page_html(edition(two)).count('<aside class="idea"') == 2
    one = "1.e4 e5.\n\n> **Plan.** Push.\n>\n> Then wait.\n"
    assert page_html(edition(one)).count('<aside class="idea"') == 1
