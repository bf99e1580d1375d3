//! Which move to try next: the table's move, winning captures, quiet moves by their record,
//! losing captures. Quiet moves are made only when the captures did not suffice.

use super::board::Board;
use super::history::{History, Past};
use super::moves::{self, Checks, Legality, Move, Moves, Ranked, WORTH, exchange_wins};

#[derive(PartialEq, Eq, Clone, Copy)]
enum Stage {
    Remembered,
    MakeCaptures,
    Captures,
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
                            (false, _) => Stage::MakeQuiets,
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
                Stage::MakeQuiets => {
                    if !skip_quiets {
                        let from = self.moves.len();
                        self.next = from;
                        moves::quiets(board, &mut self.moves);
                        for ranked in &mut self.moves[from..] {
                            ranked.rank = history.quiet_rank(board, ranked.played, past);
                        }
                    }
                    self.stage = Stage::Quiets;
                }
                Stage::MakeChecks => {
                    let from = self.moves.len();
                    self.next = from;
                    moves::quiets(board, &mut self.moves);
                    let checks = Checks::of(board);
                    for ranked in &mut self.moves[from..] {
                        let useful = checks.given_by(board, ranked.played)
                            && exchange_wins(board, ranked.played, 0);
                        ranked.rank = if useful {
                            history.quiet_rank(board, ranked.played, past)
                        } else {
                            i32::MIN
                        };
                    }
                    self.moves.retain(|ranked| ranked.rank != i32::MIN);
                    self.next = from.min(self.moves.len());
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

    /// Takes the best-ranked legal move of those left.
    fn pick(&mut self, board: &Board) -> Option<Ranked> {
        while self.next < self.moves.len() {
            let mut best = self.next;
            for index in self.next + 1..self.moves.len() {
                if self.moves[index].rank > self.moves[best].rank {
                    best = index;
                }
            }
            self.moves.swap(self.next, best);
            let ranked = self.moves[self.next];
            self.next += 1;
            if ranked.played != self.remembered && self.legality.allows(board, ranked.played) {
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
