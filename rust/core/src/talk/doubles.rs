//! Two moves told in one phrase.

use super::readings::Prices;
use super::search::{Hearing, Hypothesis, Kind};
use super::tree::Legal;
use super::words::Phrase;

impl Hearing<'_> {
    /// Two captures on one square, told in one phrase.
    pub(super) fn trade(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let spec = self.talk.spec(phrase);
        let Some(traded) = spec.captured else { return };
        let legal = self.tree.legal(hyp.here);
        let usual = self.tree.usual(hyp.here);
        let mut takes: Vec<(f32, Legal)> = legal
            .iter()
            .zip(usual.iter())
            .filter(|(item, _)| {
                item.role == traded
                    && item.captured == Some(traded)
                    && spec.from_file.is_none_or(|file| file == item.from.file())
                    && (spec.targets.is_empty()
                        || spec.targets.iter().any(|&(square, _)| square == item.to))
            })
            .map(|(item, &price)| (price, *item))
            .collect();
        takes.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (usual, item) in takes.into_iter().take(3) {
            let first = self.tree.play(hyp.here, &item);
            let so_far = prices.play + prices.words + 0.5 * usual.min(3.0);
            let mut event = Self::decided(hyp, Kind::Play, number, so_far + 1.0, first);
            event.base = hyp.here;
            out.push(self.grown(hyp, event.clone(), hyp.stack, first));
            for (price, answer) in self.usual(first) {
                let alike = spec.from_file.is_none_or(|file| file == answer.from.file());
                if answer.to == item.to && answer.captured == Some(traded) && alike {
                    event.node = self.tree.play(first, &answer);
                    event.extra = Some(first);
                    event.price = so_far + 0.5 * price;
                    out.push(self.grown(hyp, event.clone(), hyp.stack, event.node));
                }
            }
        }
    }

    /// The same words for one move by each side.
    pub(super) fn both(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let ours = self.fitter.resolve(&mut self.tree, hyp.here, phrase.spec);
        for choice in ours.iter().take(3) {
            let first = self.tree.play(hyp.here, &choice.legal);
            let theirs = self.fitter.resolve(&mut self.tree, first, phrase.spec);
            if theirs.is_empty() && choice.legal.castling.is_some() {
                // "and now both kings are tucked away": the other has been for a while
                let price = prices.play + prices.words + 0.6 * choice.price + 0.8;
                let mut event = Self::decided(hyp, Kind::Play, number, price, first);
                event.base = hyp.here;
                out.push(self.grown(hyp, event, hyp.stack, first));
            }
            for answer in theirs.iter().take(3) {
                let price = prices.play + prices.words + 0.6 * (choice.price + answer.price);
                let node = self.tree.play(first, &answer.legal);
                let mut event = Self::decided(hyp, Kind::Play, number, price, node);
                event.base = hyp.here;
                event.extra = Some(first);
                out.push(self.grown(hyp, event, hyp.stack, node));
            }
        }
    }
}
