//! Solving a skeleton after everything its moves can turn it into.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use shakmaty::{Color, Role};

use super::length::Lengths;
use super::skeleton::{Officer, Skeleton, bit, king_attacks, pawn_attacks, side, squares_of};
use super::slice::{Exits, Layout, Outcome, READINGS, Reading, Slice};

/// How far promotions are followed into tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Limits {
    /// Most pawns that may stand beside a promoted officer.
    pub(super) pawns_beside_officer: u32,
    /// Whether promotions to rook, bishop and knight have tables of their own.
    pub(super) underpromotions: bool,
}

/// Solved skeletons, and the means to solve more.
pub(super) struct Solver {
    limits: Limits,
    slices: HashMap<Skeleton, Arc<Slice>>,
    wanted: HashSet<Skeleton>,
    pairs: bool,
    pub(super) lengths: Lengths,
}

pub(super) enum Target {
    Known(Arc<Slice>),
    /// No table: `queen` says whether this stands for a queen or for all lesser officers.
    Unknown {
        after: Skeleton,
        taken_back: Arc<Slice>,
        queen: bool,
    },
}

#[derive(Clone, Copy)]
pub(super) enum Victim {
    Pawn(usize),
    Officer(usize),
}

pub(super) enum Exit {
    Push {
        to: usize,
        over: Option<usize>,
        target: Arc<Slice>,
        en_passant: Vec<Arc<Slice>>,
    },
    PawnTakes {
        to: usize,
        slot: Option<usize>,
        target: Arc<Slice>,
    },
    Promotes {
        to: usize,
        takes: Option<usize>,
        slot: usize,
        target: Target,
    },
    KingTakes {
        victim: Victim,
        target: Arc<Slice>,
    },
    OfficerTakes {
        slot: usize,
        victim: Victim,
        target: Arc<Slice>,
    },
}

const PROMOTIONS: [Role; 4] = [Role::Queen, Role::Rook, Role::Bishop, Role::Knight];

/// How many skeletons of pawns the given one can turn into, itself among them; None above `most`.
pub(super) fn reachable(start: Skeleton, most: usize) -> Option<usize> {
    let mut seen = HashSet::from([start]);
    let mut open = vec![start];
    while let Some(skeleton) = open.pop() {
        for next in pawn_successors(skeleton) {
            if seen.insert(next) {
                open.push(next);
            }
        }
        if seen.len() > most {
            return None;
        }
    }
    Some(seen.len())
}

fn pawn_successors(skeleton: Skeleton) -> Vec<Skeleton> {
    let mut found = Vec::new();
    for color in Color::ALL {
        for from in squares_of(skeleton.pawns[side(color)]) {
            let lifted = skeleton.without_pawn(color, from);
            found.push(lifted);
            for (to, taken) in pawn_targets(skeleton, color, from) {
                let cleared = taken.map_or(lifted, |at| lifted.without_pawn(!color, at));
                found.push(if on_last_rank(to) {
                    cleared
                } else {
                    cleared.with_pawn(color, to)
                });
            }
        }
    }
    found
}

fn on_last_rank(square: usize) -> bool {
    !(8..56).contains(&square)
}

fn ahead(color: Color, square: usize) -> usize {
    if color.is_white() {
        square + 8
    } else {
        square - 8
    }
}

fn is_home(color: Color, square: usize) -> bool {
    square / 8 == if color.is_white() { 1 } else { 6 }
}

/// Squares a pawn can go to as far as pawns are concerned, with the enemy pawn taken.
fn pawn_targets(skeleton: Skeleton, color: Color, from: usize) -> Vec<(usize, Option<usize>)> {
    let mut found = Vec::new();
    let one = ahead(color, from);
    if skeleton.all_pawns() & bit(one) == 0 {
        found.push((one, None));
        if is_home(color, from) && skeleton.all_pawns() & bit(ahead(color, one)) == 0 {
            let two = ahead(color, one);
            found.push((two, None));
        }
    }
    let hit = pawn_attacks(color, bit(from)) & skeleton.pawns[side(!color)];
    found.extend(squares_of(hit).map(|to| (to, Some(to))));
    // En passant leads where a capture of the same pawn one square further back would.
    let passing = pawn_attacks(color, bit(from));
    for to in squares_of(passing) {
        let behind = ahead(!color, to);
        let victim = skeleton.pawns[side(!color)] & bit(behind) != 0;
        let rank = if color.is_white() { 5 } else { 2 };
        if victim && to / 8 == rank && skeleton.all_pawns() & bit(to) == 0 {
            found.push((to, Some(behind)));
        }
    }
    found
}

impl Solver {
    pub(super) fn new(limits: Limits) -> Self {
        Solver {
            limits,
            slices: HashMap::new(),
            wanted: HashSet::new(),
            pairs: false,
            lengths: Lengths::default(),
        }
    }

    pub(super) fn count(&self) -> usize {
        self.slices.len()
    }

    pub(super) fn clear(&mut self) {
        self.slices.retain(|skeleton, _| skeleton.pawn_count() == 0);
        self.wanted.clear();
        self.lengths.clear();
    }

    /// Lets promotions into these skeletons be followed, and forgets what was solved without.
    pub(super) fn want(&mut self, skeletons: impl IntoIterator<Item = Skeleton>) {
        self.wanted.extend(skeletons);
        self.slices.retain(|_, slice| slice.exact);
        self.lengths.clear();
    }

    /// Lets queen against officer without pawns be followed; whether that was new.
    ///
    /// Cost: some seconds for the four tables, once they are met.
    pub(super) fn allow_pairs(&mut self) -> bool {
        let new = !self.pairs;
        self.pairs = true;
        if new {
            self.want([]);
        }
        new
    }

    /// Whether a skeleton may have a table.
    pub(super) fn affordable(&self, skeleton: &Skeleton) -> bool {
        if self.wanted.contains(skeleton) {
            return true;
        }
        let officers: Vec<Officer> = skeleton.officers().collect();
        let allowed = |officer: &Officer| {
            officer.role == Role::Queen || self.limits.underpromotions || skeleton.pawn_count() == 0
        };
        match officers.as_slice() {
            [] => true,
            [officer] => {
                skeleton.pawn_count() <= self.limits.pawns_beside_officer && allowed(officer)
            }
            [one, two] => {
                skeleton.pawn_count() == 0
                    && one.color != two.color
                    && (one.role == Role::Queen || two.role == Role::Queen)
                    && self.pairs
            }
            _ => false,
        }
    }

    /// The table of a skeleton, solved now if it is not yet.
    pub(super) fn slice(&mut self, skeleton: Skeleton) -> Arc<Slice> {
        if let Some(slice) = self.slices.get(&skeleton) {
            return slice.clone();
        }
        let mirrored = self.slices.get(&skeleton.flipped());
        let mirrored = mirrored.filter(|_| skeleton.officer_count() == 2).cloned();
        let slice = match mirrored {
            Some(mirrored) => Arc::new(mirrored.flipped()),
            None => Arc::new(self.solve(skeleton)),
        };
        self.slices.insert(skeleton, slice.clone());
        slice
    }

    fn solve(&mut self, skeleton: Skeleton) -> Slice {
        let moves = Color::ALL.map(|color| self.exits(skeleton, color));
        let layout = Layout::new(skeleton);
        let legal: Vec<u64> = (0..layout.entries())
            .map(|entry| {
                let (to_move, squares, white_king) = layout.place(entry);
                skeleton.legal(to_move, &squares[..layout.officers()], white_king)
            })
            .collect();
        let exact = moves.iter().flatten().all(Exit::is_exact);
        let readings = if exact { 1 } else { READINGS.len() };
        let mut exits = Exits::new(layout.entries(), readings);
        for (entry, &here) in legal.iter().enumerate() {
            if here == 0 {
                continue;
            }
            let (to_move, squares, white_king) = layout.place(entry);
            let placed = &squares[..layout.officers()];
            for exit in &moves[side(to_move)] {
                if let Some(outcome) = exit.outcome(&skeleton, to_move, placed, white_king) {
                    exits.add(entry, to_move, &outcome.map(|mask| mask & here));
                }
            }
        }
        Slice::solve(skeleton, legal, &exits, exact)
    }

    pub(super) fn exits(&mut self, skeleton: Skeleton, mover: Color) -> Vec<Exit> {
        let mut exits = Vec::new();
        for from in squares_of(skeleton.pawns[side(mover)]) {
            self.pawn_exits(skeleton, mover, from, &mut exits);
        }
        let officers: Vec<Officer> = skeleton.officers().collect();
        let mine = |slot: &usize| officers[*slot].color == mover;
        for at in squares_of(skeleton.pawns[side(!mover)]) {
            let target = self.slice(skeleton.without_pawn(!mover, at));
            let victim = Victim::Pawn(at);
            exits.push(Exit::KingTakes {
                victim,
                target: target.clone(),
            });
            exits.extend(
                (0..officers.len())
                    .filter(mine)
                    .map(|slot| Exit::OfficerTakes {
                        slot,
                        victim,
                        target: target.clone(),
                    }),
            );
        }
        for lost in (0..officers.len()).filter(|slot| !mine(slot)) {
            let target = self.slice(skeleton.without_officer(lost));
            let victim = Victim::Officer(lost);
            exits.push(Exit::KingTakes {
                victim,
                target: target.clone(),
            });
            exits.extend(
                (0..officers.len())
                    .filter(mine)
                    .map(|slot| Exit::OfficerTakes {
                        slot,
                        victim,
                        target: target.clone(),
                    }),
            );
        }
        exits
    }

    fn pawn_exits(&mut self, skeleton: Skeleton, mover: Color, from: usize, exits: &mut Vec<Exit>) {
        let lifted = skeleton.without_pawn(mover, from);
        let one = ahead(mover, from);
        let taking = pawn_attacks(mover, bit(from));
        let enemies: Vec<usize> = (0..skeleton.officer_count())
            .filter(|&slot| skeleton.officer(slot).color != mover)
            .collect();
        if on_last_rank(one) {
            self.promotions(lifted, mover, one, None, exits);
            for to in squares_of(taking) {
                for &slot in &enemies {
                    self.promotions(lifted, mover, to, Some(slot), exits);
                }
            }
            return;
        }
        if skeleton.all_pawns() & bit(one) == 0 {
            let target = self.slice(lifted.with_pawn(mover, one));
            exits.push(Exit::Push {
                to: one,
                over: None,
                target,
                en_passant: Vec::new(),
            });
            let two = ahead(mover, one) & 63;
            if is_home(mover, from) && skeleton.all_pawns() & bit(two) == 0 {
                let pushed = lifted.with_pawn(mover, two);
                let target = self.slice(pushed);
                let en_passant = self.en_passant(pushed, mover, one, two);
                exits.push(Exit::Push {
                    to: two,
                    over: Some(one),
                    target,
                    en_passant,
                });
            }
        }
        for to in squares_of(taking & skeleton.pawns[side(!mover)]) {
            let target = self.slice(lifted.without_pawn(!mover, to).with_pawn(mover, to));
            exits.push(Exit::PawnTakes {
                to,
                slot: None,
                target,
            });
        }
        for to in squares_of(taking & !skeleton.all_pawns()) {
            for &slot in &enemies {
                let target = self.slice(lifted.without_officer(slot).with_pawn(mover, to));
                exits.push(Exit::PawnTakes {
                    to,
                    slot: Some(slot),
                    target,
                });
            }
        }
    }

    /// Tables after each capture en passant of the pawn that has just gone to `two` over `one`.
    fn en_passant(
        &mut self,
        pushed: Skeleton,
        mover: Color,
        one: usize,
        two: usize,
    ) -> Vec<Arc<Slice>> {
        let takers = pawn_attacks(mover, bit(one)) & pushed.pawns[side(!mover)];
        squares_of(takers)
            .map(|taker| {
                let taken = pushed.without_pawn(mover, two).without_pawn(!mover, taker);
                self.slice(taken.with_pawn(!mover, one))
            })
            .collect()
    }

    fn promotions(
        &mut self,
        lifted: Skeleton,
        mover: Color,
        to: usize,
        takes: Option<usize>,
        exits: &mut Vec<Exit>,
    ) {
        let cleared = takes.map_or(lifted, |slot| lifted.without_officer(slot));
        let mut lesser_unknown = false;
        for role in PROMOTIONS {
            let (after, slot) = cleared.with_officer(Officer { color: mover, role });
            let queen = role == Role::Queen;
            let target = if self.affordable(&after) {
                Target::Known(self.slice(after))
            } else if queen || !lesser_unknown {
                lesser_unknown = true;
                Target::Unknown {
                    after,
                    taken_back: self.slice(cleared),
                    queen,
                }
            } else {
                continue;
            };
            exits.push(Exit::Promotes {
                to,
                takes,
                slot,
                target,
            });
        }
    }
}

impl Exit {
    fn is_exact(&self) -> bool {
        match self {
            Exit::Push {
                target, en_passant, ..
            } => target.exact && en_passant.iter().all(|slice| slice.exact),
            Exit::PawnTakes { target, .. }
            | Exit::KingTakes { target, .. }
            | Exit::OfficerTakes { target, .. } => target.exact,
            Exit::Promotes { target, .. } => match target {
                Target::Known(slice) => slice.exact,
                Target::Unknown { .. } => false,
            },
        }
    }

    /// Where the move leads without officers on the board: the table, the place in it, and the
    /// black king's square if the move decides it.
    pub(super) fn lands(
        &self,
        mover: Color,
        white_king: usize,
    ) -> Option<(&Slice, usize, Option<usize>)> {
        match self {
            Exit::Push { target, .. } | Exit::PawnTakes { target, .. } => Some((
                target.as_ref(),
                entry_of(target, !mover, &[], white_king),
                None,
            )),
            Exit::KingTakes { victim, target } => {
                let (at, _) = victim.place(&[]);
                Some(match mover {
                    Color::White => (target.as_ref(), entry_of(target, !mover, &[], at), None),
                    Color::Black => (
                        target.as_ref(),
                        entry_of(target, !mover, &[], white_king),
                        Some(at),
                    ),
                })
            }
            Exit::Promotes { .. } | Exit::OfficerTakes { .. } => None,
        }
    }

    /// What the move leads to from every square of the black king; None if a man stands in its
    /// way whatever that square is.
    pub(super) fn outcome(
        &self,
        skeleton: &Skeleton,
        mover: Color,
        squares: &[usize],
        white_king: usize,
    ) -> Option<Outcome> {
        let men = squares
            .iter()
            .fold(bit(white_king), |all, &square| all | bit(square));
        match self {
            Exit::Push {
                to,
                over,
                target,
                en_passant,
            } => {
                let way = bit(*to) | over.map_or(0, bit);
                if men & way != 0 {
                    return None;
                }
                let entry = entry_of(target, !mover, squares, white_king);
                let mut outcome = target.outcome(entry);
                if !en_passant.is_empty() {
                    let taken = |slice: &Arc<Slice>| {
                        slice.outcome(entry_of(slice, mover, squares, white_king))
                    };
                    let taken: Vec<Outcome> = en_passant.iter().map(taken).collect();
                    outcome = with_en_passant(outcome, target.stale[entry], mover, &taken);
                }
                Some(outcome.map(|mask| mask & !way))
            }
            Exit::PawnTakes { to, slot, target } => {
                if slot.is_some_and(|slot| squares[slot] != *to) {
                    return None;
                }
                let left = without(squares, *slot);
                Some(target.outcome(entry_of(target, !mover, &left, white_king)))
            }
            Exit::Promotes {
                to,
                takes,
                slot,
                target,
            } => {
                let free = men & bit(*to) == 0;
                let takes_there = takes.is_some_and(|taken| squares[taken] == *to);
                if !(if takes.is_some() { takes_there } else { free }) {
                    return None;
                }
                let mut placed = without(squares, *takes);
                placed.insert(*slot, *to);
                Some(match target {
                    Target::Known(slice) => {
                        slice.outcome(entry_of(slice, !mover, &placed, white_king))
                    }
                    Target::Unknown {
                        after,
                        taken_back,
                        queen,
                    } => {
                        let promoted = Promoted {
                            after,
                            slot: *slot,
                            mover,
                            taken_back,
                            queen: *queen,
                        };
                        promoted.outcome(&placed, white_king)
                    }
                })
            }
            Exit::KingTakes { victim, target } => {
                let (at, lost) = victim.place(squares);
                let left = without(squares, lost);
                match mover {
                    Color::White => (king_attacks(white_king) & bit(at) != 0)
                        .then(|| target.outcome(entry_of(target, !mover, &left, at))),
                    Color::Black => {
                        let outcome = target.outcome(entry_of(target, !mover, &left, white_king));
                        let around = king_attacks(at);
                        Some(outcome.map(|mask| if mask & bit(at) != 0 { around } else { 0 }))
                    }
                }
            }
            Exit::OfficerTakes {
                slot,
                victim,
                target,
            } => {
                let (at, lost) = victim.place(squares);
                let officer = skeleton.officer(*slot);
                let blockers = skeleton.blockers(squares, *slot) | bit(white_king);
                if officer.attacks(squares[*slot], blockers) & bit(at) == 0 {
                    return None;
                }
                let mut moved = without(squares, None);
                moved[*slot] = at;
                let left = without(&moved, lost);
                let path = officer.path(squares[*slot], at);
                let outcome = target.outcome(entry_of(target, !mover, &left, white_king));
                Some(outcome.map(|mask| mask & path))
            }
        }
    }
}

impl Victim {
    /// Its square, and its slot if it is an officer.
    fn place(self, squares: &[usize]) -> (usize, Option<usize>) {
        match self {
            Victim::Pawn(at) => (at, None),
            Victim::Officer(slot) => (squares[slot], Some(slot)),
        }
    }
}

/// Squares of up to three officers, held without allocation: this is the inner loop.
#[derive(Clone, Copy)]
struct Places {
    squares: [usize; 3],
    count: usize,
}

impl Places {
    fn insert(&mut self, slot: usize, square: usize) {
        self.squares.copy_within(slot..self.count, slot + 1);
        self.squares[slot] = square;
        self.count += 1;
    }
}

impl std::ops::Deref for Places {
    type Target = [usize];

    fn deref(&self) -> &[usize] {
        &self.squares[..self.count]
    }
}

impl std::ops::DerefMut for Places {
    fn deref_mut(&mut self) -> &mut [usize] {
        &mut self.squares[..self.count]
    }
}

fn without(squares: &[usize], slot: Option<usize>) -> Places {
    let mut places = Places {
        squares: [0; 3],
        count: 0,
    };
    for (at, &square) in squares.iter().enumerate() {
        if Some(at) != slot {
            places.squares[places.count] = square;
            places.count += 1;
        }
    }
    places
}

fn entry_of(slice: &Slice, to_move: Color, squares: &[usize], white_king: usize) -> usize {
    Layout::new(slice.skeleton).entry(to_move, squares, white_king)
}

/// The outcome of a double step when the answer may be to take it in passing.
fn with_en_passant(pushed: Outcome, stale: u64, mover: Color, taken: &[Outcome]) -> Outcome {
    let mine = side(mover);
    let theirs = side(!mover);
    let mut result = pushed;
    for reading in READINGS {
        let r = reading as usize;
        let can_take = taken.iter().fold(0, |all, take| all | take.legal);
        let mut won = pushed.wins[mine][r] | stale & can_take;
        let mut lost = pushed.wins[theirs][r];
        for take in taken {
            won &= !take.legal | take.wins[mine][r];
            lost |= take.wins[theirs][r];
        }
        result.wins[mine][r] = won;
        result.wins[theirs][r] = lost & pushed.legal;
    }
    result
}

/// A promotion that no table follows.
pub(super) struct Promoted<'a> {
    pub(super) after: &'a Skeleton,
    pub(super) slot: usize,
    pub(super) mover: Color,
    pub(super) taken_back: &'a Slice,
    pub(super) queen: bool,
}

impl Promoted<'_> {
    fn outcome(&self, placed: &[usize], white_king: usize) -> Outcome {
        let legal = self.after.legal(!self.mover, placed, white_king);
        let mut outcome = Outcome {
            legal,
            ..Outcome::default()
        };
        for black_king in squares_of(legal) {
            let wins = self.wins(placed, white_king, black_king);
            for (masks, readings) in outcome.wins.iter_mut().zip(wins) {
                for (mask, won) in masks.iter_mut().zip(readings) {
                    *mask |= u64::from(won) << black_king;
                }
            }
        }
        outcome
    }

    /// Wins by winner and reading.
    ///
    /// If the enemy has a bare king that can neither take the queen nor is stalemated, the win is
    /// sure. If he can take the new officer, he is at least as well off as after doing so. Else
    /// anything is possible, and the rule of thumb says that a queen wins unless an enemy pawn is
    /// within two steps of queening.
    pub(super) fn wins(
        &self,
        placed: &[usize],
        white_king: usize,
        black_king: usize,
    ) -> [[bool; 3]; 2] {
        let (mine, theirs) = (side(self.mover), side(!self.mover));
        let enemy_king = if self.mover.is_white() {
            black_king
        } else {
            white_king
        };
        let own_king = white_king ^ black_king ^ enemy_king;
        let guarded = self.guarded(placed, own_king);
        let at = placed[self.slot];
        let bare = self.after.is_bare(!self.mover);
        let mut wins = [[false; 3]; 2];
        if king_attacks(enemy_king) & bit(at) != 0 && guarded & bit(at) == 0 {
            let left = without(placed, Some(self.slot));
            let (white, black) = if self.mover.is_white() {
                (white_king, at)
            } else {
                (at, black_king)
            };
            let entry = entry_of(self.taken_back, self.mover, &left, white);
            let taken = self.taken_back.outcome(entry);
            for reading in READINGS {
                let r = reading as usize;
                wins[mine][r] = taken.wins[mine][r] & bit(black) != 0;
                wins[theirs][r] = taken.wins[theirs][r] & bit(black) != 0;
            }
            wins[mine][Reading::Sure as usize] &= bare && self.queen;
            wins[theirs][Reading::Possible as usize] = !bare;
        } else {
            let stuck = king_attacks(enemy_king) & !guarded == 0 && guarded & bit(enemy_king) == 0;
            let free_runner = self.enemy_near_queening();
            wins[mine] = [
                bare && self.queen && !stuck,
                true,
                self.queen && !free_runner,
            ];
            wins[theirs] = [false, !bare, !self.queen];
        }
        if !self.queen {
            // A lesser officer is left out of account by the rule of thumb.
            wins[mine][Reading::Thumb as usize] = false;
            wins[theirs][Reading::Thumb as usize] = true;
        }
        wins
    }

    /// Squares the mover guards, looking through the enemy king.
    fn guarded(&self, placed: &[usize], own_king: usize) -> u64 {
        let pawns = self.after.pawns[side(self.mover)];
        let mut guarded = pawn_attacks(self.mover, pawns) | king_attacks(own_king);
        for (slot, officer) in self.after.officers().enumerate() {
            if officer.color == self.mover {
                let blockers = self.after.blockers(placed, slot) | bit(own_king);
                guarded |= officer.attacks(placed[slot], blockers);
            }
        }
        guarded
    }

    fn enemy_near_queening(&self) -> bool {
        let near = match self.mover {
            Color::White => 0x00ff_ff00,
            Color::Black => 0x00ff_ff00u64.swap_bytes(),
        };
        let officers = self
            .after
            .officers()
            .any(|officer| officer.color != self.mover);
        officers || self.after.pawns[side(!self.mover)] & near != 0
    }
}
