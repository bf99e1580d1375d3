//! Measurements: nodes a second, and suites of positions with known best moves.

use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use linewright_core::engine::{Answer, Engine, Game, Limits};

/// A position with the moves that solve it.
struct Puzzle {
    name: String,
    game: Game,
    best: Vec<String>,
}

fn puzzles(file: &str, prefix: &str) -> Result<Vec<Puzzle>, Box<dyn std::error::Error>> {
    let mut puzzles = Vec::new();
    for line in std::fs::read_to_string(file)?.lines() {
        let mut cells = line.split(',');
        let (Some(name), Some(fen), Some(best)) = (cells.next(), cells.next(), cells.next()) else {
            continue;
        };
        if name.starts_with(prefix) {
            puzzles.push(Puzzle {
                name: name.to_owned(),
                game: Game::new::<&str>(fen, &[])?,
                best: best.split(' ').map(str::to_owned).collect(),
            });
        }
    }
    Ok(puzzles)
}

/// Solves the suite's positions whose names begin with `prefix`, each with the same limits.
pub fn suite(file: &str, prefix: &str, limits: &Limits) -> Result<(), Box<dyn std::error::Error>> {
    let mut engine = Engine::new(16, 1)?;
    let stop = AtomicBool::new(false);
    let (mut solved, mut nodes) = (0, 0);
    let puzzles = puzzles(file, prefix)?;
    let began = Instant::now();
    for puzzle in &puzzles {
        engine.clear();
        // When the solution was found and not left again.
        let mut since: Option<(u64, u32)> = None;
        let watch = |answer: &Answer, _: usize| {
            let right = answer
                .lines
                .first()
                .is_some_and(|line| puzzle.best.contains(&line.moves[0]));
            since = if right {
                since.or(Some((answer.nodes, answer.depth)))
            } else {
                None
            };
            true
        };
        let answer = engine.analyse::<&str>(&puzzle.game, limits, 1, &[], &stop, watch)?;
        nodes += answer.nodes;
        let line = &answer.lines[0];
        if puzzle.best.contains(&line.moves[0]) {
            solved += 1;
        } else {
            let (best, found) = (puzzle.best.join(" "), &line.moves[0]);
            println!(
                "{}: {found} {:?} depth {} instead of {best}",
                puzzle.name, line.score, line.depth
            );
        }
    }
    println!(
        "{solved} of {} solved, {nodes} nodes, {:.1} s",
        puzzles.len(),
        began.elapsed().as_secs_f64()
    );
    Ok(())
}

/// Middlegames for the speed of the search; made up of common openings.
const MIDDLEGAMES: [&str; 4] = [
    "r1bq1rk1/pp2bppp/2n1pn2/2pp4/3P1B2/2PBPN2/PP1N1PPP/R2QK2R w KQ - 0 8",
    "r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10",
    "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
    "r2q1rk1/1b2bppp/p2ppn2/1p6/3QPP2/1BN1B3/PPP3PP/R4RK1 w - - 0 13",
];

/// Nodes a second in middlegames.
pub fn speed(nodes: u64) -> Result<(), Box<dyn std::error::Error>> {
    let mut engine = Engine::new(16, 1)?;
    let stop = AtomicBool::new(false);
    let limits = Limits {
        nodes: Some(nodes),
        ..Limits::default()
    };
    let (mut total, mut time) = (0, Duration::ZERO);
    for fen in MIDDLEGAMES {
        engine.clear();
        let game = Game::new::<&str>(fen, &[])?;
        let answer = engine.analyse::<&str>(&game, &limits, 1, &[], &stop, |_, _| true)?;
        total += answer.nodes;
        time += answer.time;
        println!(
            "depth {} {:?} {}",
            answer.depth,
            answer.lines[0].score,
            answer.lines[0].moves.join(" ")
        );
    }
    println!(
        "{total} nodes, {:.0} nodes/s",
        total as f64 / time.as_secs_f64()
    );
    Ok(())
}
