//! Which move to try next: the table's move, winning captures, quiet moves by their record,
//! losing captures. Quiet moves are made only when the captures did not suffice.

use super::board::{Board, PAWN};
use super::history::{History, Past, SPECIAL_RANK};
use super::moves::{self, Checks, Legality, Move, Moves, Ranked, WORTH, exchange_wins, worth_on};

#[derive(PartialEq, Eq, Clone, Copy)]
enum Stage {
    Remembered,
    MakeCaptures,
    Captures,
    Specials,
    MakeQuiets,
    MakeChecks,
    Quiets,
    MakeLosing,
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
    specials: usize,
    tried_specials: [Move; 3],
}

impl Picker {
    /// All moves.
    pub fn all(board: &Board, remembered: Move) -> Picker {
        Picker::new(board, remembered, false, false)
    }

    /// Captures, sound or not, and promotions; quiet `checks` as well if wanted; all moves when in
    /// check.
    pub fn noisy(board: &Board, remembered: Move, checks: bool) -> Picker {
        Picker::new(board, remembered, !board.in_check(), checks)
    }

    #[inline(always)]
    fn new(board: &Board, remembered: Move, only_captures: bool, checks: bool) -> Picker {
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
            checks,
            specials: 0,
            tried_specials: [Move::NONE; 3],
        }
    }

    /// The next legal move, with its rank; no quiet moves once `skip_quiets` is set.
    ///
    /// In one piece, because it is called for every move tried: handing a move and a stage from one
    /// function to another costs a twentieth of the search. What is made once a position is kept
    /// out of line, or every call would prepare for it.
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
                    return Some(Ranked::new(self.remembered, i32::MAX, 0));
                }
                Stage::MakeCaptures => {
                    self.make_captures(board, history);
                    self.stage = Stage::Captures;
                }
                Stage::Captures => {
                    let found = self.capture(board);
                    if found.is_some() {
                        return found;
                    }
                    self.stage = self.after_captures();
                }
                Stage::Specials => {
                    let found = self.special(board, history, past, skip_quiets);
                    if found.is_some() {
                        return found;
                    }
                    self.stage = Stage::MakeQuiets;
                }
                Stage::MakeQuiets | Stage::Quiets if skip_quiets => self.stage = Stage::MakeLosing,
                Stage::MakeQuiets => {
                    self.make_quiets(board, history, past);
                    self.stage = Stage::Quiets;
                }
                Stage::MakeChecks => {
                    self.make_checks(board, history, past);
                    self.stage = Stage::Quiets;
                }
                Stage::Quiets => {
                    let found = self.pick(board);
                    if found.is_some() {
                        return found;
                    }
                    self.stage = Stage::MakeLosing;
                }
                Stage::MakeLosing => {
                    self.next = 0;
                    self.stage = Stage::LosingCaptures;
                }
                Stage::LosingCaptures => {
                    let found = self.losing_capture();
                    if found.is_some() {
                        return found;
                    }
                    self.stage = Stage::Over;
                }
                Stage::Over => return None,
            }
        }
    }

    #[inline(never)]
    fn make_captures(&mut self, board: &Board, history: &History) {
        moves::captures(board, &mut self.moves);
        for (place, ranked) in self.moves.iter_mut().enumerate() {
            let played = ranked.played();
            *ranked = Ranked::new(played, history.capture_rank(board, played), place);
        }
    }

    #[inline(never)]
    fn make_quiets(&mut self, board: &Board, history: &History, past: &Past) {
        let from = self.moves.len();
        self.next = from;
        moves::quiets(board, &mut self.moves);
        history.rank_quiets(board, &mut self.moves, from, past);
    }

    /// What follows the captures.
    fn after_captures(&self) -> Stage {
        match (self.only_captures, self.checks) {
            (true, false) => Stage::Over,
            (true, true) => Stage::MakeChecks,
            (false, _) => Stage::Specials,
        }
    }

    /// The next capture; those that lose material are put off, unless only captures are wanted.
    fn capture(&mut self, board: &Board) -> Option<Ranked> {
        while let Some(ranked) = self.pick(board) {
            if self.only_captures || exchange_wins(board, ranked.played(), -ranked.rank() / 64) {
                return Some(ranked);
            }
            self.moves[self.losing] = ranked;
            self.losing += 1;
        }
        None
    }

    fn losing_capture(&mut self) -> Option<Ranked> {
        let found = (self.next < self.losing).then(|| self.moves[self.next]);
        self.next += 1;
        found
    }

    /// The next killer or usual reply that can be played here.
    #[inline(never)]
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
                return Some(Ranked::new(played, SPECIAL_RANK, 0));
            }
        }
        None
    }

    /// Makes the quiet moves that give check and lose nothing.
    #[inline(never)]
    fn make_checks(&mut self, board: &Board, history: &History, past: &Past) {
        let from = self.moves.len();
        self.next = from;
        moves::quiet_checks(board, &Checks::of(board), &mut self.moves);
        let mut kept = from;
        for index in from..self.moves.len() {
            let played = self.moves[index].played();
            if exchange_wins(board, played, 0) {
                self.moves[kept] = Ranked::new(played, 0, 0);
                kept += 1;
            }
        }
        self.moves.truncate(kept);
        history.rank_quiets(board, &mut self.moves, from, past);
    }

    /// Takes the best-ranked legal move of those left.
    fn pick(&mut self, board: &Board) -> Option<Ranked> {
        while self.next < self.moves.len() {
            let first = self.moves[self.next];
            let ranked = self.moves[self.next + 1..]
                .iter()
                .copied()
                .fold(first, Ranked::max);
            let place = ranked.place();
            self.moves[place] = Ranked::new(first.played(), first.rank(), place);
            self.next += 1;
            if ranked.played() != self.remembered
                && !self.tried_specials.contains(&ranked.played())
                && self.legality.allows(board, ranked.played())
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
    if !played.is_unusual() {
        return worth_on(board, played.to());
    }
    match played.kind() {
        moves::Kind::Promote(role) => worth_on(board, played.to()) + WORTH[role] - WORTH[PAWN],
        _ => WORTH[PAWN],
    }
}
