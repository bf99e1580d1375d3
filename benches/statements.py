"""Scores the judging of statements on sentences whose truth is known.

    python benches/statements.py [develop|aside] [--show] [--speed] [--file FILE.jsonl]

Runs `linewright ask --batch` on tests/statements/NAME.jsonl and the prose beside it and prints, by
family and in all: of the decidable statements how many got a verdict, of the verdicts how many are
right, of the sentences without a decidable statement how many got one. `--show` lists the mistakes
(not to be used with `aside` by whoever works on the judging).
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parent.parent / "tests" / "statements"
DECISIVE = ("holds", "fails")
Sentence = dict[str, Any]


def asked(sentences: list[Sentence]) -> tuple[list[Sentence], float]:
    """The program's answers, one for each sentence, and the seconds it took."""
    with tempfile.TemporaryDirectory() as folder:
        batch = Path(folder) / "batch.jsonl"
        keys = ("moves", "fen", "text", "taught")
        batch.write_text(
            "".join(
                json.dumps({key: s[key] for key in keys if key in s}, ensure_ascii=False) + "\n"
                for s in sentences
            ),
            "utf-8",
        )
        start = time.perf_counter()
        done = subprocess.run(
            [
                sys.executable,
                "-c",
                "from linewright.cli import main; main()",
                "ask",
                "--batch",
                str(batch),
            ],
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        seconds = time.perf_counter() - start
    answers = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    if len(answers) != len(sentences):
        sys.exit(f"{len(answers)} answers for {len(sentences)} sentences\n{done.stderr[-2000:]}")
    faults = Counter(answer["error"] for answer in answers if answer.get("error"))
    for fault, times in faults.most_common(3):
        print(f"{times} answers with a fault such as: {fault}")
    return answers, seconds


def score(sentence: Sentence, answer: Sentence) -> Counter[str]:
    """The counts of one sentence: decidable, recognised, right, wrong, false_alarm and so on."""
    given = [one["verdict"] for one in answer["statements"] if one["verdict"] in DECISIVE]
    expect = sentence["expect"]
    wanted = expect if isinstance(expect, list) else [expect]
    if wanted[0] == "none":
        return Counter(no_statement=1, false_alarm=int(bool(given)))
    if wanted[0] == "cannot-tell":
        if sentence.get("needs") == "analyst":
            return Counter(for_others=1, answered=int(bool(answer["statements"])))
        return Counter(undecidable=1, false_verdict=int(bool(given)))
    if len(wanted) == 1:
        right = sum(1 for verdict in given if verdict == wanted[0])
        wrong = len(given) - right
    else:
        right = sum((Counter(given) & Counter(wanted)).values())
        wrong = len(given) - right
    counts = Counter(right=right, wrong=wrong)
    if sentence.get("needs"):
        return counts + Counter(for_others=1, answered=int(bool(answer["statements"])))
    if sentence.get("optional"):
        return counts + Counter(optional=1)
    return counts + Counter(decidable=len(wanted), recognised=min(len(given), len(wanted)))


def percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:5.1f} %" if whole else "      -"


def line(name: str, counts: Counter[str]) -> str:
    given = counts["right"] + counts["wrong"]
    return (
        f"{name:12} recognised {counts['recognised']:4} of {counts['decidable']:4}"
        f" {percent(counts['recognised'], counts['decidable'])}"
        f"   right {counts['right']:4} of {given:4} {percent(counts['right'], given)}"
        f"   taken for statements {counts['false_alarm']:2} of {counts['no_statement']:3}"
        f"   undecidable but judged {counts['false_verdict']:2} of {counts['undecidable']:2}"
    )


def is_fault(counts: Counter[str]) -> bool:
    missed = counts["decidable"] > counts["recognised"]
    return missed or any(counts[k] for k in ("wrong", "false_alarm", "false_verdict"))


def report(sentences: list[Sentence], show: bool) -> Counter[str]:
    """Prints the table of a set of sentences; gives back the counts of all."""
    answers, seconds = asked(sentences)
    families: dict[str, Counter[str]] = defaultdict(Counter)
    for sentence, answer in zip(sentences, answers, strict=True):
        counts = score(sentence, answer)
        families[sentence["family"]] += counts
        if show and is_fault(counts):
            place = " ".join(sentence.get("moves", [])) or sentence.get("fen", "start")
            print(f"\n[{sentence['family']}] {sentence['text']}  ({place}; {sentence['taught']})")
            print(f"   expected {sentence['expect']}")
            for one in answer["statements"]:
                print(f"   {one['verdict']}: {one.get('family')}: {one.get('because')}")
    total: Counter[str] = sum(families.values(), Counter())
    for name in sorted(families):
        print(line(name, families[name]))
    print(line("all", total))
    print(f"{len(sentences)} sentences in {seconds:.2f} s, starting the program included")
    return total


def prose(path: Path, boards: list[Sentence], show: bool) -> None:
    """Asks every sentence of a teacher's prose at some position or other of the set."""
    texts = [text for text in path.read_text("utf-8").splitlines() if text]
    sentences = [
        {
            **{k: v for k, v in boards[(7 * i) % len(boards)].items() if k in ("moves", "fen")},
            "text": text,
            "taught": ("White", "Black", None)[i % 3],
        }
        for i, text in enumerate(texts)
    ]
    answers, _ = asked(sentences)
    taken = [
        (text, [one for one in answer["statements"] if one["verdict"] in DECISIVE])
        for text, answer in zip(texts, answers, strict=True)
    ]
    mistaken = [(text, found) for text, found in taken if found]
    print(
        f"ordinary prose: {len(mistaken)} of {len(texts)} sentences mistaken for a decidable"
        f" statement ({percent(len(mistaken), len(texts)).strip()})"
    )
    for text, found in mistaken if show else ():
        print(f"   {text}\n      {found[0]['family']}: {found[0]['because']}")


def lesson_of(sentences: list[Sentence], words: int) -> str:
    """A lesson of about so many words: the moves of each position, then what is said there."""
    places: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for sentence in sentences:
        if sentence.get("moves"):
            places[tuple(sentence["moves"])].append(sentence["text"])
    parts: list[str] = []
    written = 0
    for moves, texts in places.items():
        line = " ".join(
            (f"{i // 2 + 1}." if i % 2 == 0 else "") + san for i, san in enumerate(moves)
        )
        parts.append(f"## Part {len(parts) + 1}\n\n{line}\n\n{' '.join(texts)}\n")
        written += sum(len(text.split()) for text in texts)
        if written >= words:
            break
    return "# Sentences\n\n" + "\n".join(parts)


RUNS = 5
"""Fresh processes that are timed, after one that is not."""


def timed(sentences: list[Sentence]) -> None:
    """Prints the figures of this process, as JSON: what `speed` asks a fresh one for.

    Collection of dead objects is set as where the installed program begins.
    """
    from linewright.__main__ import OBJECTS_BEFORE_COLLECTION
    from linewright.following import follow
    from linewright.script import parse
    from linewright.source import Source
    from linewright.statements_of_lesson import judge_lesson

    gc.set_threshold(OBJECTS_BEFORE_COLLECTION)
    text = lesson_of(sentences, 2000)
    follow_s, judge_s = [], []
    for _ in range(2):
        start = time.process_time()
        lesson = follow(parse(Source("lesson.md", text)))
        followed = time.process_time()
        verdicts = judge_lesson(lesson)
        follow_s.append(followed - start)
        judge_s.append(time.process_time() - followed)
    figures = {"words": len(text.split()), "statements": len(verdicts)}
    print(json.dumps(figures | {"follow_s": follow_s, "judge_s": judge_s}))


def speed() -> None:
    """Prints how long the statements of a 2,000-word lesson take, beside following it.

    Each run is a process of its own, with Python's compiled files as an installed program has them.
    """
    as_installed = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    command = [sys.executable, __file__, *sys.argv[1:], "--timed"]
    runs = []
    for _ in range(1 + RUNS):
        done = subprocess.run(command, env=as_installed, check=True, capture_output=True)
        runs.append(json.loads(done.stdout))
    del runs[0]
    print(
        f"lesson of {runs[0]['words']} words, {runs[0]['statements']} statements,"
        f" {RUNS} fresh processes; seconds of CPU, least, median and most"
    )
    for number, name in enumerate(("first in a process", "again")):
        judge_s = sorted(run["judge_s"][number] for run in runs)
        times = statistics.median(run["judge_s"][number] / run["follow_s"][number] for run in runs)
        least, middle, most = judge_s[0], statistics.median(judge_s), judge_s[-1]
        print(
            f"judged, {name}: {least:.2f}, {middle:.2f}, {most:.2f} s,"
            f" {times:.1f} times what following it takes"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("name", nargs="?", default="develop")
    parser.add_argument("--show", action="store_true")
    parser.add_argument("--file", type=Path, help="score this file instead")
    parser.add_argument("--prose", type=Path, help="and this prose")
    parser.add_argument("--speed", action="store_true", help="time a lesson's statements only")
    parser.add_argument("--timed", action="store_true", help=argparse.SUPPRESS)
    given = parser.parse_args()
    path = given.file or FOLDER / f"{given.name}.jsonl"
    sentences = [json.loads(row) for row in path.read_text("utf-8").splitlines() if row]
    if given.timed:
        timed(sentences)
        return
    if given.speed:
        speed()
        return
    report(sentences, given.show)
    ordinary = given.prose or FOLDER / f"prose_{given.name}.txt"
    if ordinary.exists() and (given.file is None or given.prose):
        prose(ordinary, sentences, given.show)


if __name__ == "__main__":
    main()
