//! Words of moves already made: repeated, gone back to, or taken up again.

use super::fit::stands;
use super::readings::{Prices, elsewhere};
use super::search::{Hearing, Hypothesis, Kind, cut_to, lines, pushed};
use super::words::{Form, Phrase};

/// Words at no more than these log odds are plainly no move of the board at hand.
const NEVER_TOLD: f32 = -40.0;

impl Hearing<'_> {
    pub(super) fn echoes(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let cues = &phrase.cues;
        let spec = self.talk.spec(phrase);
        if phrase.form == Form::Placed && cues.standing && cues.back == 0 {
            self.stood(hyp, number, phrase, out);
            return;
        }
        let back_to_capture = spec.capture && cues.back > 0; // "back to where he took"
        let named = spec.full() || !spec.pieces.is_empty() || spec.captured.is_some();
        if !named && !back_to_capture {
            return;
        }
        // what sums the talk up names moves of the whole of it, and must not draw the line to them
        let of_all = phrase.told <= NEVER_TOLD;
        let furthest = match (of_all, cues.back > 0) {
            (true, _) => usize::MAX - 1,
            (_, true) => 60,
            _ => 24,
        };
        let line: Vec<u32> = self.tree.back(hyp.here).take(furthest + 1).collect();
        let mut matches = 0;
        for (age, &node) in line.iter().enumerate() {
            let landed = cues.standing && self.fitter.landed(&self.tree, node, phrase.spec);
            if !(landed || self.fitter.said(&mut self.tree, node, phrase.spec))
                || cues.side == Some(self.tree.turn(node))
            {
                continue;
            }
            #[allow(clippy::cast_precision_loss)]
            let age = age as f32;
            let mut price = prices.echo + prices.words;
            if !of_all {
                price += (w.echo_age * age).min(w.echo_age_most);
            }
            if self.unsaid(hyp, node) {
                price += w.echo_silent;
            }
            price += self.stranger(node, cues.person);
            if !cues.after && cues.back == 0 && self.playable(hyp.here, phrase) {
                price += w.echo_playable;
            }
            let parent = self.tree.parent(node).expect("a line has its start");
            if cues.number > 0 && self.tree.number(parent) != cues.number {
                price += w.echo_number;
            }
            if (cues.intent && cues.back == 0)
                || phrase.cut
                || (price > 6.0 && !cues.board_of && !cues.instead_of)
            {
                // neither gone back to nor found again
            } else if cues.instead_of {
                let toll = 0.3 + 0.1 * age + self.stranger(node, cues.person);
                out.push(self.gone(hyp, number, phrase, parent, toll));
            } else if cues.back > 0 || cues.main || cues.after || cues.begins >= 0.6 {
                let toll = if cues.back > 0 {
                    w.gone_back
                } else if cues.main {
                    w.gone_main
                } else if self.playable(hyp.here, phrase) {
                    w.gone + w.echo_playable
                } else {
                    w.gone
                } + w.gone_age * age;
                if age > 0.0 {
                    out.push(self.gone(hyp, number, phrase, node, toll));
                    if cues.back > 0 && !cues.after {
                        out.push(self.gone(hyp, number, phrase, parent, toll + w.gone_before));
                    }
                }
                price += [0.0, w.echo_maybe_back, w.echo_back][usize::from(cues.back.min(2))];
            }
            if matches == 0 {
                let mut event = Self::decided(hyp, Kind::Echo, number, price, node);
                event.mode = hyp.mode;
                out.push(self.grown(hyp, event, hyp.stack, hyp.here));
            }
            matches += 1;
            if cues.back == 0 || matches == 6 {
                break;
            }
        }
        self.returns_to(hyp, number, phrase, out);
    }

    /// Going back to where a piece stood as the words have it, though it no longer does.
    pub(super) fn stood(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let cues = &phrase.cues;
        let spec = self.talk.spec(phrase);
        let told = !(cues.unreal || cues.intent || cues.negated || cues.supposed || cues.reason);
        if !told || cues.begins < 0.6 || stands(&self.tree, hyp.here, spec, cues.piece_side) {
            return;
        }
        let line: Vec<u32> = self.tree.back(hyp.here).skip(1).take(24).collect();
        let found = line
            .iter()
            .position(|&node| stands(&self.tree, node, spec, cues.piece_side));
        if let Some(age) = found {
            #[allow(clippy::cast_precision_loss)]
            let toll = w.place_back + w.gone_age * age as f32;
            out.push(self.gone(hyp, number, phrase, line[age], toll));
        } else {
            self.stood_elsewhere(hyp, number, phrase, out);
        }
    }

    /// The same on a line that was left.
    fn stood_elsewhere(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let spec = self.talk.spec(phrase);
        let size = lines(&hyp.stack);
        for depth in 0..size {
            let left = hyp.stack[size - 1 - depth];
            let found = self
                .tree
                .back(left.0)
                .take(17)
                .take_while(|&other| !self.tree.on_line(other, hyp.here))
                .enumerate()
                .find(|&(_, other)| stands(&self.tree, other, spec, phrase.cues.piece_side));
            if let Some((age, place)) = found {
                #[allow(clippy::cast_precision_loss)]
                let toll = w.place_back + w.return_age * age as f32 + w.return_depth * depth as f32;
                out.push(self.gone(hyp, number, phrase, place, toll));
                return;
            }
        }
    }

    /// Whether the move to a board was not said in this understanding.
    pub(super) fn unsaid(&self, hyp: &Hypothesis, node: u32) -> bool {
        let mut link = hyp.event;
        while let Some(event) = self.event(link) {
            if event.silent.contains(&node) {
                return true;
            }
            if event.node == node && event.kind == Kind::Play {
                return false;
            }
            link = event.before;
        }
        false
    }

    /// Whether the phrase is a plain move on the board at hand.
    pub(super) fn playable(&mut self, here: u32, phrase: &Phrase) -> bool {
        self.fitter
            .resolve_for(&mut self.tree, here, phrase.spec, phrase.cues.side)
            .first()
            .is_some_and(|choice| choice.faults.is_empty() && choice.price < 3.5)
    }

    /// Going back to a move on a line left before.
    pub(super) fn returns_to(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        out: &mut Vec<Hypothesis>,
    ) {
        let w = self.weights;
        let cues = &phrase.cues;
        if ((cues.intent || cues.negated) && cues.back == 0) || phrase.cut {
            return;
        }
        let cued = cues.back > 0 || cues.main || cues.instead_of;
        let toll = if cued {
            w.return_cued
        } else if cues.after && cues.begins >= 0.6 {
            w.return_after
        } else if self.playable(hyp.here, phrase) {
            w.return_uncued + w.echo_playable
        } else {
            w.return_uncued
        };
        let size = lines(&hyp.stack);
        for depth in 0..size {
            let left = hyp.stack[size - 1 - depth];
            let line: Vec<u32> = self.tree.back(left.0).take(17).collect();
            for (age, &other) in line.iter().enumerate() {
                if self.tree.on_line(other, hyp.here) {
                    break;
                }
                let landed = cues.standing && self.fitter.landed(&self.tree, other, phrase.spec);
                if !(landed || self.fitter.said(&mut self.tree, other, phrase.spec))
                    || cues.side == Some(self.tree.turn(other))
                {
                    continue;
                }
                let mut stack = cut_to(&hyp.stack, size - 1 - depth);
                let mut place = other;
                if cues.instead_of {
                    place = self.tree.parent(other).expect("not the start");
                } else if age > 0 {
                    stack = pushed(&stack, left);
                }
                #[allow(clippy::cast_precision_loss)]
                let price = toll
                    + w.return_age * age as f32
                    + w.return_depth * depth as f32
                    + elsewhere(w, phrase)
                    - w.told_parts_named * self.tree.node(place).parts;
                let mut event = Self::decided(hyp, Kind::Goto, number, price, place);
                event.mode = left.1;
                out.push(self.grown(hyp, event, stack, place));
                break;
            }
        }
    }

    pub(super) fn gone(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        node: u32,
        toll: f32,
    ) -> Hypothesis {
        let parts = self.weights.told_parts_named * self.tree.node(node).parts;
        let toll = (toll + elsewhere(self.weights, phrase) - parts).max(0.1);
        let mut event = Self::decided(hyp, Kind::Goto, number, toll, node);
        let left = (hyp.here, hyp.mode);
        let size = lines(&hyp.stack);
        // a board on a line that was left for this one is of that line's kind again
        let older = (0..size).find(|&depth| self.tree.on_line(node, hyp.stack[depth].0));
        let stack = match older {
            Some(depth) => {
                event.mode = hyp.stack[depth].1;
                pushed(&cut_to(&hyp.stack, depth), left)
            }
            None => pushed(&hyp.stack, left),
        };
        self.grown(hyp, event, stack, node)
    }
}
