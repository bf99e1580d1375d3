//! What words cost that are only talk, by what stands on the board.

use shakmaty::{Bitboard, Board, Color, Position, Rank, Role, Square};

use super::fit::stands;
use super::readings::Prices;
use super::search::{Hearing, Hypothesis, Kind};
use super::words::{Form, Phrase, Spec};

impl Hearing<'_> {
    pub(super) fn aside(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let price = prices.aside + doubt(phrase, self.talk.spec(phrase));
        let mut event = Self::decided(hyp, Kind::Aside, number, price, hyp.here);
        if phrase.form == Form::Placed && phrase.cues.standing {
            let (more, holds) = self.truth(hyp.here, phrase);
            event.kind = Kind::Place;
            event.price += more;
            event.holds = holds;
        } else {
            event.price += self.strangeness(hyp.here, phrase);
        }
        out.push(self.grown(hyp, event, hyp.stack, hyp.here));
    }

    /// What it costs to talk of a move by piece and square that neither side could make here.
    pub(super) fn strangeness(&mut self, here: u32, phrase: &Phrase) -> f32 {
        let w = self.weights;
        let spec = self.talk.spec(phrase);
        if spec.targets.is_empty() || spec.pieces.is_empty() || phrase.cues.unreal {
            return 0.0;
        }
        if self.thinkable(here, phrase.spec) {
            0.0
        } else if spec.capture {
            w.strange_capture
        } else {
            w.strange_move
        }
    }

    /// Whether one of the named pieces, of either side, could go to a named square, were it its
    /// turn; pins and checks aside.
    pub(super) fn thinkable(&mut self, here: u32, spec: u32) -> bool {
        if let Some(&known) = self.thought.get(&(here, spec)) {
            return known;
        }
        let words = &self.talk.specs[spec as usize];
        let board = self.tree.node(here).board.board();
        let found = words.targets.iter().any(|&(square, price)| {
            let taken = board.piece_at(square);
            price < 3.0
                && Color::ALL.into_iter().any(|side| {
                    if taken.is_some_and(|piece| piece.color == side)
                        || (words.capture && taken.is_none())
                    {
                        return false;
                    }
                    let mine = board.by_color(side);
                    let walks = attacks_to(board, side, square) & mine;
                    let steps = taken.is_none().then(|| pushes_to(board, side, square));
                    (walks | steps.unwrap_or_default()).into_iter().any(|from| {
                        board.role_at(from).is_some_and(|role| {
                            words.names(role)
                                && (role != Role::Pawn
                                    || taken.is_some() == (from.file() != square.file()))
                        })
                    })
                })
        });
        self.thought.insert((here, spec), found);
        found
    }

    /// What a piece said to stand on a square costs or gains, by the board.
    pub(super) fn truth(&self, here: u32, phrase: &Phrase) -> (f32, Option<bool>) {
        let cues = &phrase.cues;
        let doubtful = cues.intent || cues.negated || cues.supposed;
        if cues.unreal || (doubtful && !cues.firm) {
            return (0.0, None);
        }
        let w = self.weights;
        let spec = self.talk.spec(phrase);
        if stands(&self.tree, here, spec, cues.piece_side) {
            return (w.place_true, Some(true));
        }
        let mut node = here;
        for _ in 0..3 {
            let Some(above) = self.tree.parent(node) else {
                break;
            };
            node = above;
            if stands(&self.tree, node, spec, cues.piece_side) {
                return (w.place_before, Some(true));
            }
        }
        // a plain fact that is false is a slip of its own
        let price = if !cues.firm {
            w.place_false_soft
        } else if phrase.end - phrase.first > 3 || cues.back > 0 {
            w.place_false
        } else {
            w.place_false_short
        };
        (price, Some(false))
    }
}

/// What it adds to mere talk that its words may stand for others.
///
/// Words that are hardly a move are not needed as talk of one: making nothing of them says as much.
fn doubt(phrase: &Phrase, spec: &Spec) -> f32 {
    let odd = phrase.price
        + spec.targets.first().map_or(0.0, |&(_, price)| price)
        + spec.pieces.first().map_or(0.0, |&(_, price)| price);
    if odd > 1.0 { odd } else { 0.3 * phrase.price }
}

fn attacks_to(board: &Board, side: Color, square: Square) -> Bitboard {
    board.attacks_to(square, side, board.occupied())
}

/// The pawns of a side that could step to a square.
fn pushes_to(board: &Board, side: Color, square: Square) -> Bitboard {
    let back = side.fold_wb(-8, 8);
    let pawns = board.by_color(side) & board.pawns();
    let one = square.offset(back);
    let two = one
        .filter(|one| !board.occupied().contains(*one))
        .and_then(|one| one.offset(back))
        .filter(|_| square.rank() == side.fold_wb(Rank::Fourth, Rank::Fifth));
    one.into_iter().chain(two).collect::<Bitboard>() & pawns
}
