//! Invented games from a seed: for the demo collection and for measuring.
//!
//! Openings follow a book of weights where one is given, and elsewhere a fixed liking of each
//! position for some of its moves, so that games share openings, transpose and part as played
//! games do. Later moves come from a player who looks one move ahead and errs by rating. Nobody
//! real plays here.

use std::collections::HashMap;
use std::fmt::Write;

use shakmaty::san::SanPlus;
use shakmaty::{Bitboard, Chess, Color, Move, Position, Role, Square};

use super::Outcome;
use super::moves::code;
use crate::key::position_key;

/// Weight of a book move, from the weakest players (900) to the strongest (2400).
#[derive(Debug, Clone, Copy)]
pub struct Weight {
    /// Number of the move.
    pub code: u16,
    /// Weight at 900.
    pub weak: f32,
    /// Weight at 2400.
    pub strong: f32,
    /// Weight grows by this factor over the years played (1 = no fashion).
    pub fashion: f32,
}

/// What kind of games to invent.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The same seed gives the same games.
    pub seed: u64,
    /// Lowest and highest rating.
    pub ratings: (i16, i16),
    /// First and last year.
    pub years: (i16, i16),
    /// Number of players.
    pub players: u64,
    /// Event and site, the same for all.
    pub event: String,
    /// Where it is played.
    pub site: String,
    /// Book moves by position.
    pub book: HashMap<i64, Vec<Weight>>,
}

/// A small generator of numbers (SplitMix64: Steele, Lea, Flood 2014).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        mix(self.0)
    }

    fn unit(&mut self) -> f32 {
        (self.roll() >> 40) as f32 / (1u64 << 24) as f32
    }

    fn below(&mut self, limit: u64) -> u64 {
        self.roll() % limit.max(1)
    }

    /// Roughly normal, mean 0, deviation 1.
    fn bell(&mut self) -> f32 {
        (0..12).map(|_| self.unit()).sum::<f32>() - 6.0
    }
}

const fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

/// The PGN of games `from` to `to` (half open) of a plan.
#[must_use]
pub fn games(plan: &Plan, from: u64, to: u64) -> String {
    let mut text = String::with_capacity((to - from) as usize * 800);
    for number in from..to {
        game(plan, number, &mut text);
    }
    text
}

/// The same as [`games`], shared among `workers` threads.
#[must_use]
pub fn in_parallel(plan: &Plan, from: u64, to: u64, workers: usize) -> String {
    let share = (to - from).div_ceil(workers.max(1) as u64).max(1);
    std::thread::scope(|scope| {
        let running: Vec<_> = (from..to)
            .step_by(share as usize)
            .map(|begin| scope.spawn(move || games(plan, begin, (begin + share).min(to))))
            .collect();
        running
            .into_iter()
            .map(|worker| worker.join().expect("an inventing worker does not panic"))
            .collect()
    })
}

struct Pairing {
    white: (u64, i16),
    black: (u64, i16),
    year: i16,
}

fn game(plan: &Plan, number: u64, out: &mut String) {
    let mut dice = Dice(mix(plan.seed).wrapping_add(number.wrapping_mul(0x2545_f491_4f6c_dd1d)));
    let pairing = pair(plan, &mut dice);
    let (moves, outcome) = play(plan, &pairing, &mut dice);
    let result = ["*", "1-0", "1/2-1/2", "0-1"][outcome as usize];
    let (month, day) = (1 + dice.below(12), 1 + dice.below(28));
    let _ = write!(
        out,
        "[Event \"{}\"]\n[Site \"{}\"]\n[Date \"{}.{month:02}.{day:02}\"]\n[Round \"{}\"]\n[White \"{}\"]\n[Black \"{}\"]\n[Result \"{result}\"]\n[WhiteElo \"{}\"]\n[BlackElo \"{}\"]\n\n",
        plan.event,
        plan.site,
        pairing.year,
        1 + dice.below(9),
        name(plan.seed, pairing.white.0),
        name(plan.seed, pairing.black.0),
        pairing.white.1,
        pairing.black.1,
    );
    wrap(&moves, result, out);
}

fn pair(plan: &Plan, dice: &mut Dice) -> Pairing {
    let (low, high) = plan.ratings;
    let strength = |player: u64| {
        let mut own = Dice(plan.seed ^ player.wrapping_mul(0x9e37_79b9));
        let middle = f32::from(low) + f32::from(high - low) * 0.42;
        (middle + own.bell() * f32::from(high - low) * 0.21) as i16
    };
    let white = dice.below(plan.players);
    let mut black = (white + 1) % plan.players;
    for _ in 0..4 {
        let other = dice.below(plan.players);
        if other != white {
            black = other;
            if (strength(white) - strength(other)).abs() < 250 {
                break;
            }
        }
    }
    let mut rating = |player| (strength(player) + (dice.bell() * 25.0) as i16).clamp(low, high);
    let (white, black) = ((white, rating(white)), (black, rating(black)));
    let years = plan.years.1 - plan.years.0 + 1;
    // More games from later years, as collections have them.
    let late = dice.unit().max(dice.unit());
    let year = plan.years.0 + ((f32::from(years) * late) as i16).min(years - 1);
    Pairing { white, black, year }
}

fn play(plan: &Plan, pairing: &Pairing, dice: &mut Dice) -> (String, Outcome) {
    let mut position = Chess::default();
    let mut text = String::with_capacity(600);
    let age =
        f32::from(pairing.year - plan.years.0) / f32::from((plan.years.1 - plan.years.0).max(1));
    let mut ahead = 0;
    let mut seen: Vec<i64> = Vec::new();
    let longest = 60 + dice.below(100) as usize;
    for ply in 0.. {
        let legal = position.legal_moves();
        if legal.is_empty() {
            let outcome = if position.is_check() {
                won_by(!position.turn())
            } else {
                Outcome::Draw
            };
            return (text, outcome);
        }
        let key = position_key(&position);
        if position.is_insufficient_material()
            || seen.iter().filter(|&&old| old == key).count() >= 2
        {
            return (text, Outcome::Draw);
        }
        seen.push(key);
        let balance = material(&position);
        ahead = if balance.abs() >= 5 { ahead + 1 } else { 0 };
        if ahead >= 8 + dice.below(10) {
            return (
                text,
                won_by(if balance > 0 {
                    Color::White
                } else {
                    Color::Black
                }),
            );
        }
        let peace =
            0.01 + f32::from(pairing.white.1.min(pairing.black.1) - 900).max(0.0) / 1500.0 * 0.04;
        if ply > 36 && balance.abs() <= 1 && dice.unit() < peace {
            return (text, Outcome::Draw);
        }
        if ply >= longest {
            return (text, late_result(balance, pairing, dice));
        }
        let rating = position.turn().fold_wb(pairing.white.1, pairing.black.1);
        let played = from_book(plan, key, &position, rating, age, dice)
            .unwrap_or_else(|| choose(plan.seed, key, &position, &legal, rating, ply, dice));
        if position.turn() == Color::White {
            let _ = write!(text, "{}. ", position.fullmoves());
        }
        let _ = write!(
            text,
            "{} ",
            SanPlus::from_move_and_play_unchecked(&mut position, played)
        );
    }
    (text, Outcome::Unknown)
}

fn won_by(color: Color) -> Outcome {
    color.fold_wb(Outcome::White, Outcome::Black)
}

fn late_result(balance: i32, pairing: &Pairing, dice: &mut Dice) -> Outcome {
    let edge = f32::from(pairing.white.1 - pairing.black.1) / 300.0
        + balance as f32 * 0.9
        + dice.bell() * 1.2;
    match edge {
        e if e > 1.2 => Outcome::White,
        e if e < -1.2 => Outcome::Black,
        _ => Outcome::Draw,
    }
}

fn from_book(
    plan: &Plan,
    key: i64,
    position: &Chess,
    rating: i16,
    age: f32,
    dice: &mut Dice,
) -> Option<Move> {
    let entries = plan.book.get(&key)?;
    let skill = (f32::from(rating - 900) / 1500.0).clamp(0.0, 1.0);
    let weigh = |w: &Weight| (w.weak + (w.strong - w.weak) * skill) * w.fashion.powf(age);
    let total: f32 = entries.iter().map(weigh).sum();
    // What the entries leave of 100 goes to moves outside the book.
    let mut left = dice.unit() * total.max(100.0);
    for entry in entries {
        left -= weigh(entry);
        if left < 0.0 {
            return position
                .legal_moves()
                .into_iter()
                .find(|&m| code(m) == entry.code);
        }
    }
    None
}

fn choose(
    seed: u64,
    key: i64,
    position: &Chess,
    legal: &[Move],
    rating: i16,
    ply: usize,
    dice: &mut Dice,
) -> Move {
    let board = position.board();
    let us = position.turn();
    let early = if ply < 20 { 0.55 } else { 1.0 };
    let calm = early * (0.3 + (2400.0 - f32::from(rating)).max(0.0) / 1500.0 * 0.4);
    let liking = (1.25 - ply as f32 * 0.045).max(0.0);
    let shy = attacked_by_pawns(position, !us);
    let mut weights = [0f32; 256];
    let mut total = 0.0;
    for (weight, &played) in weights.iter_mut().zip(legal) {
        let taste = mix(seed ^ key.cast_unsigned() ^ u64::from(code(played)) << 40);
        let rank = ((taste >> 40) as f32 + 1.0) / (1u64 << 24) as f32;
        let sense = sense(position, board, us, played, shy, ply);
        *weight = (sense / calm - liking * rank.ln()).min(40.0).exp();
        total += *weight;
    }
    let mut left = dice.unit() * total;
    for (weight, &played) in weights.iter().zip(legal) {
        left -= weight;
        if left < 0.0 {
            return played;
        }
    }
    legal[0]
}

const WORTH: [f32; 7] = [0.0, 1.0, 3.0, 3.1, 5.0, 9.0, 12.0];

fn attacked_by_pawns(position: &Chess, color: Color) -> Bitboard {
    let pawns = position.board().by_piece(Role::Pawn.of(color));
    let ahead = color.fold_wb(pawns.shift(8), pawns.shift(-8));
    let (a, h) = (
        Bitboard::from_file(shakmaty::File::A),
        Bitboard::from_file(shakmaty::File::H),
    );
    (ahead & !a).shift(-1) | (ahead & !h).shift(1)
}

/// How sensible a move looks, in pawns.
fn sense(
    position: &Chess,
    board: &shakmaty::Board,
    us: Color,
    played: Move,
    shy: Bitboard,
    ply: usize,
) -> f32 {
    let Move::Normal {
        role,
        from,
        to,
        capture,
        promotion,
    } = played
    else {
        return if matches!(played, Move::Castle { .. }) {
            1.6
        } else {
            0.6
        };
    };
    let mine = WORTH[role as usize];
    let gain = capture.map_or(0.0, |taken| WORTH[taken as usize]);
    let occupied = board.occupied().without(from);
    let guards = board.attacks_to(to, !us, occupied);
    let friends = board.attacks_to(to, us, occupied).without(from).any();
    let risk = match (shy.contains(to), guards.any()) {
        (true, _) => (mine - if friends { 1.0 } else { 0.0 }).max(0.0),
        (_, true) if role != Role::King => {
            let least = guards
                .into_iter()
                .filter_map(|s| board.role_at(s))
                .map(|r| WORTH[r as usize])
                .fold(99.0, f32::min);
            if friends {
                (mine - least).max(0.0)
            } else {
                mine
            }
        }
        _ => 0.0,
    };
    let fled = if shy.contains(from) && mine > 1.0 {
        mine - 1.0
    } else {
        0.0
    };
    let early = ply < 24;
    gain - risk
        + 0.8 * fled
        + shape(role, from, to, us, early)
        + promotion.map_or(0.0, |_| 7.0)
        + if position.is_check() { 0.2 } else { 0.0 }
}

fn shape(role: Role, from: Square, to: Square, us: Color, early: bool) -> f32 {
    let middle = |square: Square| {
        let (file, rank) = (square.file() as i32, square.rank() as i32);
        3.5 - (file as f32 - 3.5).abs().max((rank as f32 - 3.5).abs())
    };
    let home = us.fold_wb(0, 7);
    match role {
        Role::Knight | Role::Bishop => {
            0.3 * (middle(to) - middle(from))
                + if early && from.rank() as i32 == home {
                    0.5
                } else {
                    0.0
                }
        }
        Role::Pawn => {
            0.22 * (middle(to) - middle(from))
                + if early && middle(to) < 2.0 {
                    -0.35
                } else {
                    0.0
                }
        }
        Role::King if early => -1.2,
        Role::Queen | Role::Rook if early => -0.35,
        _ => 0.05 * (middle(to) - middle(from)),
    }
}

fn material(position: &Chess) -> i32 {
    let count = |color: Color| {
        let side = position.board().material_side(color);
        i32::from(side.pawn)
            + 3 * i32::from(side.knight)
            + 3 * i32::from(side.bishop)
            + 5 * i32::from(side.rook)
            + 9 * i32::from(side.queen)
    };
    count(Color::White) - count(Color::Black)
}

/// An invented name, put together from syllables.
fn name(seed: u64, player: u64) -> String {
    const FIRST: [&str; 24] = [
        "Arvo", "Brit", "Calla", "Dorin", "Edda", "Fenno", "Gerd", "Hallo", "Ilse", "Jorun",
        "Kaspe", "Liv", "Marn", "Nelo", "Odrun", "Perrin", "Quil", "Runa", "Sten", "Tove", "Ulva",
        "Vigge", "Wenka", "Ysol",
    ];
    const HEAD: [&str; 24] = [
        "Brack", "Skar", "Holm", "Ting", "Vane", "Morr", "Elst", "Grav", "Kest", "Lund", "Narv",
        "Oster", "Pell", "Rav", "Sund", "Tarn", "Ulv", "Varg", "Wick", "Yar", "Fjell", "Dun",
        "Hest", "Bjor",
    ];
    const TAIL: [&str; 20] = [
        "water", "vik", "stad", "mere", "haug", "by", "nes", "gard", "rud", "sund", "moor", "wold",
        "dal", "sen", "berg", "lund", "strand", "holt", "fors", "eby",
    ];
    let mut dice = Dice(seed.rotate_left(17) ^ player);
    let mut pick = |list: &[&'static str]| list[dice.below(list.len() as u64) as usize];
    let (first, head, tail) = (pick(&FIRST), pick(&HEAD), pick(&TAIL));
    format!(
        "{head}{tail}, {first} {}",
        roman(player / 9000 + player % 7)
    )
    .trim_end()
    .to_owned()
}

fn roman(number: u64) -> String {
    if number == 0 {
        String::new()
    } else {
        format!("{}.", char::from(b'A' + (number % 26) as u8))
    }
}

fn wrap(moves: &str, result: &str, out: &mut String) {
    let mut width = 0;
    for word in moves.split_whitespace().chain(std::iter::once(result)) {
        if width + word.len() + 1 > 80 {
            out.push('\n');
            width = 0;
        } else if width > 0 {
            out.push(' ');
            width += 1;
        }
        out.push_str(word);
        width += word.len();
    }
    out.push_str("\n\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::games::read::Reader;
    use std::collections::HashSet;

    #[test]
    fn the_same_seed_gives_the_same_legal_games() {
        let plan = Plan {
            seed: 7,
            ratings: (900, 2400),
            years: (2001, 2020),
            players: 500,
            event: "Invented".into(),
            site: "Nowhere".into(),
            book: HashMap::new(),
        };
        let text = games(&plan, 0, 60);
        assert_eq!(text, games(&plan, 0, 30) + &games(&plan, 30, 60));
        let mut reader = Reader::new(HashSet::new(), false, 1);
        reader.feed(text.as_bytes());
        reader.finish();
        let report = reader.take_report();
        assert_eq!(
            (report.games, report.refused.len(), report.warned),
            (60, 0, 0),
            "{report:?}"
        );
        assert_eq!(reader.take_games().len(), 60);
    }
}
