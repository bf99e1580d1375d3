//! Moves that were made without a word.

use shakmaty::{Bitboard, Role, Square};

use super::bases::Base;
use super::fit::brings_to_bear;
use super::plays::Chosen;
use super::readings::Prices;
use super::search::{Hearing, Hypothesis};
use super::tree::Legal;
use super::words::Phrase;

impl Hearing<'_> {
    /// The move said, after one or two that were not.
    pub(super) fn after_silence(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        base: &Base,
        out: &mut Vec<Hypothesis>,
    ) {
        let side = phrase.cues.side;
        let direct = self
            .fitter
            .resolve_for(&mut self.tree, base.node, phrase.spec, side);
        if direct.first().is_some_and(|choice| choice.price < 2.5) && !self.led() {
            return;
        }
        for (toll, item) in self.silences(base.node, phrase.cues.hint) {
            let node = self.tree.play(base.node, &item);
            let mut found = false;
            if self.possible(node, phrase) {
                let best = self
                    .fitter
                    .resolve_for(&mut self.tree, node, phrase.spec, side);
                found = best
                    .first()
                    .is_some_and(|choice| choice.faults.is_empty() && choice.price <= 3.0);
                for choice in best.iter().take(2) {
                    if choice.price < 3.0 && choice.faults.is_empty() {
                        let chosen = Chosen {
                            choice,
                            node: self.tree.play(node, &choice.legal),
                            silent: [node].into_iter().collect(),
                            toll,
                        };
                        self.played(hyp, number, phrase, prices, base, &chosen, out);
                    }
                }
            }
            if !found {
                self.after_two(hyp, number, phrase, prices, base, (node, toll), out);
            }
        }
    }

    /// Moves that may have been made without a word, with their prices, cheapest first.
    ///
    /// A square just said to be supported makes moves likely that bring a piece to bear on it.
    pub(super) fn silences(&mut self, node: u32, hint: Option<Square>) -> Vec<(f32, Legal)> {
        let w = self.weights;
        let silent = if self.talk.noisy() {
            w.silent_noisy
        } else {
            w.silent
        };
        let usual = self.usual(node);
        let mut found: Vec<(f32, Legal)> = usual
            .iter()
            .take(7)
            .map(|&(price, item)| (silent + w.silent_usual * price, item))
            .collect();
        if let Some(square) = hint {
            for (price, item) in usual {
                if brings_to_bear(&self.tree, node, &item).contains(square) {
                    found.push((w.hint + w.hint_usual * price, item));
                }
            }
        }
        found.retain(|&(price, _)| price <= w.silent_most);
        self.add_told(node, &mut found);
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found
    }

    /// Whether the talk is known to tell a move.
    pub(super) fn tells(&self, node: u32, item: &Legal) -> bool {
        let child = self.tree.child(node, item);
        let guide = self.guide.as_ref();
        guide.is_some_and(|guide| child.is_some_and(|child| guide.tells(child)))
    }

    pub(super) fn led(&self) -> bool {
        self.guide.as_ref().is_some_and(|guide| guide.leads)
    }

    /// Adds the moves that the talk is known to leave out, were they ever so unusual.
    pub(super) fn add_told(&mut self, node: u32, found: &mut Vec<(f32, Legal)>) {
        if !self.led() {
            return;
        }
        for (price, item) in self.usual(node) {
            if self.tells(node, &item) && found.iter().all(|&(_, other)| other != item) {
                found.push((
                    self.weights.silent + self.weights.silent_usual * price,
                    item,
                ));
            }
        }
    }

    /// The legal moves of a board with how usual they are, the most usual first.
    pub(super) fn usual(&mut self, node: u32) -> Vec<(f32, Legal)> {
        let legal = self.tree.legal(node);
        let prices = self.tree.usual(node);
        let mut out: Vec<(f32, Legal)> =
            prices.iter().copied().zip(legal.iter().copied()).collect();
        out.sort_by(|a, b| a.0.total_cmp(&b.0));
        out
    }

    #[allow(clippy::too_many_arguments)]
    pub(super) fn after_two(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        base: &Base,
        (node, toll): (u32, f32),
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let led = self.led();
        if !led && (toll > 5.0 || !self.tree.in_book(node)) {
            return;
        }
        let most = if led { 60 } else { 3 };
        for (price, item) in self.usual(node).into_iter().take(most) {
            let more = toll + w.second + w.second_usual * price;
            if more >= w.second_most && !led {
                break;
            }
            if led && !self.tells(node, &item) {
                continue;
            }
            let second = self.tree.play(node, &item);
            if !self.possible(second, phrase) {
                continue;
            }
            let side = phrase.cues.side;
            let best = self
                .fitter
                .resolve_for(&mut self.tree, second, phrase.spec, side);
            if let Some(choice) = best.first()
                && choice.price < 2.5
                && choice.faults.is_empty()
            {
                let chosen = Chosen {
                    choice,
                    node: self.tree.play(second, &choice.legal),
                    silent: [node, second].into_iter().collect(),
                    toll: more,
                };
                self.played(hyp, number, phrase, prices, base, &chosen, out);
            }
        }
    }

    /// Whether the words fit some legal move as they are; only to save time.
    pub(super) fn possible(&self, node: u32, phrase: &Phrase) -> bool {
        let spec = self.talk.spec(phrase);
        if spec.castling.is_some() || spec.targets.is_empty() {
            return true;
        }
        let targets: Bitboard = spec.targets.iter().map(|&(square, _)| square).collect();
        let named: Vec<Role> = spec.pieces.iter().map(|&(role, _)| role).collect();
        match named.as_slice() {
            [] if !spec.capture && !spec.free => self.tree.can(node, &[Role::Pawn], targets),
            roles => self.tree.can(node, roles, targets),
        }
    }
}
