//! Fitting the evaluation's weights to the outcomes of self-play games.
//!
//! The recipe, from nothing:
//!
//! 1. `linewright-tune start` writes the textbook's piece values (1-3-3-5-9) and round numbers in
//!    the right direction for the rest.
//! 2. `linewright-tune games OUT COUNT NODES SEED` plays games against itself.
//! 3. `linewright-tune fit OUT...` takes the weights compiled in, and changes them so that
//!    `1 / (1 + exp(-k * evaluation))` comes closest to the outcomes (mean squared error); the
//!    target of a position is its game's result mixed with the search's score there. `k` is
//!    fitted first and then held, so that a pawn stays about 100.
//! 4. Build, and go on at 2 with the better player.
//!
//! Source: logistic regression on game results, common practice since P. Österlund's
//! description (2014); the optimiser is Adam (Kingma, Ba 2015).

use std::fs::File;
use std::io::{BufRead, BufReader};

use linewright_core::engine::tuning::{
    Counted, DANGER_COUNT, DANGER_DIVISOR, DANGER_END_DIVISOR, DANGER_MOST, WEIGHT_COUNT, counted,
};

use crate::games;
use crate::random::Random;
use crate::weights::Weights;

/// Share of the game's result in a position's target; the rest is the search's score.
const RESULT_SHARE: f64 = 0.15;
/// How strongly weights are held near where they began, so that a few games cannot tear them
/// away; by the squared distance in pawns.
const HOLD: f64 = 2e-4;
const BATCH: usize = 4_096;

struct Example {
    counted: Counted,
    target: f64,
    result: f64,
    score: f64,
}

/// Everything that is fitted, as one list: middlegame and endgame scores, then dangers.
const PARAMETERS: usize = 2 * WEIGHT_COUNT + DANGER_COUNT;

/// Reads the games, fits `weights` and returns them with a note on the fit.
pub fn fit(
    mut weights: Weights,
    files: &[String],
    epochs: usize,
) -> Result<(Weights, String), Box<dyn std::error::Error>> {
    let mut examples = Vec::new();
    for file in files {
        read(file, &mut examples)?;
    }
    let k = best_k(&examples, &weights);
    for example in &mut examples {
        let searched = sigmoid(k * example.score);
        example.target = RESULT_SHARE * example.result + (1.0 - RESULT_SHARE) * searched;
    }
    // One in ten is kept apart to see whether the fit holds for games not fitted to.
    let cut = examples.len() / 10;
    let held = examples.split_off(examples.len() - cut);
    let (before, held_before) = (error(&examples, &weights, k), error(&held, &weights, k));
    println!(
        "{} positions, k {k:.5}, error {before:.6}, apart {held_before:.6}",
        examples.len()
    );
    let mut random = Random::new(1);
    let mut adam = Adam::new();
    let began = weights.clone();
    for epoch in 0..epochs {
        for index in (1..examples.len()).rev() {
            examples.swap(index, random.below(index + 1));
        }
        let rate = 1.5 * 0.5f64.powf(5.0 * epoch as f64 / epochs as f64);
        for batch in examples.chunks(BATCH) {
            let mut gradient = gradient(batch, &weights, k);
            hold(&mut gradient, &weights, &began);
            adam.step(&mut weights, &gradient, rate);
        }
        if epoch % 10 == 9 || epoch + 1 == epochs {
            let (now, apart) = (error(&examples, &weights, k), error(&held, &weights, k));
            println!("epoch {}: error {now:.6}, apart {apart:.6}", epoch + 1);
        }
    }
    let apart = error(&held, &weights, k);
    let note = format!(
        "Fitted to {} positions of self-play; error on games kept apart {held_before:.5} before, {apart:.5} after.",
        examples.len()
    );
    Ok((weights, note))
}

fn read(file: &str, examples: &mut Vec<Example>) -> std::io::Result<()> {
    for line in BufReader::new(File::open(file)?).lines() {
        let Some((game, result, score)) = games::read(&line?) else {
            continue;
        };
        let counted = counted(&game);
        if !counted.special {
            examples.push(Example {
                counted,
                target: result,
                result,
                score,
            });
        }
    }
    Ok(())
}

fn sigmoid(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Weighted sum of the dangers to one king, and what it takes off middlegame and endgame.
fn danger(counts: &[i16; DANGER_COUNT], weights: &Weights) -> (f64, f64, f64) {
    let sum: f64 = counts
        .iter()
        .zip(&weights.dangers)
        .map(|(&count, weight)| f64::from(count) * weight)
        .sum();
    let sum = sum.max(0.0);
    let middle = (sum * sum / f64::from(DANGER_DIVISOR)).min(f64::from(DANGER_MOST));
    (sum, middle, sum / f64::from(DANGER_END_DIVISOR))
}

fn value(counted: &Counted, weights: &Weights) -> f64 {
    let (mut middle, mut end) = (0.0, 0.0);
    for &(index, times) in &counted.linear {
        let [m, e] = weights.scores[index as usize];
        middle += m * f64::from(times);
        end += e * f64::from(times);
    }
    let white = danger(&counted.dangers[0], weights);
    let black = danger(&counted.dangers[1], weights);
    middle += black.1 - white.1;
    end += black.2 - white.2;
    let phase = f64::from(counted.phase) / 24.0;
    middle * phase + end * f64::from(counted.scale) / 64.0 * (1.0 - phase)
}

fn error(examples: &[Example], weights: &Weights, k: f64) -> f64 {
    let sum: f64 = examples
        .iter()
        .map(|example| {
            let off = sigmoid(k * value(&example.counted, weights)) - example.target;
            off * off
        })
        .sum();
    sum / examples.len().max(1) as f64
}

fn best_k(examples: &[Example], weights: &Weights) -> f64 {
    let (mut low, mut high) = (0.0005, 0.02);
    for _ in 0..25 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if error(examples, weights, a) < error(examples, weights, b) {
            high = b;
        } else {
            low = a;
        }
    }
    f64::midpoint(low, high)
}

fn gradient(batch: &[Example], weights: &Weights, k: f64) -> Vec<f64> {
    let mut gradient = vec![0.0; PARAMETERS];
    for example in batch {
        let counted = &example.counted;
        let guess = sigmoid(k * value(counted, weights));
        let slope = (guess - example.target) * guess * (1.0 - guess);
        let phase = f64::from(counted.phase) / 24.0;
        let middle = slope * phase;
        let end = slope * (1.0 - phase) * f64::from(counted.scale) / 64.0;
        for &(index, times) in &counted.linear {
            gradient[2 * index as usize] += middle * f64::from(times);
            gradient[2 * index as usize + 1] += end * f64::from(times);
        }
        for (side, sign) in [(0, -1.0), (1, 1.0)] {
            let (sum, taken, _) = danger(&counted.dangers[side], weights);
            if sum <= 0.0 {
                continue;
            }
            let mut by_sum = end / f64::from(DANGER_END_DIVISOR);
            if taken < f64::from(DANGER_MOST) {
                by_sum += middle * 2.0 * sum / f64::from(DANGER_DIVISOR);
            }
            for (index, &count) in counted.dangers[side].iter().enumerate() {
                gradient[2 * WEIGHT_COUNT + index] += sign * by_sum * f64::from(count);
            }
        }
    }
    let scale = 1.0 / batch.len().max(1) as f64;
    gradient.iter_mut().for_each(|slope| *slope *= scale);
    gradient
}

/// Adds the pull back to where the weights began.
fn hold(gradient: &mut [f64], weights: &Weights, began: &Weights) {
    let pull = |now: f64, then: f64| 2.0 * HOLD * (now - then) / 10_000.0;
    for (index, slope) in gradient.iter_mut().enumerate() {
        *slope += match index.checked_sub(2 * WEIGHT_COUNT) {
            Some(danger) => pull(weights.dangers[danger], began.dangers[danger]),
            None => {
                let (place, half) = (index / 2, index % 2);
                pull(weights.scores[place][half], began.scores[place][half])
            }
        };
    }
}

struct Adam {
    first: Vec<f64>,
    second: Vec<f64>,
    steps: i32,
}

impl Adam {
    fn new() -> Adam {
        Adam {
            first: vec![0.0; PARAMETERS],
            second: vec![0.0; PARAMETERS],
            steps: 0,
        }
    }

    fn step(&mut self, weights: &mut Weights, gradient: &[f64], rate: f64) {
        self.steps += 1;
        let (fade, fade_square) = (
            1.0 - 0.9f64.powi(self.steps),
            1.0 - 0.999f64.powi(self.steps),
        );
        for (index, &slope) in gradient.iter().enumerate() {
            self.first[index] = 0.9 * self.first[index] + 0.1 * slope;
            self.second[index] = 0.999 * self.second[index] + 0.001 * slope * slope;
            let step = rate * (self.first[index] / fade)
                / ((self.second[index] / fade_square).sqrt() + 1e-9);
            match index.checked_sub(2 * WEIGHT_COUNT) {
                Some(danger) => weights.dangers[danger] -= step,
                None => weights.scores[index / 2][index % 2] -= step,
            }
        }
    }
}
