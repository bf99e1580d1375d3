//! How well words fit a legal move, and in which part they do not.

use std::rc::Rc;

use arrayvec::ArrayVec;
use shakmaty::san::San;
use shakmaty::{Bitboard, Board, Color, File, Position, Rank, Role, Square, attacks};

use super::traits::{Found, Trait, meets, traits};
use super::tree::{Legal, Tree};
use super::weights::Weights;
use super::words::{Deed, Spec, Talk, Wing};
use crate::quick::QuickMap;

/// A price that rules out.
pub const NEVER: f32 = 99.0;

/// The part of a move that words get wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Slot {
    Square,
    Piece,
    Wing,
    Capture,
    Captured,
    From,
    Side,
}

impl Slot {
    /// Its name in reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Square => "square",
            Self::Piece => "piece",
            Self::Wing => "wing",
            Self::Capture => "capture",
            Self::Captured => "captured",
            Self::From => "from",
            Self::Side => "side",
        }
    }
}

/// Where words and move differ; `misheard` blames the recogniser rather than the teacher.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Fault {
    pub slot: Slot,
    pub misheard: bool,
}

/// The faults of one reading: few.
pub type Faults = ArrayVec<Fault, 6>;

/// A legal move that words may mean.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct Choice {
    pub price: f32,
    pub legal: Legal,
    pub faults: Faults,
}

type Targets = Rc<[(f32, bool); 64]>;

/// Holds words against boards; answers are remembered.
pub struct Fitter<'a> {
    talk: &'a Talk,
    weights: &'a Weights,
    /// The price of a recogniser writing one square for another; `NEVER` where sounds differ.
    confusions: &'a [f32],
    choices: QuickMap<(u32, u32), Rc<[Choice]>>,
    literal: QuickMap<(u32, u32), bool>,
    tables: QuickMap<u32, Targets>,
    traits: QuickMap<u32, Rc<[Found]>>,
    /// What it costs that the word for the piece is missing.
    piece_lost: f32,
}

impl<'a> Fitter<'a> {
    /// A fitter for one talk. `confusions` has 64 times 64 prices.
    pub fn new(talk: &'a Talk, weights: &'a Weights, confusions: &'a [f32]) -> Self {
        assert_eq!(confusions.len(), 64 * 64, "one price for each two squares");
        Self {
            talk,
            weights,
            confusions,
            choices: QuickMap::default(),
            literal: QuickMap::default(),
            tables: QuickMap::default(),
            traits: QuickMap::default(),
            piece_lost: if talk.terse() {
                weights.piece_lost
            } else if talk.noisy() {
                weights.piece_lost_noisy
            } else {
                weights.piece_lost_clean
            },
        }
    }

    /// The legal moves that words may mean on a board, likeliest first.
    pub fn resolve(&mut self, tree: &mut Tree, node: u32, spec: u32) -> Rc<[Choice]> {
        if let Some(known) = self.choices.get(&(node, spec)) {
            return Rc::clone(known);
        }
        let found: Rc<[Choice]> = self.look(tree, node, spec).into();
        self.choices.insert((node, spec), Rc::clone(&found));
        found
    }

    /// As `resolve`, where the words also name a side: another than the one to move is a fault.
    pub fn resolve_for(
        &mut self,
        tree: &mut Tree,
        node: u32,
        spec: u32,
        side: Option<Color>,
    ) -> Rc<[Choice]> {
        let found = self.resolve(tree, node, spec);
        if side.is_none_or(|side| side == tree.turn(node)) {
            return found;
        }
        found.iter().map(|choice| self.of_other(choice)).collect()
    }

    /// A choice where the words name the side that is not to move.
    fn of_other(&self, choice: &Choice) -> Choice {
        let mut faults = choice.faults.clone();
        faults.push(fault(Slot::Side));
        Choice {
            price: choice.price + self.weights.slip_side,
            legal: choice.legal,
            faults,
        }
    }

    /// The move in short notation as what the words are known to mean, however ill they fit it; none
    /// where it is not legal.
    pub fn meant(
        &mut self,
        tree: &mut Tree,
        node: u32,
        spec: u32,
        side: Option<Color>,
        san: &str,
    ) -> Option<Choice> {
        let position = &tree.node(node).board;
        let mv = San::from_ascii(san.as_bytes())
            .ok()?
            .to_move(position)
            .ok()?;
        let legal = tree.legal(node);
        let place = legal.iter().position(|item| item.mv == mv)?;
        let item = &legal[place];
        let w = self.weights;
        let (price, faults) = self.fit(tree, node, item, spec).unwrap_or_else(|| {
            let words = &self.talk.specs[spec as usize];
            let there = words.targets.iter().any(|&(square, _)| square == item.to);
            let slot = if there { Slot::Piece } else { Slot::Square };
            (w.slip + w.slip_far, Faults::from_iter([fault(slot)]))
        });
        let usual = if faults.is_empty() {
            0.0
        } else {
            w.usual_slip * tree.usual(node)[place]
        };
        let choice = Choice {
            price: price + usual,
            legal: *item,
            faults,
        };
        let other = side.is_some_and(|side| side != tree.turn(node));
        Some(if other {
            self.of_other(&choice)
        } else {
            choice
        })
    }

    /// Whether the words fit the move that led to a board, word for word.
    pub fn said(&mut self, tree: &mut Tree, node: u32, spec: u32) -> bool {
        if let Some(&known) = self.literal.get(&(node, spec)) {
            return known;
        }
        let (Some(legal), Some(parent)) = (tree.node(node).made, tree.parent(node)) else {
            return false;
        };
        let fits = self
            .fit(tree, parent, &legal, spec)
            .is_some_and(|(price, faults)| {
                price < 2.5 && price < self.plainest(spec) + 1.0 && faults.is_empty()
            });
        self.literal.insert((node, spec), fits);
        fits
    }

    /// Whether the move to a board brought a piece as named to a square as named, taking or not.
    #[must_use]
    pub fn landed(&self, tree: &Tree, node: u32, spec: u32) -> bool {
        let words = &self.talk.specs[spec as usize];
        let near = |price: f32| price < 1.0;
        tree.node(node).made.is_some_and(|made| {
            words
                .targets
                .iter()
                .any(|&(square, price)| near(price) && square == made.to)
                && words.names(made.role)
        })
    }

    /// The price of the likeliest reading of the words themselves.
    fn plainest(&self, spec: u32) -> f32 {
        let words = &self.talk.specs[spec as usize];
        let first = |price: Option<f32>| price.unwrap_or(0.0);
        first(words.targets.first().map(|&(_, price)| price))
            + first(words.pieces.first().map(|&(_, price)| price))
    }

    fn look(&mut self, tree: &mut Tree, node: u32, spec: u32) -> Vec<Choice> {
        if !self.talk.specs[spec as usize].leaning.is_empty() {
            return self.leant(tree, node, spec);
        }
        let legal = tree.legal(node);
        let mut fits: Vec<(f32, Faults, usize)> = Vec::new();
        for (place, item) in legal.iter().enumerate() {
            if self.near(item, spec)
                && let Some((price, faults)) = self.fit(tree, node, item, spec)
            {
                fits.push((price, faults, place));
            }
        }
        if fits.is_empty() {
            return Vec::new();
        }
        let usual = tree.usual(node);
        let share: f32 = fits
            .iter()
            .filter(|(_, faults, _)| faults.is_empty())
            .map(|&(_, _, place)| (-usual[place]).exp())
            .sum();
        let among = if share > 0.0 { share.ln() } else { 0.0 };
        let w = self.weights;
        let usual_rare = w.usual_rare + w.noisy_rare * self.talk.rough();
        let usual_named = w.usual_named + w.noisy_usual * self.talk.rough();
        let mut out: Vec<Choice> = fits
            .into_iter()
            .map(|(price, faults, place)| {
                // what is named is likely meant, however rare; of several, the usual one
                let more = if faults.is_empty() {
                    w.usual_among * (usual[place] + among)
                        + usual_named * (-among).min(4.5)
                        + usual_rare * (-among - 4.5).max(0.0)
                } else {
                    w.usual_slip * usual[place]
                };
                Choice {
                    price: price + more,
                    legal: legal[place],
                    faults,
                }
            })
            .collect();
        out.sort_by(|a, b| a.price.total_cmp(&b.price));
        out.truncate(5);
        out
    }

    /// The moves that a clause may tell, by how usual they are and how its words go with them.
    fn leant(&mut self, tree: &mut Tree, node: u32, spec: u32) -> Vec<Choice> {
        let legal = tree.legal(node);
        let usual = tree.usual(node);
        let traits = self.traits_on(tree, node, &legal);
        let words = &self.talk.specs[spec as usize];
        let odds: Vec<f32> = (0..legal.len())
            .map(|at| {
                let said = traits[at].iter().map(|&what| words.leaning[what as usize]);
                let met = meets(tree, node, &legal[at], words.met_square);
                let more = if met {
                    words.leaning[Trait::MeetsNamed as usize]
                } else {
                    0.0
                };
                said.sum::<f32>() + more - self.weights.clause_usual * usual[at]
            })
            .collect();
        let most = odds.iter().copied().fold(f32::MIN, f32::max);
        let all = most + odds.iter().map(|odd| (odd - most).exp()).sum::<f32>().ln();
        let mut out: Vec<Choice> = odds
            .iter()
            .zip(legal.iter())
            .map(|(odd, &legal)| Choice {
                price: all - odd,
                legal,
                faults: Faults::new(),
            })
            .collect();
        out.sort_by(|a, b| a.price.total_cmp(&b.price));
        out.truncate(5);
        out
    }

    /// The traits of the legal moves of a board.
    fn traits_on(&mut self, tree: &Tree, node: u32, legal: &[Legal]) -> Rc<[Found]> {
        let found = self
            .traits
            .entry(node)
            .or_insert_with(|| legal.iter().map(|item| traits(tree, node, item)).collect());
        Rc::clone(found)
    }

    /// Whether a move has at most one part off; only to save time.
    fn near(&mut self, item: &Legal, spec: u32) -> bool {
        let words = &self.talk.specs[spec as usize];
        if words.targets.is_empty() {
            return true;
        }
        let far = self.table(spec)[item.to as usize].0;
        far < self.weights.slip || (far < NEVER && words.allows(item.role))
    }

    /// How ill words fit a legal move, and in which parts; none if they cannot mean it.
    fn fit(&mut self, tree: &Tree, node: u32, item: &Legal, spec: u32) -> Option<(f32, Faults)> {
        let w = self.weights;
        let talk = self.talk;
        let words = &talk.specs[spec as usize];
        let mut faults = Faults::new();
        if let Some(wing) = words.castling {
            let castled = item.castling?;
            if wing != Wing::Any && wing != castled {
                faults.push(fault(Slot::Wing));
                return Some((w.slip + w.slip_wing, faults));
            }
            let rare = wing == Wing::Any && castled == Wing::Queen; // the rarer by far
            return Some((if rare { w.slip_wing } else { 0.0 }, faults));
        }
        if words.mirror {
            let last = tree.node(node).made?;
            let same = item.from == last.from.flip_vertical() && item.to == last.to.flip_vertical();
            return same.then_some((0.0, faults));
        }
        let by_king =
            words.names(Role::King) && words.targets.iter().any(|&(said, _)| said == item.to); // "king to g1"
        if item.castling.is_some() && !by_king {
            return None;
        }
        let mut price = 0.0;
        if !words.targets.is_empty() {
            let (cost, misheard) = self.table(spec)[item.to as usize];
            if cost >= NEVER {
                return None;
            }
            price += cost;
            if cost >= w.slip - 0.1 || misheard {
                faults.push(Fault {
                    slot: Slot::Square,
                    misheard,
                });
            }
        }
        price += self.piece_fit(tree, node, item, words, &mut faults)?;
        price += self.origin_fit(tree.turn(node), item, words, &mut faults)?;
        if words.back && words.targets.is_empty() && !came_from(tree, node, item) {
            price += w.not_home;
        }
        if words.other && Some(item.from) == last_of(tree, node, item.role) {
            price += 2.5;
        }
        price += self.capture_fit(tree, node, item, words, &mut faults)?;
        if words
            .deed
            .is_some_and(|deed| !does(tree, node, item, words, deed))
        {
            return None;
        }
        let slips = faults.iter().filter(|fault| !fault.misheard).count();
        (slips <= 1 && price < 12.0).then_some((price, faults))
    }

    fn piece_fit(
        &self,
        tree: &Tree,
        node: u32,
        item: &Legal,
        words: &Spec,
        faults: &mut Faults,
    ) -> Option<f32> {
        let w = self.weights;
        if words.pieces.is_empty() {
            if words.free && item.role == Role::Pawn {
                return Some(w.free_pawn);
            }
            let plain = words.targets.is_empty()
                || words.capture
                || item.role == Role::Pawn
                || words.from_square.is_some();
            return Some(if plain {
                0.0
            } else if words.free {
                let last = tree.node(node).made.map(|made| made.role);
                if words.like_last && last != Some(item.role) {
                    1.4
                } else {
                    0.2
                }
            } else {
                self.piece_lost
            });
        }
        let named = words.pieces.iter().find(|&&(role, _)| role == item.role);
        if let Some(&(_, price)) = named {
            return Some(price);
        }
        let taken_back = words.capture && taker_before(tree, node, item.to) == Some(0);
        if words.promotion.is_some() || (words.targets.is_empty() && !taken_back) {
            return None;
        }
        faults.push(fault(Slot::Piece));
        let said = words.pieces[0].0;
        let alike = matches!(
            (said, item.role),
            (Role::Knight, Role::Bishop)
                | (Role::Bishop, Role::Knight)
                | (Role::King, Role::Queen)
                | (Role::Queen, Role::King)
        );
        Some(w.slip + if alike { w.slip_alike } else { w.slip_piece })
    }

    fn origin_fit(
        &self,
        mover: Color,
        item: &Legal,
        words: &Spec,
        faults: &mut Faults,
    ) -> Option<f32> {
        let w = self.weights;
        let mut price = 0.0;
        if words.from_square.is_some_and(|from| from != item.from) {
            faults.push(fault(Slot::From));
            price += w.slip;
        }
        if words.from_file.is_some_and(|file| file != item.from.file()) {
            faults.push(fault(Slot::From));
            price += w.slip - 0.4;
        }
        if words.from_rank.is_some_and(|rank| rank != item.from.rank()) {
            price += w.slip;
        }
        if words.to_file.is_some_and(|file| file != item.to.file())
            || words.to_rank.is_some_and(|rank| rank != item.to.rank())
        {
            return None;
        }
        if words.back && item.role == Role::Pawn {
            price += w.not_back_pawn;
        } else if words.back && forwards(mover, item) {
            price += w.not_back;
        }
        if words.fianchetto && !LONG_DIAGONALS.contains(item.to) {
            price += 6.0;
        }
        Some(price)
    }

    fn capture_fit(
        &self,
        tree: &Tree,
        node: u32,
        item: &Legal,
        words: &Spec,
        faults: &mut Faults,
    ) -> Option<f32> {
        let w = self.weights;
        let mut price = 0.0;
        if words.capture && item.captured.is_none() {
            if words.targets.is_empty() {
                return None;
            }
            faults.push(fault(Slot::Capture));
            price += w.slip + w.slip_capture;
        } else if item.captured.is_some() && !words.capture {
            price += if item.role == Role::Pawn {
                w.pawn_takes_unsaid
            } else {
                w.takes_unsaid
            };
            if words.quiet {
                price += 1.5;
            }
        }
        if let (Some(said), Some(taken)) = (words.captured, item.captured)
            && said != taken
        {
            if words.targets.is_empty() {
                return None;
            }
            faults.push(fault(Slot::Captured));
            price += w.slip + w.slip_captured;
        }
        if words.retake && item.captured.is_some() {
            price += match taker_before(tree, node, item.to) {
                Some(0) => w.retakes,
                Some(_) => w.retakes_late,
                None => w.retakes_elsewhere,
            };
        }
        if words.ep && !item.ep {
            return None;
        }
        match (words.promotion, item.promotion) {
            (Some(_), None) => return None,
            (Some(said), Some(made)) if said != made => price += 4.0,
            (None, Some(made)) if made != Role::Queen => price += 3.0,
            _ => {}
        }
        if (words.check || words.mate) && !tree.gives_check(node, item) {
            price += w.no_check;
        }
        Some(price)
    }

    /// For each square the price of its having been meant, and whether it was misheard.
    fn table(&mut self, spec: u32) -> Targets {
        if let Some(known) = self.tables.get(&spec) {
            return Rc::clone(known);
        }
        let mut table = [(NEVER, false); 64];
        for &(said, price) in &self.talk.specs[spec as usize].targets {
            for meant in Square::ALL {
                let slip = self.slip_price(said, meant);
                let heard = self.confusions[said as usize * 64 + meant as usize];
                let total = price + slip.min(heard);
                if total < table[meant as usize].0 {
                    table[meant as usize] = (total, heard < slip && said != meant);
                }
            }
        }
        let table = Rc::new(table);
        self.tables.insert(spec, Rc::clone(&table));
        table
    }

    /// What it costs to say one square and mean another.
    fn slip_price(&self, said: Square, meant: Square) -> f32 {
        let w = self.weights;
        if said == meant {
            return 0.0;
        }
        let (file, rank) = (said.file() as i32, said.rank() as i32);
        let (file2, rank2) = (meant.file() as i32, meant.rank() as i32);
        if file == file2 {
            let near = (rank - rank2).abs() == 1 || rank + rank2 == 7;
            w.slip + if near { w.slip_rank } else { w.slip_far }
        } else if rank == rank2 {
            let near = (file - file2).abs() == 1 || file + file2 == 7;
            w.slip + if near { w.slip_file } else { w.slip_far }
        } else if (file - file2).abs() == 1 && (rank - rank2).abs() == 1 {
            w.slip + w.slip_far // the next square of the diagonal
        } else {
            NEVER
        }
    }
}

const LONG_DIAGONALS: Bitboard = Bitboard(0x0042_0000_0000_4200);

fn fault(slot: Slot) -> Fault {
    Fault {
        slot,
        misheard: false,
    }
}

/// Whether a move goes up the board for its mover.
fn forwards(mover: Color, item: &Legal) -> bool {
    let (from, to) = (item.from.rank() as i8, item.to.rank() as i8);
    mover.fold_wb(to > from, to < from)
}

/// Whether a piece goes back to where it last came from.
pub(super) fn came_from(tree: &Tree, node: u32, item: &Legal) -> bool {
    let last = tree
        .back(node)
        .filter_map(|here| tree.node(here).made)
        .find(|made| made.to == item.from);
    last.is_some_and(|made| made.from == item.to)
}

/// How many moves ago the man on a square came to it, if it took something there; 0 is the last move.
fn taker_before(tree: &Tree, node: u32, square: Square) -> Option<usize> {
    let (ago, made) = tree
        .back(node)
        .filter_map(|here| tree.node(here).made)
        .enumerate()
        .find(|(_, made)| made.to == square)?;
    (ago == 0 || made.captured.is_some()).then_some(ago)
}

/// The square the mover's last move of such a piece went to, if it is among the last few.
fn last_of(tree: &Tree, node: u32, role: Role) -> Option<Square> {
    let mover = tree.turn(node);
    let mut line = tree.back(node);
    let found = line.by_ref().take(11).find(|&here| {
        let made = tree.node(here).made.expect("the start is not on it");
        tree.turn(here) != mover && (made.role == role || castled(made.castling, role))
    })?;
    let made = tree.node(found).made?;
    let home = mover.fold_wb(Rank::First, Rank::Eighth);
    Some(match made.castling {
        Some(Wing::Queen) if role == Role::Rook => Square::from_coords(File::D, home),
        Some(_) if role == Role::Rook => Square::from_coords(File::F, home),
        _ => made.to,
    })
}

/// Whether castling moved a piece of a kind that is no king.
fn castled(wing: Option<Wing>, role: Role) -> bool {
    wing.is_some() && role == Role::Rook
}

/// The squares that the piece moved bears on and did not bear on before.
pub fn brings_to_bear(tree: &Tree, node: u32, item: &Legal) -> Bitboard {
    let board = tree.node(node).board.board();
    let Some(piece) = board.piece_at(item.from) else {
        return Bitboard::EMPTY;
    };
    let without = board.occupied().without(item.from).with(item.to);
    let before = attacks::attacks(item.from, piece, board.occupied());
    attacks::attacks(item.to, piece, without) & !before
}

/// Whether a move does what is said of it.
fn does(tree: &Tree, node: u32, item: &Legal, words: &Spec, deed: Deed) -> bool {
    let position = &tree.node(node).board;
    let board = position.board();
    let mover = tree.turn(node);
    if deed == Deed::Block {
        return position.is_check() && item.role != Role::King && item.captured.is_none();
    }
    if deed == Deed::Double {
        let mates = board.by_color(mover) & board.rooks() & Bitboard::from(item.to.file());
        return item.role == Role::Rook && mates.without(item.from).any();
    }
    if deed == Deed::Fork {
        return forks(board, item, mover, words.met);
    }
    let named = words.met.map_or(Bitboard::FULL, |role| board.by_role(role));
    let there = words.met_square.map_or(Bitboard::FULL, Bitboard::from);
    let bare = words.met.is_none() && words.met_square.is_none();
    let met = named & there & brings_to_bear(tree, node, item);
    if deed == Deed::Pin {
        let pinned = met & board.by_color(!mover) & !board.by_role(Role::King);
        return pinned
            .into_iter()
            .any(|square| pins(board, item, mover, square));
    }
    if deed == Deed::Attack {
        let at_hand = tree
            .node(node)
            .made
            .map_or(Bitboard::EMPTY, |made| made.to.into());
        let theirs = board.by_color(!mover) & !board.by_role(Role::King);
        return (met & theirs & if bare { at_hand } else { Bitboard::FULL }).any();
    }
    let ours = met & board.by_color(mover);
    ours.into_iter()
        .any(|square| !bare || board.attacks_to(square, !mover, board.occupied()).any())
}

/// Whether a move attacks two of the enemy's pieces at once, one of them as named.
fn forks(board: &Board, item: &Legal, mover: Color, met: Option<Role>) -> bool {
    let occupied = board.occupied().without(item.from).with(item.to);
    let hit = attacks::attacks(item.to, item.role.of(mover), occupied)
        & board.by_color(!mover)
        & !board.pawns();
    let named = met.map_or(Bitboard::FULL, |role| board.by_role(role));
    hit.more_than_one() && (hit & named).any()
}

/// Whether the piece moved sees the king or the queen through the one on a square.
pub(super) fn pins(board: &Board, item: &Legal, mover: Color, square: Square) -> bool {
    let piece = item.role.of(mover);
    let occupied = board.occupied().without(item.from).with(item.to);
    let before = attacks::attacks(item.to, piece, occupied);
    let beyond = attacks::attacks(item.to, piece, occupied.without(square)) & !before;
    let behind = board.by_color(!mover) & (board.kings() | board.queens());
    matches!(item.role, Role::Bishop | Role::Rook | Role::Queen) && (beyond & behind).any()
}

/// Whether a piece as named stands on a square as named (prices under 3).
pub fn stands(tree: &Tree, node: u32, words: &Spec, side: Option<Color>) -> bool {
    let board = tree.node(node).board.board();
    words.targets.iter().any(|&(square, price)| {
        price < 3.0
            && board.piece_at(square).is_some_and(|piece| {
                words.names(piece.role) && side.is_none_or(|side| side == piece.color)
            })
    })
}
