//! What moves have been worth so far in this search: killers, replies and records of success.

use super::board::Board;
use super::moves::{Move, Ranked};
use super::picker::victim_worth;
use super::score::MAX_PLY;

const LIMIT: i32 = 16_384;

/// Rank of killers and usual replies, above all others.
pub const SPECIAL_RANK: i32 = 180_000;

type ByPieceTo = [[i16; 64]; 12];

/// Records of success, each between -16384 and 16384.
pub struct History {
    quiet: [[[i16; 64]; 64]; 2],
    captures: Box<[[[i16; 8]; 64]; 12]>,
    replies: Vec<ByPieceTo>,
    killers: Vec<[Move; 2]>,
    counters: [[Move; 64]; 12],
}

/// What was played before: the table rows for the last move, the one before it and the fourth
/// last, and the killers of this ply.
#[derive(Clone, Copy, Default)]
pub struct Past {
    /// Row of the move one, two and four plies ago; `None` after a pass or before the root.
    pub rows: [Option<u16>; 3],
    /// Depth from the root.
    pub ply: usize,
    counter: Move,
}

/// The row of a move made by the piece on its square.
#[inline]
pub fn row(board: &Board, played: Move) -> u16 {
    let piece = (board.cell(played.from()) as usize).min(11);
    (piece * 64 + played.to().to_usize()) as u16
}

impl History {
    #[must_use]
    pub fn new() -> History {
        History {
            quiet: [[[0; 64]; 64]; 2],
            captures: Box::new([[[0; 8]; 64]; 12]),
            replies: vec![[[0; 64]; 12]; 12 * 64],
            killers: vec![[Move::NONE; 2]; MAX_PLY + 8],
            counters: [[Move::NONE; 64]; 12],
        }
    }

    /// What was played before a node at `ply`.
    pub fn past(&self, rows: [Option<u16>; 3], ply: usize) -> Past {
        let counter = rows[0].map_or(Move::NONE, |row| {
            self.counters[row as usize / 64 % 12][row as usize % 64]
        });
        Past { rows, ply, counter }
    }

    #[inline]
    pub fn capture_rank(&self, board: &Board, played: Move) -> i32 {
        let record = self.captures[(board.cell(played.from()) as usize).min(11)]
            [played.to().to_usize()][board.role_on(played.to())];
        16 * victim_worth(board, played) + i32::from(record) / 4
    }

    /// Quiet moves to be tried before all others: the killers and the usual reply.
    pub fn specials(&self, past: &Past) -> [Move; 3] {
        let [first, second] = self.killers[past.ply];
        [first, second, past.counter]
    }

    /// Ranks the quiet moves of a list, which are those from `first` on, by how they have fared.
    pub fn rank_quiets(&self, board: &Board, moves: &mut [Ranked], first: usize, past: &Past) {
        const NOTHING: &ByPieceTo = &[[0; 64]; 12];
        let quiet = &self.quiet[board.turn & 1];
        let [one, two, four] = past
            .rows
            .map(|row| row.map_or(NOTHING, |row| &self.replies[row as usize]));
        for (index, ranked) in moves[first..].iter_mut().enumerate() {
            let played = ranked.played();
            let (from, to) = (played.from(), played.to().to_usize());
            let piece = (board.cell(from) as usize).min(11);
            let record = |row: &ByPieceTo| i32::from(row[piece][to]);
            let own = i32::from(quiet[from.to_usize()][to]);
            let rank = own + record(one) + record(two) + record(four) / 2;
            *ranked = Ranked::new(played, rank, first + index);
        }
    }

    /// How a quiet move has fared.
    #[inline]
    pub fn record(&self, board: &Board, played: Move, past: &Past) -> i32 {
        let mut one = [Ranked::new(played, 0, 0)];
        self.rank_quiets(board, &mut one, 0, past);
        one[0].rank()
    }

    /// A quiet move cut the tree; those tried before it did not.
    pub fn reward(&mut self, board: &Board, best: Move, tried: &[Move], past: &Past, depth: i32) {
        let killers = &mut self.killers[past.ply];
        if killers[0] != best {
            killers[1] = killers[0];
            killers[0] = best;
        }
        if let Some(row) = past.rows[0] {
            self.counters[row as usize / 64 % 12][row as usize % 64] = best;
        }
        let bonus = bonus(depth);
        self.adjust(board, best, past, bonus);
        for &played in tried {
            self.adjust(board, played, past, -bonus);
        }
    }

    /// Moves a quiet move's record up or down.
    pub fn adjust(&mut self, board: &Board, played: Move, past: &Past, bonus: i32) {
        let piece = (board.cell(played.from()) as usize).min(11);
        let to = played.to().to_usize();
        drift(
            &mut self.quiet[board.turn & 1][played.from().to_usize()][to],
            bonus,
        );
        for row in past.rows.iter().flatten() {
            drift(&mut self.replies[*row as usize][piece][to], bonus);
        }
    }

    /// A capture did or did not cut the tree.
    pub fn adjust_capture(&mut self, board: &Board, played: Move, bonus: i32) {
        let piece = (board.cell(played.from()) as usize).min(11);
        let record = &mut self.captures[piece][played.to().to_usize()][board.role_on(played.to())];
        drift(record, bonus);
    }

    /// Killers two plies down belong to other positions.
    pub fn forget_killers(&mut self, ply: usize) {
        self.killers[ply] = [Move::NONE; 2];
    }
}

impl Default for History {
    fn default() -> Self {
        History::new()
    }
}

/// Weight of a success at `depth`.
pub fn bonus(depth: i32) -> i32 {
    (150 * depth - 80).clamp(0, 1600)
}

#[inline]
fn drift(record: &mut i16, bonus: i32) {
    let old = i32::from(*record);
    *record = (old + bonus - old * bonus.abs() / LIMIT) as i16;
}
