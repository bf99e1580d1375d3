//! What happens in the plies after a position: where pieces go, pawn breaks, queens, castling.

use std::collections::HashMap;

use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square, attacks};

use super::index::Stretch;
use super::{Outcome, Replay};

/// Games with how they ended.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Count {
    /// Games.
    pub games: u32,
    /// Won by White.
    pub white: u32,
    /// Drawn.
    pub draws: u32,
    /// Won by Black.
    pub black: u32,
    /// Sum of the plies after the position at which it happened.
    pub plies: u64,
}

impl Count {
    fn add(&mut self, outcome: Outcome, ply: usize) {
        self.games += 1;
        self.plies += ply as u64;
        match outcome {
            Outcome::White => self.white += 1,
            Outcome::Draw => self.draws += 1,
            Outcome::Black => self.black += 1,
            Outcome::Unknown => {}
        }
    }
}

/// A thing that may happen after a position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Event {
    /// The piece from this square stands on that one at the end; the same square if it stayed.
    Goes(Square, Square),
    /// The piece from this square has been taken.
    Taken(Square),
    /// A pawn move of this side that takes a pawn or attacks one: from, to.
    Break(Color, Square, Square),
    /// This side castles short (true) or long.
    Castles(Color, bool),
    /// Both queens are off the board.
    QueensOff,
    /// Both queens are off the board later than the plies looked at, or sooner.
    QueensOffEver,
}

/// What the games do in the `plies` after they first reach the position with `key`.
#[derive(Debug, Default)]
pub struct Plans {
    /// All games that reach it.
    pub all: Count,
    /// Each event, counted once a game.
    pub events: HashMap<Event, Count>,
}

impl Plans {
    /// Adds the games of `stretch` that reach the position within `depth` plies.
    pub fn add(&mut self, stretch: &Stretch<'_>, key: i64, depth: usize, plies: usize) {
        for index in 0..stretch.heads.len() {
            if stretch.skipped(index) {
                continue;
            }
            let outcome = Outcome::from_byte(stretch.heads[index].result);
            if let Some(mut replay) = reach(stretch, index, key, depth) {
                self.follow(&mut replay, outcome, plies);
            }
        }
    }

    fn follow(&mut self, replay: &mut Replay<'_>, outcome: Outcome, plies: usize) {
        let mut walk = Walk::new(&replay.position);
        let mut ply = 0;
        while let Some(played) = replay.peek() {
            ply += 1;
            if ply <= plies {
                walk.before(&replay.position, played, ply);
            }
            replay.play(played);
            walk.after(replay.position.board(), ply, plies);
            if ply >= plies && walk.queens_gone {
                break;
            }
        }
        self.all.add(outcome, ply);
        for (event, at) in walk.finish() {
            self.events.entry(event).or_default().add(outcome, at);
        }
    }
}

fn reach<'a>(stretch: &Stretch<'a>, index: usize, key: i64, depth: usize) -> Option<Replay<'a>> {
    let mut replay = Replay::new(stretch.game(index))?;
    for _ in 0..=depth {
        if replay.key == key {
            return Some(replay);
        }
        let played = replay.peek()?;
        replay.play(played);
    }
    None
}

/// Follows the pieces of one game.
struct Walk {
    /// Where the piece now on a square stood at first.
    origin: [Option<Square>; 64],
    pieces: Bitboard,
    events: Vec<(Event, usize)>,
    had_queens: bool,
    queens_gone: bool,
    last: usize,
}

impl Walk {
    fn new(position: &Chess) -> Self {
        let mut origin = [None; 64];
        for square in position.board().occupied() {
            origin[square as usize] = Some(square);
        }
        let had_queens = position.board().queens().any();
        Self {
            origin,
            pieces: position.board().occupied(),
            events: Vec::new(),
            had_queens,
            queens_gone: !had_queens,
            last: 0,
        }
    }

    fn note(&mut self, event: Event, ply: usize) {
        if !self.events.iter().any(|(known, _)| *known == event) {
            self.events.push((event, ply));
        }
    }

    fn before(&mut self, position: &Chess, played: Move, ply: usize) {
        self.last = ply;
        match played {
            Move::Castle { king, rook } => self.castle(position.turn(), king, rook, ply),
            Move::EnPassant { from, to } => {
                self.vanish(Square::from_coords(to.file(), from.rank()), ply);
                self.note(Event::Break(position.turn(), from, to), ply);
                self.shift(from, to);
            }
            Move::Normal {
                role,
                from,
                to,
                capture,
                ..
            } => {
                if role == Role::Pawn && breaks(position.board(), position.turn(), to, capture) {
                    self.note(Event::Break(position.turn(), from, to), ply);
                }
                if capture.is_some() {
                    self.vanish(to, ply);
                }
                self.shift(from, to);
            }
            Move::Put { .. } => {}
        }
    }

    fn castle(&mut self, color: Color, king: Square, rook: Square, ply: usize) {
        let short = king.file() < rook.file();
        let rank = king.rank();
        let (king_to, rook_to) = if short {
            (shakmaty::File::G, shakmaty::File::F)
        } else {
            (shakmaty::File::C, shakmaty::File::D)
        };
        let (one, two) = (
            self.origin[king as usize].take(),
            self.origin[rook as usize].take(),
        );
        self.origin[Square::from_coords(king_to, rank) as usize] = one;
        self.origin[Square::from_coords(rook_to, rank) as usize] = two;
        self.note(Event::Castles(color, short), ply);
    }

    fn shift(&mut self, from: Square, to: Square) {
        self.origin[to as usize] = self.origin[from as usize].take();
    }

    fn vanish(&mut self, square: Square, ply: usize) {
        if let Some(first) = self.origin[square as usize].take() {
            self.note(Event::Taken(first), ply);
        }
    }

    fn after(&mut self, board: &Board, ply: usize, plies: usize) {
        if self.had_queens && !self.queens_gone && board.queens().is_empty() {
            self.queens_gone = true;
            self.note(Event::QueensOffEver, ply);
            if ply <= plies {
                self.note(Event::QueensOff, ply);
            }
        }
    }

    fn finish(mut self) -> Vec<(Event, usize)> {
        for now in Square::ALL {
            if let Some(first) =
                self.origin[now as usize].filter(|first| self.pieces.contains(*first))
            {
                self.events.push((Event::Goes(first, now), self.last));
            }
        }
        self.events
    }
}

/// A break: the pawn takes a pawn, or comes to stand where it attacks one.
fn breaks(board: &Board, color: Color, to: Square, capture: Option<Role>) -> bool {
    let theirs = board.by_piece(Role::Pawn.of(!color));
    capture == Some(Role::Pawn)
        || capture.is_none() && (attacks::pawn_attacks(color, to) & theirs).any()
}
