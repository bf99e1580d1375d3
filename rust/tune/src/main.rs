//! The engine's workshop: self-play, fitting of the evaluation, matches and measurements.
//!
//! `cargo run --release -p linewright-tune -- COMMAND`; see [`fit`] for the recipe the weights
//! were made by.

mod fit;
mod games;
mod measure;
mod random;
mod versus;
mod weights;

use std::error::Error;
use std::time::Duration;

use linewright_core::engine::Limits;

const WEIGHTS_FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../core/src/engine/weights.rs");

const USAGE: &str = "linewright-tune start
linewright-tune games OUT COUNT NODES SEED
linewright-tune fit EPOCHS GAMES...
linewright-tune match COMMAND COMMAND PAIRS NODES SEED
linewright-tune speed NODES
linewright-tune suite FILE PREFIX nodes|depth|ms AMOUNT
linewright-tune uci";

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["start"] => write_weights(&weights::textbook(), "Not fitted yet: the start."),
        ["games", out, count, nodes, seed] => {
            let recipe = games::Recipe {
                count: count.parse()?,
                nodes: nodes.parse()?,
                seed: seed.parse()?,
            };
            games::play(&recipe, out)
        }
        ["fit", epochs, ..] if words.len() > 2 => {
            let (fitted, note) = fit::fit(weights::compiled(), &arguments[2..], epochs.parse()?)?;
            write_weights(&fitted, &note)
        }
        ["match", first, second, pairs, nodes, seed] => {
            versus::play(first, second, pairs.parse()?, nodes.parse()?, seed.parse()?)
        }
        ["speed", nodes] => measure::speed(nodes.parse()?),
        ["suite", file, prefix, kind, amount] => {
            let amount: u64 = amount.parse()?;
            let limits = match *kind {
                "nodes" => Limits {
                    nodes: Some(amount),
                    ..Limits::default()
                },
                "depth" => Limits {
                    depth: Some(u32::try_from(amount)?),
                    ..Limits::default()
                },
                "ms" => Limits {
                    time: Some(Duration::from_millis(amount)),
                    ..Limits::default()
                },
                _ => return Err(USAGE.into()),
            };
            measure::suite(file, prefix, &limits)
        }
        ["uci"] => {
            linewright_core::engine::uci::run(std::io::stdin().lock(), std::io::stdout())?;
            Ok(())
        }
        _ => Err(USAGE.into()),
    }
}

fn write_weights(weights: &weights::Weights, note: &str) -> Result<(), Box<dyn Error>> {
    std::fs::write(WEIGHTS_FILE, weights::source(weights, note))?;
    Ok(())
}
