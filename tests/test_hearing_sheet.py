"""The proof sheet of a talk: what was heard stands in it, with times, and nothing is lost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from linewright.cli import app
from linewright.hearing import (
    answers_in,
    hear_file,
    kept_text,
    report_text,
    statements_of,
    with_sides_told_wrong,
    write_all,
)
from linewright.hearing_sheet import hearing_sheet
from linewright.margin import MOST_DIAGRAMS, sentence
from linewright.source import Source
from linewright.talk.answers import place_of
from linewright.talk.heard import Heard, HeardSlip, Question, Said, hear
from linewright.talk.meant import meaning
from linewright.talk.record import when
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text, slip_list

from .browser import chromium, serious

TALK = """WEBVTT

00:01.000 --> 00:06.000
[music] White plays e4, Black replies e5, night f3, night c6.

00:06.000 --> 00:12.000
Bishop be five, a6. The knight on c6 is attacked.

00:12.000 --> 00:20.000
If bishop takes c6, then d takes c6. The bishop on b5 attacks f7.

00:20.000 --> 00:30.000
Back to where Black played a6. White drops the bishop back to a4, knight f6.

00:30.000 --> 00:40.000
Now White castles, and Black takes the pawn on e4.

00:40.000 --> 00:50.000
Picture the board with just kings and pawns. Then rook e1, knight c5.
"""
TUNE = Path(__file__).parent / "talks" / "tune"
SLIP = (
    "e4 e5, knight f3 knight c6, bishop b5 knight f6, White castles, knight takes e4. Now d4, and"
    " the knight drops back to d6. Bishop takes c6, d takes c6, d takes e5, and Black brings the"
    " bishop to f5. Queens come off: queen takes d8, king takes d8. Now that the knight stands on"
    " f5, White develops with knight c3."
)

ASKED = Question(
    Said(12, 15, 'it\'s "a6", twice', 11_000),
    "it is asked: is it 3...a6, or only talk",
    ("3...a6", "only talk"),
    ("e4", "e5", "Nf3", "Nc6", "Bb5"),
)


def heard_of(text: str, name: str = "talk.vtt", answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source(name, text)), answers=answers)


def sheet_of(heard: Heard, **more: Any) -> str:
    return hearing_sheet(heard, statements_of(heard), **more)


class _Parts(HTMLParser):
    """Reads a sheet: its elements, and the words of the talk without what the sheet adds."""

    ADDED = frozenset({"heading", "no", "san", "kind", "back", "speaker", "sound"})
    VOID = frozenset({"meta", "br", "hr", "use", "path", "circle"})

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.stack: list[tuple[str, frozenset[str]]] = []
        self.spoken: list[str] = []
        self.feed(html)
        assert not self.stack, "every element is closed"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {key: value or "" for key, value in attrs}
        self.tags.append((tag, named))
        if tag not in self.VOID:
            self.stack.append((tag, frozenset(named.get("class", "").split())))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.VOID:
            assert self.stack.pop()[0] == tag

    def handle_data(self, data: str) -> None:
        classes = frozenset[str]().union(*(names for _, names in self.stack))
        inside = {tag for tag, _ in self.stack}
        if {"words"} <= classes and not classes & self.ADDED and "del" not in inside:
            self.spoken.append(data)

    def values(self, attribute: str) -> list[str]:
        return [named[attribute] for _, named in self.tags if attribute in named]


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u2060]+", "", text)


def corrected_words(heard: Heard) -> Iterator[str]:
    """What is spoken, captions put right; a second way to the same text."""
    skipped = 0
    changes = {change.said.first: change for change in heard.caption_changes}
    for index, word in enumerate(heard.transcript.words):
        if index in changes:
            yield changes[index].now
            skipped = changes[index].said.end
        elif index >= skipped:
            yield word.text
        if index + 1 >= skipped:
            yield word.mark


def plain_text(html: str) -> str:
    body = html.partition("<body>")[2] or html
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", body))


@pytest.fixture(scope="module")
def talk() -> Heard:
    return heard_of(TALK)


@pytest.fixture(scope="module")
def sheet(talk: Heard) -> str:
    return sheet_of(talk)


@pytest.fixture(scope="module")
def slip() -> Heard:
    return heard_of(SLIP, "talk.txt")


# --- what stands in it ------------------------------------------------------------------------


def test_all_that_was_heard_stands_in_the_sheet(talk: Heard, sheet: str) -> None:
    text = plain_text(sheet)
    for move in talk.moves.values():
        assert move.san in text
    for change in talk.caption_changes:
        assert f">{change.said.text}</del> <ins>{change.now}</ins>" in sheet
    for question in talk.questions:
        assert f"{place_of(question.said)}" in text
    assert talk.what_if and "Imagined board." in sheet
    assert sheet.count("<tr") >= len(talk.lines) + len(talk.caption_changes)


def test_the_sheet_has_the_title_of_the_script() -> None:
    said = "This is about the French defence. White plays e4, Black replies e6, d4, d5."
    talk = hear(read_transcript(Source("monday.txt", said)))
    title = re.search(r'^title: "(.+)"$', script_text(talk), re.MULTILINE)
    assert title and title[1] != "monday"
    assert f"<h1>{title[1]}</h1>" in hearing_sheet(talk)


def test_the_words_are_all_there_in_their_order(talk: Heard, sheet: str, slip: Heard) -> None:
    for heard, html in ((talk, sheet), (slip, sheet_of(slip))):
        spoken = squeezed("".join(_Parts(html).spoken))
        assert spoken == squeezed("".join(corrected_words(heard)))


def test_captions_put_right_show_what_stood_there(sheet: str) -> None:
    assert re.search(r"<del[^>]*>night</del> <ins>knight</ins>", sheet)
    assert re.search(r"<td dir=\"auto\">be five</td><td>b5</td>", sheet)


def test_each_line_has_its_time(sheet: str) -> None:
    times = re.findall(r'<span class="num">([^<]*)</span>', sheet)
    assert times[0] == "0:01"
    assert all(re.fullmatch(r"\d+:\d\d", time) for time in times)
    assert times == sorted(times)


def test_lines_are_told_apart_in_words(sheet: str) -> None:
    text = plain_text(sheet[sheet.index('<div class="talk">') :])
    assert re.search(r"bishop takes c6.{0,4} supposed 4\.Bxc6", text)
    assert re.search(r"Back to where Black played a6 back to 3…a6", text)
    assert re.search(r"shown 4\.Ba4", text)


def test_sounds_stand_where_they_were(sheet: str) -> None:
    assert '<span class="sound">[music]</span> White plays' in sheet


def test_moves_not_said_are_called_so() -> None:
    heard = heard_of("Queen's pawn, queen's pawn, c4, e6, knight c3, knight f6. e3.", "talk.txt")
    unsaid = [move for move in heard.moves.values() if move.said is None]
    html = sheet_of(heard)
    talk = html[html.index('<div class="talk">') :]
    assert talk.count("<i>not said</i>") == len(unsaid)
    assert f"{len(unsaid)} not said" in plain_text(html)


def test_a_slip_has_its_fact_its_board_and_how_to_mend_it(slip: Heard) -> None:
    html = sheet_of(slip)
    found = slip.slips[0]
    text = plain_text(html)
    assert f"said “{found.said.text}”, meant {found.meant}".lower() in text.lower()
    assert found.stood in text
    assert f"{round(100 * found.sure)} % sure" in text
    assert "Say it again" in text and f"{found.said.text} [means {found.meant}]" in text
    number = re.search(r'<li id="f(\d+)" class="error drawn">', html)
    assert number and f'id="w{number[1]}"' in html
    assert f'<td><a href="#w{number[1]}">word {found.said.first + 1}</a></td>' in html
    assert "No slip was found" not in text


def test_a_question_says_how_it_is_answered(talk: Heard, sheet: str) -> None:
    asked = sheet_of(replace(talk, questions=(ASKED,)))
    text = unescape(plain_text(asked))
    assert "It is asked: is it 3…a6, or only talk?" in text
    written = re.findall(r"<code dir=\"auto\">([^<]*)</code>", asked)
    answers = [yaml.safe_load(unescape(line)) for line in written]
    assert answers == [{place_of(ASKED.said): choice} for choice in ASKED.choices]
    assert "talk.script.md" in text
    assert "is asked" not in sheet


def test_statements_that_fail_stand_beside_their_words() -> None:
    talk = hear(
        read_transcript(
            Source(
                "a.txt",
                "White plays e4, Black replies e5, knight f3, knight c6. Black has castled.",
            )
        )
    )
    sheet = sheet_of(talk)
    failing = [v for v, *_ in statements_of(talk) if v.verdict == "fails"]
    assert failing
    for verdict in failing:
        assert verdict.statement.words in plain_text(sheet)
        assert verdict.because[1:] in plain_text(sheet)
    assert sheet.count("<b>Failing statement</b>") == len(failing)


def test_every_link_leads_somewhere(sheet: str, slip: Heard) -> None:
    for html in (sheet, sheet_of(slip)):
        parts = _Parts(html)
        ids = parts.values("id")
        assert len(ids) == len(set(ids))
        assert {link[1:] for link in parts.values("href")} <= set(ids)


def test_the_same_talk_gives_the_same_bytes(talk: Heard, sheet: str) -> None:
    assert sheet_of(talk) == sheet


# --- empty, strange and faulty talks ----------------------------------------------------------


def test_nothing_found_is_said() -> None:
    heard = heard_of("e4 e5. Knight to f three, knight c6, bishop to b five.", "talk.txt")
    text = plain_text(sheet_of(replace(heard, questions=())))
    assert "No slip was found. Nothing is to be asked." in text
    assert "No word was changed." in text
    assert "How sure" not in text
    assert "word 1 " in text


GARDEN = "We take the flour and the butter and mix them well in the bowl. " * 12
GERMAN = "Das ist eine gute Eröffnung und wir haben nicht viel Zeit für die anderen Dinge. " * 8
HEBREW = "שלום לכולם היום נלמד פתיחה חדשה ונראה את כל המהלכים שלה. " * 10
BACKWARDS = (
    "WEBVTT\n\n00:10.000 --> 00:12.000\ne4 e5\n\n00:02.000 --> 00:11.000\nknight f3 knight c6\n"
)


@pytest.mark.parametrize(
    ("text", "name", "rule"),
    [
        ("", "talk.vtt", "no-words"),
        ("WEBVTT\n", "talk.vtt", "no-words"),
        (GARDEN, "talk.txt", "not-about-chess"),
        (GERMAN, "talk.txt", "other-language"),
        (HEBREW, "talk.txt", "other-language"),
        (TALK.replace("White castles", "White castles \U0001f600"), "talk.vtt", "emoji"),
        (BACKWARDS, "talk.vtt", "times-backwards"),
        ("e4 e5, knight f3, knight c6, bishop b5.", "talk.txt", "no-times"),
        (TALK.replace("00:12.000 --> ", "oo:12 --> "), "talk.vtt", "time-unreadable"),
    ],
)
def test_a_faulty_talk_has_its_finding_and_keeps_its_words(text: str, name: str, rule: str) -> None:
    heard = heard_of(text, name)
    html = sheet_of(heard)
    assert rule in plain_text(html), [f.rule for f in heard.transcript.findings]
    spoken = squeezed("".join(_Parts(html).spoken))
    assert spoken == squeezed("".join(corrected_words(heard)))
    grave = rule in {"no-words", "not-about-chess", "other-language"}
    assert ("No move was looked for." in html) == grave
    assert ("No slip was found" in html) == (not grave and not heard.slips)


def test_hostile_words_are_only_words() -> None:
    bad = '"><script>window.hacked=1</script><img src=x onerror=window.hacked=2>'
    heard = heard_of(f"# {bad}\n\ne4 e5 {bad} knight f3 &lt;script&gt; knight c6.", f"{bad}.md")
    said = Said(0, 2, bad, None)
    changes = tuple(replace(c, now=bad) for c in heard_of(TALK).caption_changes[:1])
    heard = replace(heard, caption_changes=tuple(replace(c, said=said) for c in changes))
    html = sheet_of(heard, answers=((bad, bad),))
    tags = _Parts(html).tags
    assert not {tag for tag, _ in tags} & {"script", "img", "iframe", "object", "link", "base"}
    assert not [key for _, named in tags for key in named if key.startswith("on")]


def test_answers_are_kept_on_the_sheet(talk: Heard) -> None:
    text = plain_text(sheet_of(talk, answers=(("0:32 takes", "5...Nxe4"),)))
    assert "Answered in the script’s head 0:32 takes 5...Nxe4" in text


def test_many_notes_share_the_boards_and_slips_keep_theirs(slip: Heard) -> None:
    words = len(slip.transcript.words)
    base = slip.slips[0]
    questions = tuple(
        replace(ASKED, said=Said(k % words, k % words + 1, f"word {k}", None), line=("e4",) * (k % 2))
        for k in range(2 * MOST_DIAGRAMS)
    )  # fmt: skip
    last = replace(base, said=Said(words - 1, words, "last", None))
    html = sheet_of(replace(slip, questions=questions, slips=(base, last)))
    assert 2 < html.count("<figure>") <= MOST_DIAGRAMS
    assert html.count('class="error drawn"') == 2
    assert f"A sheet carries {MOST_DIAGRAMS} boards" in html


def test_notes_that_overlap_all_have_their_places(slip: Heard) -> None:
    base = slip.slips[0]
    first, end = base.said.first, base.said.end
    more = tuple(
        replace(base, said=Said(a, b, "x", None))
        for a, b in ((first - 2, first + 1), (first, end), (end - 1, end + 4), (0, first))
    )
    parts = _Parts(sheet_of(replace(slip, slips=(base, *more))))
    ids = parts.values("id")
    assert {link[1:] for link in parts.values("href")} <= set(ids)
    assert len(ids) == len(set(ids))
    assert squeezed("".join(parts.spoken)) == squeezed("".join(corrected_words(slip)))


MIXED = st.lists(
    st.sampled_from(
        ["e4", "e5", "night", "f3", "<b>", "&amp;", "שלום", "…", "if", "takes", "# head\n", "[1:20]",
         "[music]", ">>", "\n\n", "Knight to c6.", "back to move two.", "\U0001f600", "—", "\"'"]
    ),
    max_size=40,
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(MIXED, st.sampled_from(["talk.txt", "talk.md", "talk.vtt", "talk.srt"]))
def test_no_word_of_any_talk_is_lost(parts: list[str], name: str) -> None:
    heard = heard_of(" ".join(parts), name)
    read = _Parts(sheet_of(heard))
    assert squeezed("".join(read.spoken)) == squeezed("".join(corrected_words(heard)))
    assert {link[1:] for link in read.values("href")} <= set(read.values("id"))


def test_hear_writes_the_sheet(tmp_path: Path) -> None:
    path = tmp_path / "talk.vtt"
    path.write_text(TALK)
    written = write_all(hear_file(path), tmp_path / "out", answers_in(tmp_path / "none.md").pairs)
    sheet = tmp_path / "out" / "talk.proof.html"
    assert sheet in written
    assert sheet.read_text("utf-8").startswith("<!doctype html>")


# --- in a browser -----------------------------------------------------------------------------


@pytest.mark.browser
def test_a_browser_shows_it_without_complaint(tmp_path: Path, sheet: str) -> None:
    path = tmp_path / "sheet.html"
    path.write_text(sheet)
    with chromium() as browser:
        for scheme, width in (("light", 1280), ("dark", 390), ("light", 320)):
            page = browser.new_page(viewport={"width": width, "height": 844}, color_scheme=scheme)
            asked: list[str] = []
            page.on("request", lambda request, asked=asked: asked.append(request.url))
            page.goto(path.as_uri())
            assert asked == [path.as_uri()]
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert serious(page) == []
            page.close()


@pytest.mark.browser
@pytest.mark.parametrize("width", [1100, 1280])
def test_how_a_line_ends_is_one_word_on_one_line(tmp_path: Path, width: int) -> None:
    """Found in use: beside long lines "shown" was broken as "sho" and "wn"."""
    moves = (
        "knight f3, knight c6, bishop b5, a6, bishop a4, knight f6, castles, bishop e7, rook e1, b5"
    )
    path = tmp_path / "sheet.html"
    path.write_text(
        sheet_of(
            heard_of(
                f"[0:00] e4 e5, {moves}, bishop b3, d6, c3, castles, h3, knight a5, bishop c2, c5, d4,"
                " queen c7, knight b d2, c takes d4, c takes d4, bishop b7.\n[1:00] If White plays"
                " knight f1, rook a c8, bishop d3 and knight c4.\n",
                "talk.txt",
            )
        )
    )
    with chromium() as browser:
        page = browser.new_page(viewport={"width": width, "height": 844})
        page.goto(path.as_uri())
        lines = page.evaluate(
            "[...document.querySelectorAll('.lines td:nth-child(2), .lines th')].map(cell => {"
            "const range = document.createRange(); range.selectNodeContents(cell);"
            "return new Set([...range.getClientRects()].map(box => box.top)).size})"
        )
        assert len(lines) > 3 and set(lines) == {1}
        page.close()


def test_an_edited_script_is_kept_when_a_talk_is_heard_again(tmp_path: Path) -> None:
    """Found in use: a teacher's changes were gone after another hearing, without a word."""
    talk = tmp_path / "talk.txt"
    talk.write_text("[0:05] White plays e4, Black replies e5, knight f3, knight c6.\n", "utf-8")
    folder = tmp_path / "talk"
    script = folder / "talk.script.md"
    runner = CliRunner()
    first = runner.invoke(app, ["hear", str(talk)])
    assert first.exit_code == 0 and "kept the script" not in first.output
    again = runner.invoke(app, ["hear", str(talk)])
    assert "kept the script" not in again.output, "nothing was changed"
    edited = script.read_text("utf-8") + "\nA word of my own.\n"
    script.write_text(edited, "utf-8")
    third = runner.invoke(app, ["hear", str(talk)])
    kept = folder / "talk.script.before-1.md"
    assert kept.read_text("utf-8") == edited and str(kept) in third.output
    script.write_text(edited.upper(), "utf-8")
    runner.invoke(app, ["hear", str(talk)])
    assert (folder / "talk.script.before-2.md").read_text("utf-8") == edited.upper()
    assert kept.read_text("utf-8") == edited


def test_an_edited_script_is_kept_once_and_it_is_said_how_to_go_on_with_it(tmp_path: Path) -> None:
    """Found in use: every hearing kept one more copy of the same script."""
    talk, folder = tmp_path / "talk.vtt", tmp_path / "talk"
    talk.write_text(TALK, "utf-8")
    runner = CliRunner()
    runner.invoke(app, ["hear", str(talk)])
    script = folder / "talk.script.md"
    edited = script.read_text("utf-8") + "\nA word of my own.\n"
    for _ in range(3):
        script.write_text(edited, "utf-8")
        said = runner.invoke(app, ["hear", str(talk)]).output
        told = said.splitlines()[-1]
        assert told.startswith(f"your own changes to talk.script.md are kept in {folder}")
        assert told.endswith(
            "talk.script.before-1.md: to go on with them, rename it, for example to"
            " talk-lesson.md, which no hearing writes over"
        )
    assert [path.name for path in folder.glob("*before*")] == ["talk.script.before-1.md"]


def test_a_hearing_again_with_answers_keeps_no_copy_and_is_told_of_in_one_line(
    tmp_path: Path,
) -> None:
    """Found in use: seven lines stood before the findings, and a copy where only answers were new."""
    talk, folder = tmp_path / "talk.txt", tmp_path / "talk"
    talk.write_text(
        "[0:01] White plays e4, Black replies e5, knight f3, knight c6, bishop c4, bishop c5, and the"
        " knight comes out. Then d3 d6 and the rook comes to e1.\n",
        "utf-8",
    )
    runner = CliRunner()
    script = folder / "talk.script.md"
    answers = (
        '\nanswers:\n  "0:08 knight comes out": "4.Nc3"\n---\n',
        '\n  "0:09 d3": "5.d3"\n---\n',
    )
    for head in ("\n---\n", *answers):
        if script.exists():
            script.write_text(script.read_text("utf-8").replace("\n---\n", head, 1), "utf-8")
        said = runner.invoke(app, ["hear", str(talk)]).output.splitlines()
        assert said[-1] == f"wrote {folder / 'talk.script.md'}, talk.slips.md," + (
            " talk.corrected.txt, talk.changes.md, talk.proof.html"
        )
        assert " corrections" in said[-2] and not any("kept" in line for line in said)
        assert not any("answer" in line for line in said)
    assert not list(folder.glob("*before*"))
    assert "4.Nc3" in script.read_text("utf-8")
    script.write_text(script.read_text("utf-8").replace("Then", "And then"), "utf-8")
    said = runner.invoke(app, ["hear", str(talk)]).output.splitlines()
    assert said[-1].startswith("your own changes to talk.script.md are kept in ")
    assert "And then" in (folder / "talk.script.before-1.md").read_text("utf-8")


def test_the_last_words_of_a_hearing_count_the_statements_that_fail(tmp_path: Path) -> None:
    """Found in use: a talk with a false statement looked clean in the terminal."""
    talk = tmp_path / "talk.txt"
    talk.write_text(
        "White plays e4, Black replies e5, knight f3, knight c6. Black has castled.", "utf-8"
    )
    said = CliRunner().invoke(app, ["hear", str(talk)]).output.splitlines()
    assert said[-2].endswith("0 corrections, 1 statement that does not hold")
    assert said[-3].startswith('word 11 does not hold: "Black has castled": ')
    talk.write_text(
        "White plays e4, Black replies e5, knight f3, knight c6." + 7 * " Black has castled.",
        "utf-8",
    )
    said = CliRunner().invoke(app, ["hear", str(talk)]).output.splitlines()
    assert said[-3] == "and 2 more on the proof sheet"
    talk.write_text("White plays e4, Black replies e5, knight f3, knight c6.", "utf-8")
    said = CliRunner().invoke(app, ["hear", str(talk)]).output.splitlines()
    assert said[-2].startswith("1 line, 4 moves said")


def test_questions_and_changes_stand_in_the_order_of_the_talk() -> None:
    """Found in use: both came in the order in which they were found."""
    texts = (path.read_text("utf-8") for path in sorted(TUNE.glob("*.vtt")))
    for talk in map(heard_of, texts):
        for found in (talk.questions, talk.caption_changes, talk.slips):
            firsts = [one.said.first for one in found]
            assert firsts == sorted(firsts)
        told = [line for line in report_text(talk).splitlines() if " question: " in line]
        assert [line.partition(" ")[0] for line in told] == [when(q.said) for q in talk.questions]


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("e4 e5, knight f3, knight c6, bishop c4, bishop c5. White castles? No matter. C3, knight f6,"
         " d3, d6. The bishop on b5 looks at f7.", "the bishop on c4"),
        ("d4, knight f6, c4, g6, knight c3, bishop g7, e4, d6, knight f3. White castles. Bishop e2, e5,"
         " and castles.",
         "Black castles"),
        ("d4 d5, c4. Black takes on c4. Knight c3, knight f6. At this moment Black is a pawn down.",
         "White is a pawn down"),
        ("e4 e5, knight f3, knight c6, bishop c4, bishop c5. White castles, knight f6, rook e1, d6,"
         " and look, the black rook on e one stares down the file.",
         "the white rook on e1"),
        ("d4 d5, c4. Black takes on c4. Knight c3, knight f6. White has his pawn on c4.",
         "the black pawn on c4"),
    ],
)  # fmt: skip
def test_what_a_slip_means_is_told_in_words(words: str, meant: str) -> None:
    """Found in use: "White castles" was said to mean "O-O", the bishop's place "Be4"."""
    talk = with_sides_told_wrong(heard_of(words, "talk.txt"))
    assert [meaning(slip) for slip in talk.slips] == [meant]
    assert any(f" for {meant}: " in line for line in report_text(talk).splitlines())
    assert f"| {meant} |" in slip_list(talk)
    assert meant in plain_text(sheet_of(talk))


def test_a_slip_of_side_is_told_with_the_word_that_is_wrong() -> None:
    """Found in use: "rook on e one" was said to mean "White", and that to be put on screen."""
    talk = heard_of(
        "e4 e5, knight f3, knight c6, bishop c4, bishop c5. White castles, knight f6, rook e1, d6,"
        " and look, the black rook on e one stares down the file.",
        "talk.txt",
    )
    slip = talk.slips[0]
    assert (slip.said.text, slip.meant) == ("black rook on e one", "White")
    assert slip.stood == "on e1 stands the white rook"
    assert 'say it again: "the white rook on e1"' in slip_list(talk)
    assert "on screen" not in slip_list(talk)
    text = plain_text(sheet_of(talk))
    assert "Said “black rook on e one”, meant the white rook on e1." in text


@pytest.mark.parametrize(
    ("said", "meant"),
    [("f2", "f7"), ("mate on f2", "f7"), ("the pawn on f2", "the pawn on f7")],
)
def test_a_square_alone_means_a_square(said: str, meant: str) -> None:
    line = ("e4", "e5", "Nf3", "Nc6", "Bc4")
    slip = HeardSlip(Said(0, 1, said, None), "f7", "square", 0.8, "", line)
    assert meaning(slip) == meant


def test_a_square_never_begins_with_a_capital() -> None:
    """Found in use: "E5 is empty, the pawn stands on d5" in the margin."""
    talk = heard_of(
        "d4 d5, c4 c6, knight f3, knight f6. The c-pawn hits the pawn on e5, and that hurts.",
        "talk.txt",
    )
    assert sentence("exd5 is what the talk goes on from").startswith("exd5")
    assert sentence("e-pawns are doubled") == "e-pawns are doubled."
    assert sentence("a rook hangs") == "A rook hangs."
    text = plain_text(sheet_of(talk))
    assert "e5 is empty, the pawn stands on d5." in text and "E5" not in text


def test_a_script_of_a_lesson_is_not_called_lesson_twice(tmp_path: Path) -> None:
    """Found in use: "tuesday-lesson-lesson.md" was the name to go on with."""
    kept = tmp_path / "tuesday-lesson.script.before-1.md"
    assert "for example to tuesday-lesson.md, which" in kept_text(kept)
    (tmp_path / "tuesday-lesson.md").touch()
    assert "to tuesday-lesson-lesson.md, which" in kept_text(kept), "that name is taken"
    assert "to tuesday-lesson.md, which" in kept_text(tmp_path / "tuesday.script.before-2.md")


def test_the_lines_stand_in_the_order_in_which_they_are_said() -> None:
    """Found in use: a line told late stood above those told before it."""
    talk = heard_of(
        "[0:00] e4 e5, knight f3, knight c6, bishop b5, a6.\n"
        "[0:10] Let's go back to e5. Instead of knight f3 White can play f4, e takes f4.\n"
        "[0:20] Back to bishop b5. Instead of a6 Black can play knight f6, and White castles.\n",
        "talk.txt",
    )
    html = sheet_of(talk)
    table = html[html.index("<h2>The lines") :]
    times = re.findall(r"<tr><td>(?:<[^>]*>)?(\d+:\d\d)", table[: table.index("</table>")])
    assert len(times) == len(talk.lines) == 3 and times == sorted(times)
