use std::collections::HashSet;

use super::*;

fn read(text: &str) -> (GameColumns, Report) {
    read_bytes(text.as_bytes(), false)
}

fn read_bytes(text: &[u8], keep: bool) -> (GameColumns, Report) {
    let mut reader = Reader::new(HashSet::new(), keep, 2);
    for chunk in text.chunks(37) {
        reader.feed(chunk);
    }
    reader.finish();
    (reader.take_games(), reader.take_report())
}

const MINIMAL: &str = "[Event \"Club\"]\n[Result \"1-0\"]\n\n1. e4 e5 2. Nf3 1-0\n";

#[test]
fn a_plain_game() {
    let (games, report) = read(MINIMAL);
    assert_eq!((games.len(), report.games), (1, 1));
    assert!(
        report.refused.is_empty() && report.warnings.is_empty(),
        "{report:?}"
    );
    assert_eq!(games.plies, [3]);
    assert_eq!(games.result, [1]);
}

#[test]
fn an_unclosed_comment_does_not_swallow_the_next_game() {
    let text = format!("[Event \"A\"]\n\n1. e4 {{oh 1-0\n\n{MINIMAL}");
    let (games, report) = read(&text);
    assert_eq!(games.len(), 1);
    assert_eq!(report.refused.len(), 1);
    assert_eq!(report.refused[0].line, 3);
    assert!(report.refused[0].reason.contains("never closed"));
}

#[test]
fn unknown_tokens_are_faults() {
    let (games, report) = read("[Event \"A\"]\n\n1.e4 xyzzy e5 1-0\n");
    assert_eq!(games.len(), 0);
    assert!(report.refused[0].reason.contains("'xyzzy' is no move"));
}

#[test]
fn reasons_name_the_board() {
    for (moves, reason) in [
        ("1.e4 e5 2.Ke3", "no white king can go to e3"),
        (
            "1.e4 e5 2.Nf3 Nc6 3.Nc3 Nf6 4.Nd2",
            "own piece stands on d2",
        ),
        ("1.d4 d5 2.Nf3 Nf6 3.Nd2", "could be Nbd2 or Nfd2"),
        ("1.e4 e5 2.O-O", "White may not castle short"),
        ("1.e4 --", "null move"),
        ("1.e4 e5 2.nf3", "capital letters"),
    ] {
        let (games, report) = read(&format!("[Event \"A\"]\n\n{moves} 1-0\n"));
        assert_eq!(games.len(), 0, "{moves}");
        assert!(
            report.refused[0].reason.contains(reason),
            "{:?}",
            report.refused
        );
    }
}

#[test]
fn odd_spellings_are_read_and_said() {
    let text = "[Event \"A\"]\n[Result \"1-0\"]\n\n1. e2-e4 e7e5 2. \u{2658}f3 Nc6 3. Bb5 Nf6 4. 0-0 Nxe4 5. Re1 Nd6 6. Ne5 1-0\n";
    let (games, report) = read(text);
    assert_eq!(games.plies, [11], "{report:?}");
    assert!(report.warnings.iter().any(|w| w.reason.contains("zeros")));
    assert!(
        report
            .warnings
            .iter()
            .any(|w| w.reason.contains("capture sign"))
    );
}

#[test]
fn games_without_tags_or_blank_lines() {
    let (games, report) = read("1. e4 e5 1-0\n1. d4 d5 1/2-1/2 1. c4 *\n[White \"A\"]\n1. f4 0-1");
    assert_eq!(games.len(), 4, "{report:?}");
    assert_eq!(games.result, [1, 2, 0, 3]);
    assert_eq!(games.line, [1, 2, 2, 3]);
}

#[test]
fn results_that_contradict_count_no_score() {
    let (games, report) = read("[Event \"A\"]\n[Result \"1-0\"]\n\n1.e4 0-1\n");
    assert_eq!(games.result, [0]);
    assert!(report.warnings[0].reason.contains("contradict"));
}

#[test]
fn nesting_is_counted_not_recursed() {
    let text = format!(
        "[Event \"A\"]\n\n1.e4 {}1.d4{} e5 1-0\n",
        "(".repeat(100_000),
        ")".repeat(100_000)
    );
    let (games, _) = read_bytes(text.as_bytes(), false);
    assert_eq!(games.plies, [2]);
    let (games, report) = read(&format!("[Event \"A\"]\n\n1.e4 (1.d4 e5 1-0\n\n{MINIMAL}"));
    assert_eq!((games.len(), report.refused.len()), (1, 1));
}

#[test]
fn a_game_can_be_kept_up_to_its_fault() {
    let (games, report) = read_bytes(
        b"[Event \"A\"]\n[Result \"1-0\"]\n\n1.e4 e5 2.Ke3 Nc6 1-0\n",
        true,
    );
    assert_eq!((games.plies[0], games.cut[0], games.result[0]), (2, 1, 1));
    assert!(
        report.warnings[0]
            .reason
            .starts_with("kept up to the fault")
    );
}

#[test]
fn copies_are_recognised_and_variants_left_out() {
    let other = "[Event \"B\"]\n[Variant \"Atomic\"]\n\n1.e4 1-0\n";
    let (games, report) = read(&format!("{MINIMAL}\n{MINIMAL}\n{other}"));
    assert_eq!(
        (games.len(), report.duplicates.len(), report.variants),
        (1, 1, 1)
    );
    assert_eq!(report.duplicates[0].1, 6);
}

#[test]
fn starts_from_a_fen_and_escape_lines() {
    let text = "[Event \"A\"]\r\n[FEN \"4k3/8/8/8/8/8/4P3/4K3 w - - 0 1\"]\r\n\r\n% not for us\r\n1. e4 ; a remark\r\n1... Kd7 $1 1/2-1/2\r\n";
    let (games, report) = read(text);
    assert_eq!(games.plies, [2], "{report:?}");
    assert!(games.fen.get(0).starts_with(b"4k3"));
}

/// Collects the main line of each game as `pgn-reader` sees it.
struct Lines;

impl pgn_reader::Visitor for Lines {
    type Tags = ();
    type Movetext = Vec<String>;
    type Output = Vec<String>;

    fn begin_tags(&mut self) -> std::ops::ControlFlow<Self::Output, Self::Tags> {
        std::ops::ControlFlow::Continue(())
    }

    fn begin_movetext(
        &mut self,
        (): Self::Tags,
    ) -> std::ops::ControlFlow<Self::Output, Self::Movetext> {
        std::ops::ControlFlow::Continue(Vec::new())
    }

    fn san(
        &mut self,
        line: &mut Self::Movetext,
        san: pgn_reader::SanPlus,
    ) -> std::ops::ControlFlow<Self::Output> {
        line.push(san.to_string());
        std::ops::ControlFlow::Continue(())
    }

    fn end_game(&mut self, line: Self::Movetext) -> Self::Output {
        line
    }
}

fn san_of(games: &GameColumns, index: usize) -> Vec<String> {
    let text = crate::games::GameText {
        fen: "",
        moves: games.moves.get(index),
    };
    let mut replay = crate::games::Replay::new(text).unwrap();
    let mut line = Vec::new();
    while let Some(played) = replay.peek() {
        let san = shakmaty::san::SanPlus::from_move(replay.position.clone(), played);
        line.push(san.to_string());
        replay.play(played);
    }
    line
}

/// The outside reader of the same format agrees on every move of well-formed games.
#[test]
fn agrees_with_another_reader() {
    let plan = crate::games::generate::Plan {
        seed: 3,
        ratings: (900, 2400),
        years: (2001, 2020),
        players: 500,
        event: "Invented".into(),
        site: "Nowhere".into(),
        book: std::collections::HashMap::new(),
    };
    let text =
        crate::games::generate::games(&plan, 0, 200).replace(" 9. ", " {a (b} 9. (8. a3 e5) ");
    let (games, report) = read(&text);
    assert!(report.refused.is_empty(), "{:?}", report.refused);
    let mut reader = pgn_reader::Reader::new(std::io::Cursor::new(text.as_bytes()));
    let mut index = 0;
    while let Some(line) = reader.read_game(&mut Lines).unwrap() {
        assert_eq!(san_of(&games, index), line);
        index += 1;
    }
    assert_eq!((index, games.len()), (200, 200));
}
