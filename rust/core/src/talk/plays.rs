//! Moves that words make.

use std::rc::Rc;

use arrayvec::ArrayVec;
use shakmaty::Position as _;

use super::bases::Base;
use super::fit::Choice;
use super::readings::Prices;
use super::search::{Answer, Hearing, Hypothesis, Kind, Mode, lines, pushed};
use super::words::{Form, Person, Phrase};

/// A move chosen for a phrase, with the way to it.
pub(super) struct Chosen<'c> {
    pub(super) choice: &'c Choice,
    pub(super) node: u32,
    pub(super) silent: ArrayVec<u32, 3>,
    pub(super) toll: f32,
}

impl Hearing<'_> {
    pub(super) fn plays(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let known = self.answers.get(&number);
        let limit = if matches!(known, Some(Answer::Move(..))) {
            f32::MAX
        } else {
            (prices.aside + 7.5).min(self.bar - hyp.price)
        };
        let fits_here = self.playable(hyp.here, phrase);
        let behind = hyp.price - self.floor;
        let full = self.talk.spec(phrase).full();
        let from = self.given(number).map(|step| step.base);
        let stands = self.pawn_named(hyp.here, phrase);
        for mut base in self.bases(hyp, phrase) {
            if from.is_some_and(|from| from != self.tree.node(base.node).path) {
                continue;
            }
            if phrase.form == Form::Clause && !base.current {
                continue; // too little is said to be of another board
            }
            if stands && !base.current {
                base.price += self.weights.stands_there; // "b3, making c4 rock solid"
            }
            let cost = base.price + prices.play.min(prices.branch);
            if cost > limit || (base.price > 4.2 && (fits_here || behind > 9.0)) {
                continue;
            }
            let count = if base.current { 4 } else { 2 };
            let choices = self.choices_for(base.node, phrase, known);
            for choice in choices.iter().take(count) {
                if cost + choice.price > limit + 1.0 {
                    break;
                }
                let node = self.tree.play(base.node, &choice.legal);
                if !base.current && self.tree.on_line(node, hyp.here) {
                    continue;
                }
                let chosen = Chosen {
                    choice,
                    node,
                    silent: ArrayVec::new(),
                    toll: 0.0,
                };
                self.played(hyp, number, phrase, prices, &base, &chosen, out);
            }
            if base.current && full && cost + 3.5 < limit && behind < 8.0 {
                self.after_silence(hyp, number, phrase, prices, &base, out);
            }
        }
    }

    /// The moves that a phrase may mean on a board, by its words and what else is known about it.
    fn choices_for(&mut self, node: u32, phrase: &Phrase, known: Option<&Answer>) -> Rc<[Choice]> {
        let (tree, spec, side) = (&mut self.tree, phrase.spec, phrase.cues.side);
        match known {
            Some(Answer::Move(san, _)) => self
                .fitter
                .meant(tree, node, spec, side, san)
                .into_iter()
                .collect(),
            Some(Answer::Perhaps(san, less)) => {
                let mut found = self.fitter.resolve_for(tree, node, spec, side).to_vec();
                if let Some(mut meant) = self.fitter.meant(tree, node, spec, side, san) {
                    meant.price -= less;
                    found.retain(|choice| choice.legal.mv != meant.legal.mv);
                    found.push(meant);
                    found.sort_by(|a, b| a.price.total_cmp(&b.price));
                }
                found.into()
            }
            _ => self.fitter.resolve_for(tree, node, spec, side),
        }
    }

    #[allow(clippy::too_many_arguments)]
    pub(super) fn played(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        base: &Base,
        chosen: &Chosen,
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let cues = &phrase.cues;
        let (choice, node) = (chosen.choice, chosen.node);
        if cues.standing && choice.faults.iter().any(|fault| !fault.misheard) {
            return; // where a piece stands is told wrong, not a move
        }
        let mut price = base.price + choice.price + prices.words + chosen.toll;
        price += self.stranger(node, cues.person);
        if base
            .instead
            .is_some_and(|old| old.from == choice.legal.from)
        {
            price += w.replaced;
        }
        if cues.weak_side == Some(self.tree.turn(node)) {
            price += w.weak_side;
        }
        let mut event = Self::decided(hyp, Kind::Play, number, 0.0, node);
        event.base = base.node;
        event.silent = chosen.silent.clone();
        event.faults = choice.faults.clone();
        if prices.play < prices.branch + 4.0 {
            event.price = price + prices.play;
            event.mode = base.mode;
            out.push(self.grown(hyp, event.clone(), base.stack, node));
        }
        if prices.branch < prices.play + 2.0 {
            event.price = price + prices.branch;
            event.mode = if cues.supposed {
                Mode::Supposed
            } else {
                Mode::Mentioned
            };
            let left = if base.current {
                (base.node, base.mode)
            } else {
                (hyp.here, hyp.mode)
            };
            let size = lines(&base.stack);
            let known = size > 0 && base.stack[size - 1] == left;
            let stack = if known {
                base.stack
            } else {
                pushed(&base.stack, left)
            };
            out.push(self.grown(hyp, event, stack, node));
        }
    }

    /// Whether a phrase is a square alone on which a pawn stands.
    fn pawn_named(&self, here: u32, phrase: &Phrase) -> bool {
        let spec = self.talk.spec(phrase);
        let board = self.tree.node(here).board.board();
        phrase.form == Form::Square
            && spec.pieces.is_empty()
            && spec
                .targets
                .first()
                .is_some_and(|&(square, _)| board.pawns().contains(square))
    }

    /// What it costs that a pronoun names the other side than the one that has moved.
    pub(super) fn stranger(&self, node: u32, person: Person) -> f32 {
        let Some(me) = self.me else { return 0.0 };
        let mine = self.tree.turn(node) != me;
        match person {
            Person::None => 0.0,
            Person::Me if mine => 0.0,
            Person::Other if !mine => 0.0,
            _ => self.weights.stranger,
        }
    }
}
