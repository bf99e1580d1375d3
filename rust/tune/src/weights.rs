//! The weights as the tuner holds them, where they start, and the file they are written to.

use std::fmt::Write as _;

use linewright_core::engine::tuning::{DANGER_COUNT, WEIGHT_COUNT, groups, in_force, placement};

/// Middlegame and endgame scores by place, and the dangers, in centipawns.
#[derive(Clone)]
pub struct Weights {
    pub scores: Vec<[f64; 2]>,
    pub dangers: Vec<f64>,
}

/// Weights compiled into this program.
pub fn compiled() -> Weights {
    let (scores, dangers) = in_force();
    Weights {
        scores: scores
            .iter()
            .map(|&(m, e)| [f64::from(m), f64::from(e)])
            .collect(),
        dangers: dangers.iter().map(|&danger| f64::from(danger)).collect(),
    }
}

/// Where fitting starts: the textbook's 1-3-3-5-9, and round numbers in the right direction.
pub fn textbook() -> Weights {
    let mut weights = Weights {
        scores: vec![[0.0; 2]; WEIGHT_COUNT],
        dangers: vec![0.0; DANGER_COUNT],
    };
    for &(name, first, count) in groups() {
        for index in 0..count {
            weights.scores[first + index] = start(name, index, count);
        }
    }
    for square in 0..64usize {
        let (file, rank) = (square & 7, square >> 3);
        let centre = 6.0 - (file as f64 - 3.5).abs() - (rank as f64 - 3.5).abs();
        for role in 1..5 {
            weights.scores[placement(role, square)] = [4.0 * centre, 4.0 * centre];
        }
        weights.scores[placement(0, square)] = [centre * 2.0, 8.0 * (rank as f64 - 1.0)];
        weights.scores[placement(5, square)] = [-12.0 * rank as f64, 8.0 * centre];
    }
    for (index, danger) in weights.dangers.iter_mut().enumerate() {
        // Attackers, attacks, weak squares, safe checks, unsafe checks; no queen; pinned; base.
        *danger = match index {
            1..=4 => 30.0,
            5 => 20.0,
            6 => 40.0,
            7..=10 => 150.0,
            11 => 20.0,
            12 => -200.0,
            13 => 20.0,
            15 => -20.0,
            _ => 0.0,
        };
    }
    weights
}

fn start(name: &str, index: usize, count: usize) -> [f64; 2] {
    let step = index as f64;
    let middle = step - count as f64 / 2.0;
    match name {
        "MATERIAL" => {
            let worth = [100.0, 300.0, 300.0, 500.0, 900.0, 0.0][index];
            [worth, worth]
        }
        "KNIGHT_MOBILITY" | "BISHOP_MOBILITY" => [5.0 * middle, 5.0 * middle],
        "ROOK_MOBILITY" => [3.0 * middle, 5.0 * middle],
        "QUEEN_MOBILITY" => [2.0 * middle, 3.0 * middle],
        "BISHOP_PAIR" => [30.0, 40.0],
        "OUTPOST" | "ROOK_HALF_OPEN" => [15.0, 5.0],
        "ROOK_OPEN" => [30.0, 10.0],
        "ROOK_SEVENTH" => [10.0, 20.0],
        "ISOLATED" | "DOUBLED" | "BACKWARD" => [-10.0, -10.0],
        "SUPPORTED" | "PHALANX" => [8.0, 5.0],
        "PASSED" => [step * step, 4.0 * step * step],
        "PASSED_ENEMY_KING" => [0.0, 5.0],
        "PASSED_OWN_KING" => [0.0, -3.0],
        "PASSED_RUNS" => [0.0, 400.0],
        "PAWN_ATTACKS" => [40.0, 30.0],
        "MINOR_ATTACKS" | "ROOK_ATTACKS" | "HANGING" => [20.0, 20.0],
        "LOOSE_ATTACKED" => [10.0, 10.0],
        "SPACE" => [2.0, 0.0],
        "SHELTER" => [
            if index.is_multiple_of(8) {
                -15.0
            } else {
                15.0 - 5.0 * (index % 8) as f64
            },
            0.0,
        ],
        "KING_FILE" => [-15.0, 0.0],
        "TEMPO" => [15.0, 10.0],
        _ => [0.0, 0.0],
    }
}

/// The Rust source that holds the weights.
pub fn source(weights: &Weights, note: &str) -> String {
    let mut text = format!(
        "//! The evaluation's weights, written by `linewright-tune`; do not edit.\n//!\n//! {note}\n\n\
         use super::eval::placed;\nuse super::features::{{COUNT, danger}};\nuse super::{{S, s}};\n\n"
    );
    text.push_str("#[rustfmt::skip]\nconst FITTED: [S; COUNT] = [\n");
    for &(name, first, count) in groups() {
        let _ = writeln!(text, "    // {name}");
        for row in weights.scores[first..first + count].chunks(8) {
            let cells: Vec<String> = row
                .iter()
                .map(|[middle, end]| format!("s({}, {})", middle.round(), end.round()))
                .collect();
            let _ = writeln!(text, "    {},", cells.join(", "));
        }
    }
    text.push_str("];\n\n/// By place in [`features`](super::features).\n");
    text.push_str("pub static WEIGHTS: [S; COUNT] = FITTED;\n\n");
    text.push_str("/// Material and placement by piece and square, from White's side.\n");
    text.push_str("pub static PLACED: [[S; 64]; 12] = placed(&FITTED);\n\n");
    text.push_str("/// By place in [`danger`].\n#[rustfmt::skip]\n");
    text.push_str("pub static DANGER: [i32; danger::COUNT] = [\n");
    for row in weights.dangers.chunks(8) {
        let cells: Vec<String> = row
            .iter()
            .map(|danger| format!("{}", danger.round()))
            .collect();
        let _ = writeln!(text, "    {},", cells.join(", "));
    }
    text.push_str("];\n");
    text
}
