//! Which move to try next: the table's move, winning captures, quiet moves by their record,
//! losing captures. Quiet moves are made only when the captures did not suffice.

use super::board::Board;
use super::history::{History, Past, SPECIAL_RANK};
use super::moves::{self, Checks, Legality, Move, Moves, Ranked, WORTH, exchange_wins};

#[derive(PartialEq, Eq, Clone, Copy)]
enum Stage {
    Remembered,
    MakeCaptures,
    Captures,
    Specials,
    MakeQuiets,
    MakeChecks,
    Quiets,
    LosingCaptures,
    Over,
}

/// Hands out the legal moves of a position, likeliest first.
pub struct Picker {
    stage: Stage,
    remembered: Move,
    legality: Legality,
    moves: Moves,
    next: usize,
    losing: usize,
    only_captures: bool,
    checks: bool,
    threshold: i32,
    specials: usize,
    tried_specials: [Move; 3],
}

impl Picker {
    /// All moves.
    pub fn all(board: &Board, remembered: Move) -> Picker {
        Picker::new(board, remembered, false, 0)
    }

    /// Captures that leave at least `threshold`, and promotions; all moves when in check.
    pub fn noisy(board: &Board, remembered: Move, threshold: i32) -> Picker {
        Picker::new(board, remembered, !board.in_check(), threshold)
    }

    fn new(board: &Board, remembered: Move, only_captures: bool, threshold: i32) -> Picker {
        let legality = Legality::of(board);
        let usable = (!only_captures || !remembered.is_quiet())
            && moves::possible(board, remembered)
            && legality.allows(board, remembered);
        Picker {
            stage: if usable {
                Stage::Remembered
            } else {
                Stage::MakeCaptures
            },
            remembered: if usable { remembered } else { Move::NONE },
            legality,
            moves: Moves::new(),
            next: 0,
            losing: 0,
            only_captures,
            checks: false,
            threshold,
            specials: 0,
            tried_specials: [Move::NONE; 3],
        }
    }

    /// Also hands out quiet moves that give check.
    #[must_use]
    pub fn with_checks(mut self) -> Picker {
        self.checks = true;
        self
    }

    /// The next legal move, with its rank; no quiet moves once `skip_quiets` is set.
    pub fn next(
        &mut self,
        board: &Board,
        history: &History,
        past: &Past,
        skip_quiets: bool,
    ) -> Option<Ranked> {
        loop {
            match self.stage {
                Stage::Remembered => {
                    self.stage = Stage::MakeCaptures;
                    return Some(Ranked {
                        played: self.remembered,
                        rank: i32::MAX,
                    });
                }
                Stage::MakeCaptures => {
                    moves::captures(board, &mut self.moves);
                    for ranked in &mut self.moves {
                        ranked.rank = history.capture_rank(board, ranked.played);
                    }
                    self.stage = Stage::Captures;
                }
                Stage::Captures => {
                    let Some(ranked) = self.pick(board) else {
                        self.stage = match (self.only_captures, self.checks) {
                            (true, false) => Stage::Over,
                            (true, true) => Stage::MakeChecks,
                            (false, _) => Stage::Specials,
                        };
                        continue;
                    };
                    let bar = if self.only_captures {
                        self.threshold
                    } else {
                        -ranked.rank / 64
                    };
                    if exchange_wins(board, ranked.played, bar)
                        || (self.checks && Checks::of(board).given_by(board, ranked.played))
                    {
                        return Some(ranked);
                    }
                    if !self.only_captures {
                        self.moves[self.losing] = ranked;
                        self.losing += 1;
                    }
                }
                Stage::Specials => {
                    if let Some(found) = self.special(board, history, past, skip_quiets) {
                        return Some(found);
                    }
                    self.stage = Stage::MakeQuiets;
                }
                Stage::MakeQuiets => {
                    if !skip_quiets {
                        let from = self.moves.len();
                        self.next = from;
                        moves::quiets(board, &mut self.moves);
                        history.rank_quiets(board, &mut self.moves[from..], past);
                    }
                    self.stage = Stage::Quiets;
                }
                Stage::MakeChecks => {
                    self.make_checks(board, history, past);
                    self.stage = Stage::Quiets;
                }
                Stage::Quiets => {
                    let found = if skip_quiets { None } else { self.pick(board) };
                    if found.is_some() {
                        return found;
                    }
                    self.next = 0;
                    self.stage = Stage::LosingCaptures;
                }
                Stage::LosingCaptures => {
                    if self.next < self.losing {
                        self.next += 1;
                        return Some(self.moves[self.next - 1]);
                    }
                    self.stage = Stage::Over;
                }
                Stage::Over => return None,
            }
        }
    }

    /// The next killer or usual reply that can be played here.
    fn special(
        &mut self,
        board: &Board,
        history: &History,
        past: &Past,
        skip_quiets: bool,
    ) -> Option<Ranked> {
        let specials = history.specials(past);
        while self.specials < specials.len() && !skip_quiets {
            let (index, played) = (self.specials, specials[self.specials]);
            self.specials += 1;
            if played != self.remembered
                && !self.tried_specials.contains(&played)
                && played.is_quiet()
                && moves::possible(board, played)
                && self.legality.allows(board, played)
            {
                self.tried_specials[index] = played;
                let rank = SPECIAL_RANK;
                return Some(Ranked { played, rank });
            }
        }
        None
    }

    /// Makes the quiet moves that give check and lose nothing.
    fn make_checks(&mut self, board: &Board, history: &History, past: &Past) {
        let from = self.moves.len();
        self.next = from;
        let checks = Checks::of(board);
        moves::quiets(board, &mut self.moves);
        let mut kept = from;
        for index in from..self.moves.len() {
            let ranked = self.moves[index];
            if checks.given_by(board, ranked.played) && exchange_wins(board, ranked.played, 0) {
                self.moves[kept] = ranked;
                kept += 1;
            }
        }
        self.moves.truncate(kept);
        history.rank_quiets(board, &mut self.moves[from..], past);
    }

    /// Takes the best-ranked legal move of those left.
    fn pick(&mut self, board: &Board) -> Option<Ranked> {
        while self.next < self.moves.len() {
            // The earliest of the best; one number per move spares the processor its guesses.
            let left = self.moves[self.next..].iter().zip(0i64..);
            let best = left.fold(i64::MIN, |best, (ranked, index)| {
                best.max(i64::from(ranked.rank) << 16 | (0xffff - index))
            });
            let best = self.next + (0xffff - (best & 0xffff)) as usize;
            self.moves.swap(self.next, best);
            let ranked = self.moves[self.next];
            self.next += 1;
            if ranked.played != self.remembered
                && !self.tried_specials.contains(&ranked.played)
                && self.legality.allows(board, ranked.played)
            {
                return Some(ranked);
            }
        }
        None
    }

    /// Whether the moves handed out now are captures that lose material.
    pub fn is_losing(&self) -> bool {
        self.stage == Stage::LosingCaptures
    }
}

/// Most valuable victim first.
#[inline]
pub fn victim_worth(board: &Board, played: Move) -> i32 {
    let taken = if played.kind() == moves::Kind::EnPassant {
        0
    } else {
        board.role_on(played.to())
    };
    let promoted = match played.kind() {
        moves::Kind::Promote(role) => WORTH[role] - WORTH[0],
        _ => 0,
    };
    WORTH[taken] + promoted
}
