//! All positions of one skeleton, solved together by retrograde analysis on bit masks.
//!
//! For every side to move, every placing of the officers and every square of the white king
//! there is one mask over the squares of the black king; one word of the machine decides 64
//! positions at a time.

use std::sync::Arc;

use shakmaty::Color;

use super::skeleton::{Skeleton, bit, king_attacks, neighbours, side, squares_of};

/// The three readings of promotions that no table decides.
///
/// `Sure` gives a win only where it is forced whatever those promotions are worth; `Possible`
/// withholds it only where it is refuted whatever they are worth; `Thumb` judges them by rule of
/// thumb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub(super) enum Reading {
    Sure = 0,
    Possible = 1,
    Thumb = 2,
}

pub(super) const READINGS: [Reading; 3] = [Reading::Sure, Reading::Possible, Reading::Thumb];

/// Positions won by White and by Black, in one reading.
#[derive(Debug, Default)]
pub(super) struct Wins(pub(super) [Vec<u64>; 2]);

/// The solved positions of one skeleton.
#[derive(Debug)]
pub(super) struct Slice {
    pub(super) skeleton: Skeleton,
    pub(super) legal: Vec<u64>,
    pub(super) stale: Vec<u64>,
    pub(super) wins: [Arc<Wins>; 3],
    /// Whether no promotion without a table is within reach: then all readings are one.
    pub(super) exact: bool,
}

/// What a move out of the slice leads to, as masks over the black king's square before it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Outcome {
    /// Where the move is legal.
    pub(super) legal: u64,
    /// Where it leads to a win, by winner (white, black) and reading.
    pub(super) wins: [[u64; 3]; 2],
}

impl Outcome {
    pub(super) fn map(self, change: impl Fn(u64) -> u64) -> Self {
        Outcome {
            legal: change(self.legal),
            wins: self.wins.map(|readings| readings.map(&change)),
        }
    }
}

/// The moves out of a slice taken together, for each position of it.
#[derive(Debug)]
pub(super) struct Exits {
    legal: Vec<u64>,
    /// By winner and reading: the side to move is the winner and can leave into a win; or it is
    /// the other side and can leave into a position that is not won for the winner.
    telling: [[Vec<u64>; 3]; 2],
}

impl Exits {
    pub(super) fn new(entries: usize, readings: usize) -> Self {
        let empty = || -> [Vec<u64>; 3] {
            std::array::from_fn(|r| {
                if r < readings {
                    vec![0; entries]
                } else {
                    Vec::new()
                }
            })
        };
        Exits {
            legal: vec![0; entries],
            telling: [empty(), empty()],
        }
    }

    pub(super) fn add(&mut self, entry: usize, mover: Color, outcome: &Outcome) {
        self.legal[entry] |= outcome.legal;
        for (winner, tables) in self.telling.iter_mut().enumerate() {
            for (reading, table) in tables.iter_mut().enumerate() {
                if table.is_empty() {
                    continue;
                }
                table[entry] |= if winner == side(mover) {
                    outcome.wins[winner][reading]
                } else {
                    outcome.legal & !outcome.wins[winner][reading]
                };
            }
        }
    }
}

/// Where the masks of a skeleton stand in its tables, and how its men move inside it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layout {
    pub(super) skeleton: Skeleton,
    officers: usize,
}

impl Layout {
    pub(super) fn new(skeleton: Skeleton) -> Self {
        Layout {
            skeleton,
            officers: skeleton.officer_count(),
        }
    }

    /// Number of masks: two sides to move, the officers' squares, the white king's square.
    pub(super) fn entries(&self) -> usize {
        2 << (6 * (self.officers + 1))
    }

    pub(super) fn entry(&self, to_move: Color, squares: &[usize], white_king: usize) -> usize {
        let placed = squares
            .iter()
            .fold(side(to_move), |all, &square| all << 6 | square);
        placed << 6 | white_king
    }

    /// Side to move, officers' squares (only the first `officers` count) and white king.
    pub(super) fn place(&self, entry: usize) -> (Color, [usize; 3], usize) {
        let mut squares = [0; 3];
        let mut rest = entry >> 6;
        for slot in (0..self.officers).rev() {
            squares[slot] = rest & 63;
            rest >>= 6;
        }
        let to_move = if rest == 0 {
            Color::White
        } else {
            Color::Black
        };
        (to_move, squares, entry & 63)
    }

    pub(super) fn mover(&self, entry: usize) -> Color {
        if entry < self.entries() / 2 {
            Color::White
        } else {
            Color::Black
        }
    }

    pub(super) fn officers(&self) -> usize {
        self.officers
    }

    /// Black king squares from which the side to move at `entry` has a quiet move inside the
    /// slice to a position in the set.
    pub(super) fn reach(&self, entry: usize, set: impl Fn(usize) -> u64) -> u64 {
        let (to_move, squares, white_king) = self.place(entry);
        let flip = 1 << (6 * (self.officers + 1));
        let other = entry ^ flip;
        let mut reached = match to_move {
            Color::Black => neighbours(set(other)),
            Color::White => {
                squares_of(king_attacks(white_king)).fold(0, |all, to| all | set(other & !63 | to))
            }
        };
        for (slot, officer) in self.skeleton.officers().enumerate() {
            if officer.color != to_move {
                continue;
            }
            let from = squares[slot];
            let placed = &squares[..self.officers];
            let blockers = self.skeleton.blockers(placed, slot) | bit(white_king);
            let shift = 6 * (self.officers - slot);
            for to in squares_of(officer.attacks(from, blockers) & !blockers) {
                let there = other & !(63 << shift) | to << shift;
                reached |= set(there) & officer.path(from, to);
            }
        }
        reached
    }
}

impl Slice {
    /// The slice solved, given everything that leads out of it.
    ///
    /// Cost: a handful of sweeps over its masks.
    pub(super) fn solve(skeleton: Skeleton, legal: Vec<u64>, exits: &Exits, exact: bool) -> Self {
        let layout = Layout::new(skeleton);
        let stale = stalemates(&layout, &legal, &exits.legal);
        let solved = |reading: Reading| {
            let win = |winner| {
                let telling = &exits.telling[side(winner)][reading as usize];
                forced(&layout, winner, &legal, &stale, telling)
            };
            Arc::new(Wins([win(Color::White), win(Color::Black)]))
        };
        let sure = solved(Reading::Sure);
        let wins = if exact {
            [sure.clone(), sure.clone(), sure]
        } else {
            [sure, solved(Reading::Possible), solved(Reading::Thumb)]
        };
        Slice {
            skeleton,
            legal,
            stale,
            wins,
            exact,
        }
    }

    /// The same with colours changed and the board turned.
    pub(super) fn flipped(&self) -> Self {
        let from = Layout::new(self.skeleton);
        let skeleton = self.skeleton.flipped();
        let to = Layout::new(skeleton);
        let turn = |table: &[u64]| turned(&from, &to, table);
        let exchanged = |wins: &Wins| Arc::new(Wins([turn(&wins.0[1]), turn(&wins.0[0])]));
        Slice {
            skeleton,
            legal: turn(&self.legal),
            stale: turn(&self.stale),
            wins: std::array::from_fn(|reading| exchanged(&self.wins[reading])),
            exact: self.exact,
        }
    }

    pub(super) fn outcome(&self, entry: usize) -> Outcome {
        let winner = |color: usize| std::array::from_fn(|r| self.wins[r].0[color][entry]);
        Outcome {
            legal: self.legal[entry],
            wins: [winner(0), winner(1)],
        }
    }
}

fn stalemates(layout: &Layout, legal: &[u64], leaving: &[u64]) -> Vec<u64> {
    let skeleton = layout.skeleton;
    (0..layout.entries())
        .map(|entry| {
            if legal[entry] == 0 {
                return 0;
            }
            let stuck = legal[entry] & !leaving[entry] & !layout.reach(entry, |there| legal[there]);
            if stuck == 0 {
                return 0;
            }
            let (to_move, squares, white_king) = layout.place(entry);
            let placed = &squares[..layout.officers];
            stuck
                & !match to_move {
                    Color::White => skeleton.checks_to_white(placed, white_king),
                    Color::Black => skeleton.checks_to_black(placed, white_king),
                }
        })
        .collect()
}

/// The positions from which a side forces its win: the least set closed under "some move of the
/// winner" and "every move of the loser".
fn forced(
    layout: &Layout,
    winner: Color,
    legal: &[u64],
    stale: &[u64],
    telling: &[u64],
) -> Vec<u64> {
    let half = layout.entries() / 2;
    let range = |color: Color| side(color) * half..(side(color) + 1) * half;
    let mut won = vec![0u64; layout.entries()];
    loop {
        let mut changed = false;
        for entry in range(!winner).chain(range(winner)) {
            let open = legal[entry] & !won[entry];
            if open == 0 {
                continue;
            }
            let gained = if layout.mover(entry) == winner {
                open & (telling[entry] | layout.reach(entry, |there| won[there]))
            } else {
                let held = open & !(telling[entry] | stale[entry]);
                if held == 0 {
                    continue;
                }
                held & !layout.reach(entry, |there| legal[there] & !won[there])
            };
            if gained != 0 {
                won[entry] |= gained;
                changed = true;
            }
        }
        if !changed {
            return won;
        }
    }
}

fn turned(from: &Layout, to: &Layout, table: &[u64]) -> Vec<u64> {
    let mut result = vec![0u64; to.entries()];
    for (entry, &mask) in table.iter().enumerate() {
        if mask == 0 {
            continue;
        }
        let (to_move, squares, white_king) = from.place(entry);
        let mut skeleton = Skeleton::of_pawns(0, 0);
        let mut placed = Vec::with_capacity(3);
        for (slot, officer) in from.skeleton.officers().enumerate() {
            let color = !officer.color;
            let turned_officer = super::skeleton::Officer { color, ..officer };
            let (next, at) = skeleton.with_officer(turned_officer);
            skeleton = next;
            placed.insert(at, squares[slot] ^ 56);
        }
        for black_king in squares_of(mask) {
            let there = to.entry(!to_move, &placed, black_king ^ 56);
            result[there] |= bit(white_king ^ 56);
        }
    }
    result
}
