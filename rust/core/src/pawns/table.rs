//! Asking the tables about positions.

use std::cmp::{Reverse, max, min};
use std::collections::{HashMap, HashSet, VecDeque};

use shakmaty::{Chess, Color, EnPassantMode, Move, Position, Role, Square};

use super::skeleton::{Officer, Skeleton, bit, side};
use super::slice::{Layout, Outcome, Reading};
use super::solver::{Limits, Promoted, Solver, reachable};

/// What a position is worth, from White's side: 1 a win, 0 a draw, -1 a loss.
///
/// `low` and `high` are bounds that hold; where they meet, the value is proved. `thumb` counts
/// promotions without a table by rule of thumb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bracket {
    /// White gets at least this.
    pub low: i8,
    /// White gets at most this.
    pub high: i8,
    /// The value if undecided promotions are judged by rule of thumb.
    pub thumb: i8,
}

impl Bracket {
    const OPEN: Bracket = Bracket {
        low: -1,
        high: 1,
        thumb: 0,
    };

    pub(super) fn of(value: i8) -> Self {
        Bracket {
            low: value,
            high: value,
            thumb: value,
        }
    }

    /// Whether the bounds meet.
    #[must_use]
    pub fn is_proved(self) -> bool {
        self.low == self.high
    }

    fn read(outcome: &Outcome, black_king: usize) -> Option<Self> {
        let holds = |mask: u64| mask & bit(black_king) != 0;
        if !holds(outcome.legal) {
            return None;
        }
        let won =
            |color: Color, reading: Reading| holds(outcome.wins[side(color)][reading as usize]);
        Some(Self::from_wins(won))
    }

    fn from_wins(won: impl Fn(Color, Reading) -> bool) -> Self {
        let (white, black) = (Color::White, Color::Black);
        let bound = |mine: Color, theirs: Color| {
            if won(mine, Reading::Sure) {
                1
            } else {
                -i8::from(won(theirs, Reading::Possible))
            }
        };
        Bracket {
            low: bound(white, black),
            high: -bound(black, white),
            thumb: i8::from(won(white, Reading::Thumb)) - i8::from(won(black, Reading::Thumb)),
        }
    }

    /// The better of two for a side.
    fn best(self, other: Self, mover: Color) -> Self {
        let pick = if mover.is_white() { max } else { min };
        Bracket {
            low: pick(self.low, other.low),
            high: pick(self.high, other.high),
            thumb: pick(self.thumb, other.thumb),
        }
    }
}

/// A move and what the position after it is worth.
#[derive(Clone, Debug)]
pub struct MoveBracket {
    /// The move.
    pub played: Move,
    /// The value after it, from White's side.
    pub after: Bracket,
    /// Plies until a pawn queens or the king is mated, if the position after it is won for
    /// somebody and has kings and pawns only.
    pub plies: Option<u8>,
}

/// Why a position has no table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoTable {
    /// There are other men than kings and pawns.
    OtherMen,
    /// The pawns can turn into more skeletons than the limit.
    TooMany,
}

/// Solved pawn endings, kept for the next question.
///
/// Endings of up to five men are solved with every promotion followed as far as tables of four
/// and five men reach; larger ones with bounds.
pub struct Tables {
    few: Solver,
    many: Solver,
    most_skeletons: usize,
}

/// Most pawns of an ending that is solved with all promotions followed.
const FEW_PAWNS: u32 = 3;

impl Tables {
    /// Empty tables that refuse positions whose pawns can turn into more skeletons than this.
    #[must_use]
    pub fn new(most_skeletons: usize) -> Self {
        let limits = |pawns_beside_officer, underpromotions| Limits {
            pawns_beside_officer,
            underpromotions,
        };
        Tables {
            few: Solver::new(limits(2, true)),
            many: Solver::new(limits(1, false)),
            most_skeletons,
        }
    }

    /// Number of skeletons solved so far.
    #[must_use]
    pub fn solved(&self) -> usize {
        self.few.count() + self.many.count()
    }

    /// The value of a position of kings and pawns.
    ///
    /// Cost: the first question of an ending solves all it can turn into; later ones are a
    /// look-up.
    ///
    /// # Errors
    /// [`NoTable`] if there are other men or too many ways for the pawns to go.
    pub fn bracket(&mut self, position: &Chess) -> Result<Bracket, NoTable> {
        let skeleton = self.prepare(position)?;
        let solver = self.solver(&skeleton);
        Ok(value(solver, position))
    }

    /// The value of a position after following the promotions that matter to it, until it is
    /// proved or `most_tables` tables of queens and pawns have been spent.
    ///
    /// # Errors
    /// [`NoTable`] as for [`Tables::bracket`].
    pub fn prove(&mut self, position: &Chess, most_tables: usize) -> Result<Bracket, NoTable> {
        let skeleton = self.prepare(position)?;
        let solver = self.solver(&skeleton);
        let mut left = most_tables;
        loop {
            let bracket = value(solver, position);
            if bracket.is_proved() || most_tables == 0 {
                return Ok(bracket);
            }
            let wanted = Color::ALL
                .into_iter()
                .map(|prover| Claim {
                    prover,
                    value: bracket.thumb,
                })
                .filter(|claim| !claim.is_proved(bracket))
                .map(|claim| {
                    affordable_now(critical_promotions(solver, position, claim), &mut left)
                })
                .find(|wanted| !wanted.is_empty());
            match wanted {
                Some(wanted) => solver.want(wanted),
                None if solver.allow_pairs() => {}
                None => return Ok(bracket),
            }
        }
    }

    /// Every legal move with the value after it.
    ///
    /// # Errors
    /// [`NoTable`] as for [`Tables::bracket`].
    pub fn moves(&mut self, position: &Chess) -> Result<Vec<MoveBracket>, NoTable> {
        let skeleton = self.prepare(position)?;
        let solver = self.solver(&skeleton);
        let moves = position.legal_moves();
        Ok(moves
            .into_iter()
            .map(|played| {
                let after = after(solver, position, &played);
                let plies = plies_left(solver, position, &played, after);
                MoveBracket {
                    played,
                    after,
                    plies,
                }
            })
            .collect())
    }

    /// Every legal position of one white pawn: black to move (0 or 1), kings, value.
    #[cfg(test)]
    pub(super) fn all_of_one_pawn(&mut self, pawn: usize) -> Vec<(usize, usize, usize, Bracket)> {
        let slice = self.few.slice(Skeleton::of_pawns(bit(pawn), 0));
        let layout = Layout::new(slice.skeleton);
        let mut all = Vec::new();
        for entry in 0..layout.entries() {
            let (to_move, _, white_king) = layout.place(entry);
            for black_king in 0..64 {
                if let Some(value) = Bracket::read(&slice.outcome(entry), black_king) {
                    all.push((side(to_move), white_king, black_king, value));
                }
            }
        }
        all
    }

    fn prepare(&mut self, position: &Chess) -> Result<Skeleton, NoTable> {
        let skeleton = skeleton_of(position);
        if skeleton.officer_count() > 0 {
            return Err(NoTable::OtherMen);
        }
        if reachable(skeleton, self.most_skeletons).is_none() {
            return Err(NoTable::TooMany);
        }
        let limit = self.most_skeletons * 2;
        let solver = self.solver(&skeleton);
        if solver.count() > limit {
            solver.clear();
        }
        Ok(skeleton)
    }

    fn solver(&mut self, skeleton: &Skeleton) -> &mut Solver {
        if skeleton.pawn_count() <= FEW_PAWNS {
            &mut self.few
        } else {
            &mut self.many
        }
    }
}

fn skeleton_of(position: &Chess) -> Skeleton {
    placed(position).0
}

/// The skeleton of a position and its officers' squares in the order of its slots.
fn placed(position: &Chess) -> (Skeleton, Vec<usize>) {
    let board = position.board();
    let pawns = |color| u64::from(board.pawns() & board.by_color(color));
    let mut skeleton = Skeleton::of_pawns(pawns(Color::White), pawns(Color::Black));
    let mut squares = Vec::new();
    for square in board.occupied() {
        let piece = board.piece_at(square).expect("the square is occupied");
        if matches!(piece.role, Role::Pawn | Role::King) || squares.len() == 3 {
            continue;
        }
        let officer = Officer {
            color: piece.color,
            role: piece.role,
        };
        let (next, slot) = skeleton.with_officer(officer);
        skeleton = next;
        squares.insert(slot, index(square));
    }
    (skeleton, squares)
}

fn index(square: Square) -> usize {
    usize::from(square)
}

fn king(position: &Chess, color: Color) -> usize {
    index(
        position
            .board()
            .king_of(color)
            .expect("a legal position has both kings"),
    )
}

/// The value of a position; open bounds if its skeleton has no table.
fn value(solver: &mut Solver, position: &Chess) -> Bracket {
    if position.is_insufficient_material() {
        return Bracket::of(0);
    }
    if position.ep_square(EnPassantMode::Legal).is_some() {
        return best_of_moves(solver, position);
    }
    let (skeleton, squares) = placed(position);
    if !solver.affordable(&skeleton) {
        return Bracket::OPEN;
    }
    let slice = solver.slice(skeleton);
    let white_king = king(position, Color::White);
    let entry = Layout::new(skeleton).entry(position.turn(), &squares, white_king);
    Bracket::read(&slice.outcome(entry), king(position, Color::Black)).unwrap_or(Bracket::OPEN)
}

fn best_of_moves(solver: &mut Solver, position: &Chess) -> Bracket {
    let moves = position.legal_moves();
    let values = moves.iter().map(|played| after(solver, position, played));
    let best = values.reduce(|one, two| one.best(two, position.turn()));
    best.unwrap_or(Bracket::OPEN)
}

/// Plies to the queening or mate that wins, after a move.
fn plies_left(solver: &mut Solver, position: &Chess, played: &Move, after: Bracket) -> Option<u8> {
    if after.thumb == 0 || played.is_promotion() {
        return (after.thumb != 0).then_some(0);
    }
    let mut next = position.clone();
    next.play_unchecked(*played);
    let (skeleton, _) = placed(&next);
    if solver.count() > MOST_COUNTED {
        return None;
    }
    let reading = if after.is_proved() {
        Reading::Sure
    } else {
        Reading::Thumb
    };
    let lengths = solver.lengths(skeleton, reading);
    let entry = Layout::new(skeleton).entry(next.turn(), &[], king(&next, Color::White));
    lengths[entry * 64 + king(&next, Color::Black)].checked_sub(1)
}

/// Above so many tables the lengths of wins are not counted: it would take longer than a teacher
/// waits.
const MOST_COUNTED: usize = 12_000;

fn after(solver: &mut Solver, position: &Chess, played: &Move) -> Bracket {
    let mut next = position.clone();
    next.play_unchecked(*played);
    let (skeleton, squares) = placed(&next);
    let Some(role) = played.promotion() else {
        return value(solver, &next);
    };
    if solver.affordable(&skeleton) {
        return value(solver, &next);
    }
    let mover = position.turn();
    let at = index(played.to());
    let Some(slot) = squares.iter().position(|&square| square == at) else {
        return Bracket::OPEN;
    };
    let taken_back = solver.slice(skeleton.without_officer(slot));
    let promoted = Promoted {
        after: &skeleton,
        slot,
        mover,
        taken_back: &taken_back,
        queen: role == Role::Queen,
    };
    let (white_king, black_king) = (king(&next, Color::White), king(&next, Color::Black));
    let wins = promoted.wins(&squares, white_king, black_king);
    Bracket::from_wins(|color, reading| wins[side(color)][reading as usize])
}

/// How many positions are looked through for promotions that matter.
const POSITIONS_LOOKED_THROUGH: usize = 40_000;
/// Tables spent between two looks at what still matters.
const TABLES_A_ROUND: usize = 300;

/// That a side gets at least so much (the value is seen from White).
#[derive(Clone, Copy)]
struct Claim {
    prover: Color,
    value: i8,
}

impl Claim {
    fn is_proved(self, bracket: Bracket) -> bool {
        match self.prover {
            Color::White => bracket.low >= self.value,
            Color::Black => bracket.high <= self.value,
        }
    }

    /// Whether the rule of thumb supports it and nothing sure speaks against it.
    fn is_likely(self, bracket: Bracket) -> bool {
        match self.prover {
            Color::White => bracket.thumb >= self.value && bracket.high >= self.value,
            Color::Black => bracket.thumb <= self.value && bracket.low <= self.value,
        }
    }
}

/// Skeletons of undecided promotions to a queen that a claim hangs on, the most frequent first.
///
/// Looks through one likely move of the prover and every move of the other side.
fn critical_promotions(solver: &mut Solver, root: &Chess, claim: Claim) -> Vec<Skeleton> {
    let mut counts: HashMap<Skeleton, usize> = HashMap::new();
    let mut seen = HashSet::new();
    let mut open = VecDeque::from([root.clone()]);
    while let Some(position) = open.pop_front() {
        let mut next = Vec::new();
        for played in position.legal_moves() {
            let there = after(solver, &position, &played);
            if claim.is_likely(there)
                && !(position.turn() != claim.prover && claim.is_proved(there))
            {
                next.push(played);
            }
        }
        if position.turn() == claim.prover {
            let quickest = next
                .into_iter()
                .min_by_key(|played| plies_to_progress(solver, &position, played));
            next = quickest.into_iter().collect();
        }
        for played in next {
            let mut child = position.clone();
            child.play_unchecked(played);
            let (skeleton, squares) = placed(&child);
            if played.promotion() == Some(Role::Queen) && !solver.affordable(&skeleton) {
                *counts.entry(skeleton).or_default() += 1;
            } else if squares.is_empty() && seen.len() < POSITIONS_LOOKED_THROUGH {
                let kings = (king(&child, Color::White), king(&child, Color::Black));
                if seen.insert((skeleton, child.turn(), kings)) {
                    open.push_back(child);
                }
            }
        }
    }
    let mut found: Vec<(Skeleton, usize)> = counts.into_iter().collect();
    found.sort_by_key(|&(skeleton, count)| (Reverse(count), skeleton.pawns));
    found.into_iter().map(|(skeleton, _)| skeleton).collect()
}

/// Plies from a winning move to the next pawn move or capture; 0 for one itself, or in a draw.
fn plies_to_progress(solver: &mut Solver, position: &Chess, played: &Move) -> u8 {
    if played.is_zeroing() {
        return 0;
    }
    let mut next = position.clone();
    next.play_unchecked(*played);
    let (skeleton, _) = placed(&next);
    let lengths = solver.next_lengths(skeleton, Reading::Thumb);
    let entry = Layout::new(skeleton).entry(next.turn(), &[], king(&next, Color::White));
    lengths[entry * 64 + king(&next, Color::Black)]
}

/// As many of the skeletons as one round may spend.
fn affordable_now(skeletons: Vec<Skeleton>, left: &mut usize) -> Vec<Skeleton> {
    let mut spent = 0;
    let mut taken = Vec::new();
    for skeleton in skeletons {
        let Some(cost) = reachable(skeleton, *left) else {
            continue;
        };
        if cost > *left || (spent > 0 && spent + cost > TABLES_A_ROUND) {
            continue;
        }
        spent += cost;
        *left -= cost;
        taken.push(skeleton);
    }
    taken
}
