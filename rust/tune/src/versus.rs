//! Matches between two UCI engines at fixed nodes: every random opening is played twice, with
//! colours changed, and the score is told with its 95 % interval.

use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use linewright_core::engine::{Engine, Game, Limits, Score};

use crate::games::{fen_of, outcome, random_start};
use crate::random::Random;

type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;

const PATIENCE: Duration = Duration::from_secs(60);
const MOST_PLIES: usize = 400;

/// An engine process that is asked for moves.
struct Player {
    child: Child,
    orders: ChildStdin,
    answers: Receiver<String>,
}

impl Player {
    fn start(command: &str) -> Result<Player> {
        let mut words = command.split_whitespace();
        let program = words.next().ok_or("an engine command is empty")?;
        let mut child = Command::new(program)
            .args(words)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .map_err(|error| format!("'{command}' does not start: {error}"))?;
        let orders = child.stdin.take().ok_or("no standard input")?;
        let output = BufReader::new(child.stdout.take().ok_or("no standard output")?);
        let (sender, answers) = channel();
        std::thread::spawn(move || {
            for line in output.lines().map_while(std::io::Result::ok) {
                if sender.send(line).is_err() {
                    return;
                }
            }
        });
        let mut player = Player {
            child,
            orders,
            answers,
        };
        player.ask("uci", "uciok")?;
        Ok(player)
    }

    fn ask(&mut self, order: &str, until: &str) -> Result<String> {
        writeln!(self.orders, "{order}")?;
        loop {
            let line = self.answers.recv_timeout(PATIENCE)?;
            if line.starts_with(until) {
                return Ok(line);
            }
        }
    }

    fn best_move(&mut self, fen: &str, moves: &[String], nodes: u64) -> Result<String> {
        writeln!(self.orders, "position fen {fen} moves {}", moves.join(" "))?;
        let answer = self.ask(&format!("go nodes {nodes}"), "bestmove")?;
        Ok(answer
            .split_whitespace()
            .nth(1)
            .unwrap_or_default()
            .to_owned())
    }
}

impl Drop for Player {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Plays `pairs` openings twice and prints how the first engine scored.
pub fn play(first: &str, second: &str, pairs: usize, nodes: u64, seed: u64) -> Result<()> {
    let mut players = [Player::start(first)?, Player::start(second)?];
    let mut random = Random::new(seed);
    let (mut results, mut scores) = ([0usize; 3], Vec::new());
    while scores.len() < pairs {
        let start = fen_of(&random_start(&mut random));
        if !is_level(&start)? {
            continue;
        }
        let mut points = 0.0;
        for white in [0, 1] {
            let result = one_game(&mut players, white, &start, nodes)?;
            let mine = if white == 0 { result } else { 1.0 - result };
            results[(2.0 * mine) as usize] += 1;
            points += mine / 2.0;
        }
        scores.push(points);
        if scores.len().is_multiple_of(25) || scores.len() == pairs {
            println!("{}", report(&scores, results));
        }
    }
    Ok(())
}

/// Neither side is more than a pawn up in a short search.
fn is_level(fen: &str) -> Result<bool> {
    let mut engine = Engine::new(1, 1)?;
    let limits = Limits {
        nodes: Some(3000),
        ..Limits::default()
    };
    let game = Game::new::<&str>(fen, &[])?;
    let stop = AtomicBool::new(false);
    let answer = engine.analyse::<&str>(&game, &limits, 1, &[], &stop, |_, _| true)?;
    Ok(answer
        .lines
        .first()
        .is_some_and(|line| matches!(line.score, Score::Centipawns(score) if score.abs() <= 100)))
}

/// The result for White.
fn one_game(players: &mut [Player; 2], white: usize, start: &str, nodes: u64) -> Result<f64> {
    for player in players.iter_mut() {
        writeln!(player.orders, "ucinewgame")?;
        player.ask("isready", "readyok")?;
    }
    let mut game = Game::new::<&str>(start, &[])?;
    let mut moves: Vec<String> = Vec::new();
    while moves.len() < MOST_PLIES {
        if let Some(result) = outcome(&game) {
            return Ok(result);
        }
        let to_move = shakmaty::Position::turn(game.position());
        let player = if to_move.is_white() { white } else { 1 - white };
        let best = players[player].best_move(start, &moves, nodes)?;
        game.play(&best)?;
        moves.push(best);
    }
    Ok(0.5)
}

/// Score with its interval; games of a pair depend on each other, so pairs are what varies.
fn report(scores: &[f64], [lost, drawn, won]: [usize; 3]) -> String {
    let count = scores.len() as f64;
    let mean = scores.iter().sum::<f64>() / count;
    let spread = scores
        .iter()
        .map(|score| (score - mean).powi(2))
        .sum::<f64>()
        / (count - 1.0).max(1.0);
    let margin = 1.96 * (spread / count).sqrt();
    let elo = |score: f64| -400.0 * (1.0 / score.clamp(0.001, 0.999) - 1.0).log10();
    format!(
        "{} games: +{won} ={drawn} -{lost}, score {:.1} % ({:.1} to {:.1}), {:+.0} points of rating ({:+.0} to {:+.0})",
        2 * scores.len(),
        100.0 * mean,
        100.0 * (mean - margin),
        100.0 * (mean + margin),
        elo(mean),
        elo(mean - margin),
        elo(mean + margin)
    )
}
