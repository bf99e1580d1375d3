//! Games the engine plays against itself, written down as positions with their outcome.
//!
//! A game begins with eight or nine random moves; a start the engine finds lopsided is thrown
//! away. Both sides then search a fixed number of nodes. Positions go to the file if nothing is
//! being taken (not in check, best move no capture or promotion) and the score is not a mate.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::sync::atomic::AtomicBool;

use linewright_core::engine::{Engine, EngineError, Game, Limits, Score};
use shakmaty::fen::Fen;
use shakmaty::uci::UciMove;
use shakmaty::{Chess, EnPassantMode, Position};

use crate::random::Random;

/// How games are made.
pub struct Recipe {
    pub count: usize,
    pub nodes: u64,
    pub seed: u64,
}

const MOST_PLIES: usize = 300;
const LOPSIDED: i32 = 250;
const DECIDED: i32 = 1500;

/// Plays the games and writes a line `FEN;result for White;score for White` per position.
pub fn play(recipe: &Recipe, out: &str) -> Result<(), Box<dyn std::error::Error>> {
    let mut file = BufWriter::new(File::create(out)?);
    let mut engine = Engine::new(8, 1)?;
    let mut random = Random::new(recipe.seed);
    let (mut positions, mut results) = (0, [0usize; 3]);
    for number in 0..recipe.count {
        let opening = random_start(&mut random);
        engine.clear();
        let Some((kept, result)) = one_game(&mut engine, opening, recipe.nodes)? else {
            continue;
        };
        for (fen, score) in &kept {
            writeln!(file, "{fen};{result};{score}")?;
        }
        positions += kept.len();
        results[(result * 2.0) as usize] += 1;
        if number % 200 == 199 {
            file.flush()?;
            println!(
                "{} games, {positions} positions, lost/drawn/won {results:?}",
                number + 1
            );
        }
    }
    file.flush()?;
    Ok(())
}

/// A position after eight or nine random legal moves.
pub fn random_start(random: &mut Random) -> Chess {
    loop {
        let mut position = Chess::default();
        for _ in 0..8 + random.below(2) {
            let moves = position.legal_moves();
            if moves.is_empty() {
                break;
            }
            position.play_unchecked(moves[random.below(moves.len())]);
        }
        if !position.legal_moves().is_empty() {
            return position;
        }
    }
}

pub fn fen_of(position: &Chess) -> String {
    Fen::from_position(position, EnPassantMode::Legal).to_string()
}

type Kept = Vec<(String, i32)>;

fn one_game(
    engine: &mut Engine,
    start: Chess,
    nodes: u64,
) -> Result<Option<(Kept, f64)>, EngineError> {
    let limits = Limits {
        nodes: Some(nodes),
        ..Limits::default()
    };
    let stop = AtomicBool::new(false);
    let mut game = Game::new::<&str>(&fen_of(&start), &[])?;
    let (mut kept, mut decided, mut level) = (Kept::new(), 0i32, 0u32);
    for ply in 0..MOST_PLIES {
        if let Some(result) = outcome(&game) {
            return Ok(Some((kept, result)));
        }
        let answer = engine.analyse::<&str>(&game, &limits, 1, &[], &stop, |_, _| true)?;
        let Some(line) = answer.lines.first() else {
            return Ok(None);
        };
        let white = game.position().turn().is_white();
        let score = match line.score {
            Score::Centipawns(score) => score,
            Score::Mate(moves) => 30_000 * moves.signum(),
        };
        let score = if white { score } else { -score };
        if ply == 0 && score.abs() > LOPSIDED {
            return Ok(None);
        }
        decided = if score.abs() >= DECIDED {
            decided.abs() + 1
        } else {
            0
        };
        level = if score.abs() <= 6 && ply > 80 {
            level + 1
        } else {
            0
        };
        if decided >= 6 {
            return Ok(Some((kept, if score > 0 { 1.0 } else { 0.0 })));
        }
        if level >= 16 {
            return Ok(Some((kept, 0.5)));
        }
        let uci: UciMove = line.moves[0].parse().expect("the engine writes UCI");
        let played = uci
            .to_move(game.position())
            .expect("the engine plays legal moves");
        if !played.is_capture()
            && !played.is_promotion()
            && !game.position().is_check()
            && score.abs() < DECIDED
        {
            kept.push((fen_of(game.position()), score));
        }
        game.play(&line.moves[0])?;
    }
    Ok(Some((kept, 0.5)))
}

/// The result for White if the game is over.
pub fn outcome(game: &Game) -> Option<f64> {
    let position = game.position();
    if position.is_checkmate() {
        return Some(if position.turn().is_white() { 0.0 } else { 1.0 });
    }
    let drawn = position.is_stalemate()
        || position.is_insufficient_material()
        || position.halfmoves() >= 100
        || game.repeated();
    drawn.then_some(0.5)
}

/// A position from a line of the file, with its result and score for White.
pub fn read(line: &str) -> Option<(Game, f64, f64)> {
    let mut parts = line.split(';');
    let (fen, result, score) = (parts.next()?, parts.next()?, parts.next()?);
    let game = Game::new::<&str>(fen, &[]).ok()?;
    Some((game, result.parse().ok()?, score.parse().ok()?))
}
