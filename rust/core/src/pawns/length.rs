//! How long a won pawn ending takes until a pawn queens or the king is mated.
//!
//! Only for kings and pawns: a winning promotion ends the count.

use std::collections::HashMap;
use std::sync::Arc;

use shakmaty::Color;

use super::skeleton::{Skeleton, bit, side, squares_of};
use super::slice::{Layout, Reading, Slice};
use super::solver::{Exit, Solver};

/// Lengths of wins by skeleton, reading and whether they end with the first pawn move or capture;
/// one byte a position, 0 where it is not won.
pub(super) type Lengths = HashMap<(Skeleton, usize, bool), Arc<Vec<u8>>>;

/// The masks a count goes through, entry by entry.
struct Count<'a> {
    layout: Layout,
    slice: &'a Slice,
    reading: Reading,
    lengths: Vec<u8>,
}

impl Solver {
    /// Plies, plus one, from every won position of a skeleton to the queening or mate that wins.
    pub(super) fn lengths(&mut self, skeleton: Skeleton, reading: Reading) -> Arc<Vec<u8>> {
        self.counted(skeleton, reading, false)
    }

    /// The same to the next pawn move, capture or mate on the way: cheaper, as nothing but this
    /// skeleton has to be counted.
    pub(super) fn next_lengths(&mut self, skeleton: Skeleton, reading: Reading) -> Arc<Vec<u8>> {
        self.counted(skeleton, reading, true)
    }

    fn counted(&mut self, skeleton: Skeleton, reading: Reading, next: bool) -> Arc<Vec<u8>> {
        let key = (skeleton, reading as usize, next);
        if let Some(known) = self.lengths.get(&key) {
            return known.clone();
        }
        let slice = self.slice(skeleton);
        let exits = [
            self.exits(skeleton, Color::White),
            self.exits(skeleton, Color::Black),
        ];
        let mut after: HashMap<Skeleton, Arc<Vec<u8>>> = HashMap::new();
        for (mover, exits) in Color::ALL.into_iter().zip(&exits) {
            for exit in exits.iter().filter(|_| !next) {
                if let Some((target, _, _)) = exit.lands(mover, 0) {
                    let known = self.lengths(target.skeleton, reading);
                    after.insert(target.skeleton, known);
                }
            }
        }
        let layout = Layout::new(skeleton);
        let lengths = vec![0; layout.entries() * 64];
        let mut count = Count {
            layout,
            slice: &slice,
            reading,
            lengths,
        };
        for winner in Color::ALL {
            count.wins_of(winner, &exits, &after);
        }
        let lengths = Arc::new(count.lengths);
        self.lengths.insert(key, lengths.clone());
        lengths
    }
}

const LONGEST: usize = 250;

impl Count<'_> {
    fn wins_of(
        &mut self,
        winner: Color,
        exits: &[Vec<Exit>; 2],
        after: &HashMap<Skeleton, Arc<Vec<u8>>>,
    ) {
        let slice = self.slice;
        let won = &slice.wins[self.reading as usize].0[side(winner)];
        let leaving = self.leaving(winner, exits, after);
        let entries = self.layout.entries();
        let mut counted = vec![0u64; entries];
        let mut ready: Vec<u64> = (0..entries)
            .map(|entry| {
                if self.layout.mover(entry) == winner {
                    0
                } else {
                    leaving.none[entry]
                }
            })
            .collect();
        for length in 1..=LONGEST {
            for &(entry, black_king) in &leaving.by_length[length] {
                ready[entry] |= bit(black_king);
            }
            let before = counted.clone();
            let mut open = false;
            for entry in 0..entries {
                let rest = won[entry] & !before[entry];
                if rest == 0 {
                    continue;
                }
                open = true;
                let new = if self.layout.mover(entry) == winner {
                    rest & (ready[entry] | self.layout.reach(entry, |there| before[there]))
                } else {
                    let out = |there: usize| slice.legal[there] & !before[there];
                    rest & ready[entry] & !self.layout.reach(entry, out)
                };
                counted[entry] |= new;
                for black_king in squares_of(new) {
                    self.lengths[entry * 64 + black_king] = length as u8;
                }
            }
            if !open {
                break;
            }
        }
    }

    /// The shortest way out for the winner, the longest for the loser, by its length.
    fn leaving(
        &self,
        winner: Color,
        exits: &[Vec<Exit>; 2],
        after: &HashMap<Skeleton, Arc<Vec<u8>>>,
    ) -> Leaving {
        let mut by_length = vec![Vec::new(); LONGEST + 1];
        let won = &self.slice.wins[self.reading as usize].0[side(winner)];
        let mut none = vec![0; won.len()];
        for (entry, &here) in won.iter().enumerate() {
            if here == 0 {
                continue;
            }
            let mover = self.layout.mover(entry);
            let (_, _, white_king) = self.layout.place(entry);
            let mut best = [0usize; 64];
            for exit in &exits[side(mover)] {
                let outcome = exit.outcome(&self.layout.skeleton, mover, &[], white_king);
                let Some(outcome) = outcome else { continue };
                let mine = mover == winner;
                let mask = if mine {
                    outcome.wins[side(winner)][self.reading as usize]
                } else {
                    outcome.legal
                };
                let lands = exit.lands(mover, white_king);
                for black_king in squares_of(mask & here) {
                    let rest = lands.as_ref().map_or(0, |&(target, at, fixed)| {
                        let known = after.get(&target.skeleton);
                        known.map_or(0, |known| known[at * 64 + fixed.unwrap_or(black_king)])
                    });
                    let length = (usize::from(rest) + 1).min(LONGEST);
                    let kept = &mut best[black_king];
                    *kept = match (*kept, mine) {
                        (0, _) => length,
                        (old, true) => old.min(length),
                        (old, false) => old.max(length),
                    };
                }
            }
            for black_king in squares_of(here) {
                match best[black_king] {
                    0 => none[entry] |= bit(black_king),
                    length => by_length[length].push((entry, black_king)),
                }
            }
        }
        Leaving { by_length, none }
    }
}

struct Leaving {
    by_length: Vec<Vec<(usize, usize)>>,
    /// Where no move leaves the table.
    none: Vec<u64>,
}
