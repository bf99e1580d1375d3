//! The places a move may be made from.

use super::readings::{leaving, staying};
use super::search::{Hearing, Hypothesis, Kind, Mode, Stack, cut_to, lines, pushed};
use super::tree::Legal;
use super::words::Phrase;

/// A place a move may be made from.
#[derive(Clone, Copy)]
pub(super) struct Base {
    pub(super) node: u32,
    pub(super) price: f32,
    pub(super) stack: Stack,
    pub(super) mode: Mode,
    pub(super) current: bool,
    /// The move of the line at hand that another one here would replace.
    pub(super) instead: Option<Legal>,
}

impl Hearing<'_> {
    pub(super) fn bases(&self, hyp: &Hypothesis, phrase: &Phrase) -> Vec<Base> {
        let w = self.weights;
        let cues = &phrase.cues;
        let gone_back = self
            .event(hyp.event)
            .is_some_and(|event| event.kind == Kind::Goto);
        // "back to d4; another way is c3": the other way is from here
        let mut stay = 0.0;
        if !gone_back {
            stay += staying(w, phrase);
            if cues.either {
                stay += w.stay_either;
            } else if cues.alternative > 0 {
                stay += w.stay_alternative;
            }
        }
        if cues.back == 2 {
            stay += w.stay_back;
        } else if cues.back > 0 || cues.main {
            stay += w.stay_maybe_back;
        }
        if hyp.mode != Mode::Shown && cues.begins >= 0.6 {
            stay += if cues.supposed || cues.side.is_some() {
                w.stay_side_line_cued
            } else {
                w.stay_side_line
            };
        }
        if hyp.mode == Mode::Mentioned {
            stay += w.stay_mentioned;
        }
        if cues.number > 0 && self.tree.number(hyp.here) != cues.number {
            stay += w.stay_number;
        }
        let mut out = vec![Base {
            node: hyp.here,
            price: stay,
            stack: hyp.stack,
            mode: hyp.mode,
            current: true,
            instead: None,
        }];
        self.returns(hyp, phrase, &mut out);
        self.earlier(hyp, phrase, &mut out);
        out
    }

    pub(super) fn returns(&self, hyp: &Hypothesis, phrase: &Phrase, out: &mut Vec<Base>) {
        let w = self.weights;
        let cues = &phrase.cues;
        let mut mode = hyp.mode;
        let mut price = 0.0;
        let told = leaving(w, phrase);
        let size = lines(&hyp.stack);
        for depth in 0..size {
            let (node, before) = hyp.stack[size - 1 - depth];
            let more = self.leaving(mode, phrase);
            price += if depth == 0 || mode == Mode::Shown {
                more
            } else {
                w.leave_deeper * more
            };
            out.push(Base {
                node,
                price: (price + told - w.told_parts_left * self.tree.node(node).parts
                    + if cues.either { w.return_either } else { 0.0 })
                .max(0.1),
                stack: cut_to(&hyp.stack, size - 1 - depth),
                mode: before,
                current: false,
                instead: None,
            });
            mode = before;
        }
    }

    /// What it costs to leave a side line without saying so.
    pub(super) fn leaving(&self, mode: Mode, phrase: &Phrase) -> f32 {
        let w = self.weights;
        let cues = &phrase.cues;
        if cues.back > 0 || cues.main {
            return w.leave_cued;
        }
        match mode {
            Mode::Mentioned if cues.begins >= 0.3 => w.leave_mentioned_break,
            Mode::Mentioned => w.leave_mentioned,
            Mode::Supposed if cues.begins >= 0.6 || cues.supposed => w.leave_supposed_break,
            Mode::Supposed if cues.begins >= 0.5 => w.leave_supposed_pause,
            Mode::Supposed if cues.begins >= 0.3 => w.leave_supposed_comma,
            Mode::Supposed => w.leave_supposed,
            Mode::Shown if cues.begins >= 0.6 => w.leave_shown_break,
            Mode::Shown => w.leave_shown,
        }
    }

    /// Places before on the line, where another move may be shown.
    pub(super) fn earlier(&self, hyp: &Hypothesis, phrase: &Phrase, out: &mut Vec<Base>) {
        let w = self.weights;
        let cues = &phrase.cues;
        let stack = pushed(&hyp.stack, (hyp.here, hyp.mode));
        let most = if cues.begins >= 0.6 {
            w.earlier_most_break
        } else {
            w.earlier_most
        };
        let told = leaving(w, phrase) + self.usual_parting(hyp.here);
        let mut node = hyp.here;
        for back in 1_u8..60 {
            let Some(parent) = self.tree.parent(node) else {
                return;
            };
            let instead = self.tree.node(node).made;
            node = parent;
            let back = f32::from(back);
            let mut price = (w.earlier + w.earlier_ply * back).min(most);
            if cues.either {
                price = w.return_either + w.either_ply * (back - 1.0);
            } else if cues.alternative == 2 {
                price = (w.counted + w.counted_ply * (back - 1.0)).min(w.counted_most);
            } else if cues.alternative > 0 {
                price = (w.alternative + w.alternative_ply * (back - 1.0)).min(w.alternative_most);
            } else if cues.back > 0 {
                price = (w.back + w.back_ply * back).min(w.back_most);
            } else if cues.listed && hyp.mode == Mode::Mentioned {
                price = w.listed_ply * back;
            }
            if cues.start {
                #[allow(clippy::cast_precision_loss)]
                let ply = self.tree.node(node).ply as f32;
                price = price.min(w.start + w.start_ply * ply);
            }
            if cues.number > 0 && self.tree.number(node) == cues.number {
                price = price.min(if cues.back > 0 {
                    w.number_back
                } else {
                    w.number
                });
            } else if cues.number > 0 && cues.back > 0 {
                price += w.number_wrong;
            }
            let price = (price + told - w.told_parts * self.tree.node(node).parts).max(0.1);
            if price < 9.0 {
                out.push(Base {
                    node,
                    price,
                    stack,
                    mode: hyp.mode,
                    current: false,
                    instead,
                });
            }
        }
    }

    /// What the boards of a line share of `told_parts`, so that dwelling on one says where the talk
    /// goes back to, and not whether it does.
    fn usual_parting(&self, here: u32) -> f32 {
        let share = self.weights.told_parts;
        let (mut sum, mut count) = (0.0_f32, 0.0_f32);
        for node in self.tree.back(here).skip(1) {
            sum += (share * self.tree.node(node).parts).exp();
            count += 1.0;
        }
        if count == 0.0 {
            0.0
        } else {
            (sum / count).ln()
        }
    }
}
