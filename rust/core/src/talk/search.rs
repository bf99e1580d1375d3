//! The beam search over the readings of a whole talk.

use std::collections::HashMap;

use arrayvec::ArrayVec;
use shakmaty::Color;
use shakmaty::san::{San, SanPlus};

use super::fit::{Choice, Faults, Fitter};
use super::guide::Guide;
use super::habits::Habits;
use super::readings::{Prices, prices, skip};
use super::tree::{Book, Counts, Tree};
use super::weights::Weights;
use super::words::{Form, Phrase, Talk};
use crate::quick::QuickMap;

/// What a phrase turned out to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A move that is made.
    Play,
    /// Only talk.
    Aside,
    /// A move that was made before.
    Echo,
    /// A going back.
    Goto,
    /// A piece that stands somewhere.
    Place,
}

/// What a line is to the teacher, weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Mode {
    Mentioned,
    Supposed,
    Shown,
}

/// What is known about a phrase: the teacher has answered, or later words lean to a move.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// It is no move.
    OnlyTalk,
    /// It is this move, in short notation, perhaps the one that leads to a board of this ply.
    Move(String, Option<u32>),
    /// It may be this move, though it says another, for so much less than a slip costs.
    Perhaps(String, f32),
}

/// Number of an event or a rival; 0 for none.
type Link = u32;

/// One decision, with the one before it.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct Event {
    pub before: Link,
    pub kind: Kind,
    /// Place of the phrase in the talk.
    pub phrase: u32,
    pub price: f32,
    /// The board after it.
    pub node: u32,
    /// The board a move was made from.
    pub base: u32,
    /// Moves made before it without a word.
    pub silent: ArrayVec<u32, 3>,
    /// The first of two moves that one phrase tells.
    pub extra: Option<u32>,
    pub faults: Faults,
    pub mode: Mode,
    /// Whether a piece stands where it is said to.
    pub holds: Option<bool>,
}

/// Another way to the same place, kept for the margin.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)]
pub struct Rival {
    pub event: Link,
    pub gap: f32,
    pub kept: Link,
    pub before: Link,
}

/// Lines left for the time being, with their kinds: the latest last.
pub(super) type Stack = [(u32, Mode); STACK];
pub(super) const STACK: usize = 5;
pub(super) const EMPTY: (u32, Mode) = (u32::MAX, Mode::Mentioned);

pub(super) fn pushed(stack: &Stack, place: (u32, Mode)) -> Stack {
    let mut new = *stack;
    match new.iter().position(|item| *item == EMPTY) {
        Some(free) => new[free] = place,
        None => {
            new.rotate_left(1);
            new[STACK - 1] = place;
        }
    }
    new
}

pub(super) fn lines(stack: &Stack) -> usize {
    stack.iter().take_while(|item| **item != EMPTY).count()
}

pub(super) fn cut_to(stack: &Stack, size: usize) -> Stack {
    let mut new = *stack;
    new[size..].fill(EMPTY);
    new
}

/// So many ways with a board are kept besides that would come back to boards of their own.
const BESIDES: u32 = 2;

/// A way to understand the talk so far.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)]
pub struct Hypothesis {
    pub price: f32,
    pub here: u32,
    pub(super) stack: Stack,
    pub mode: Mode,
    pub event: Link,
    pub rivals: Link,
}

pub(super) type Key = (u32, Stack, Mode);

impl Hypothesis {
    pub(super) fn key(&self) -> Key {
        (self.here, self.stack, self.mode)
    }
}

/// Where every hearing begins.
pub(super) const NOTHING_SAID: Hypothesis = Hypothesis {
    price: 0.0,
    here: 0,
    stack: [EMPTY; STACK],
    mode: Mode::Shown,
    event: 0,
    rivals: 0,
};

/// A decision as another hearing of the same talk would take it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Step {
    pub kind: Kind,
    pub mode: Mode,
    /// The line after it.
    pub path: u64,
    /// The line that a move was made from.
    pub base: u64,
}

/// Is shown what is kept at a place, and may change it.
pub(super) type Seen<'s, 'a> =
    dyn FnMut(&Hearing<'a>, usize, Vec<Hypothesis>) -> Vec<Hypothesis> + 's;

/// The hypotheses waiting at each place of the talk.
pub(super) type Agenda = Vec<QuickMap<Key, Hypothesis>>;

/// One hearing of one talk.
pub struct Hearing<'a> {
    pub(super) talk: &'a Talk,
    pub(super) weights: &'a Weights,
    pub(super) me: Option<Color>,
    pub(super) answers: &'a HashMap<u32, Answer>,
    /// What the talk is known to tell, where the search is to be led by it.
    pub guide: Option<Guide>,
    /// The decisions to take, by phrase, where they are given; at other phrases nothing is decided.
    pub path: Option<HashMap<u32, Step>>,
    /// All boards looked at.
    pub tree: Tree<'a>,
    pub(super) fitter: Fitter<'a>,
    pub(super) thought: QuickMap<(u32, u32), bool>,
    pub(super) events: Vec<Event>,
    pub(super) rivals: Vec<Rival>,
    pub(super) prices: Vec<[Prices; 2]>,
    pub(super) bar: f32,
    pub(super) floor: f32,
}

impl<'a> Hearing<'a> {
    /// A hearing that has not begun. `me` is the side the speaker calls "I", where it is known;
    /// `answers` are the teacher's, by the place of the phrase; `confusions` as for words.
    #[must_use]
    #[allow(clippy::too_many_arguments)]
    pub fn new(
        talk: &'a Talk,
        weights: &'a Weights,
        confusions: &'a [f32],
        book: &'a Book,
        theme: Book,
        counts: Option<&'a Counts<'a>>,
        habits: &'a Habits,
        me: Option<Color>,
        answers: &'a HashMap<u32, Answer>,
    ) -> Self {
        let both = |phrase: &Phrase| {
            let spec = talk.spec(phrase);
            [Mode::Mentioned, Mode::Shown]
                .map(|mode| prices(weights, phrase, spec, mode, talk.rough()))
        };
        Self {
            talk,
            weights,
            me,
            answers,
            guide: None,
            path: None,
            tree: Tree::new(book, theme, counts, habits, weights),
            fitter: Fitter::new(talk, weights, confusions),
            thought: QuickMap::default(),
            events: Vec::new(),
            rivals: Vec::new(),
            prices: talk.phrases.iter().map(both).collect(),
            bar: 0.0,
            floor: 0.0,
        }
    }

    /// The best ways to understand the whole talk, cheapest first.
    pub fn search(&mut self) -> Vec<Hypothesis> {
        let places = self.starts().len();
        let mut agenda = self.agenda();
        agenda[0].insert(NOTHING_SAID.key(), NOTHING_SAID);
        self.walk(&mut agenda, 0..places, &mut |_, _, kept| kept);
        let last = agenda.pop().expect("one place after the last");
        if last.is_empty() {
            return vec![NOTHING_SAID];
        }
        self.pruned(last)
    }

    /// Goes through places of the talk; `seen` is shown what is kept at each and may change it.
    pub(super) fn walk(
        &mut self,
        agenda: &mut Agenda,
        places: std::ops::Range<usize>,
        seen: &mut Seen<'_, 'a>,
    ) {
        let starts = self.starts();
        for place in places {
            let waiting = std::mem::take(&mut agenda[place]);
            if waiting.is_empty() {
                continue;
            }
            let (from, to) = starts[place];
            self.bar = f32::MAX;
            let kept = self.pruned(waiting);
            let kept = seen(self, place, kept);
            self.floor = kept[0].price;
            for hypothesis in kept {
                self.step(&hypothesis, place, from..to, &starts, agenda);
            }
        }
    }

    /// Room for the hypotheses at each place and after the last.
    pub(super) fn agenda(&self) -> Agenda {
        vec![QuickMap::default(); self.starts().len() + 1]
    }

    /// The first token of a place; none after the last.
    pub(super) fn first_token(&self, place: usize) -> Option<u32> {
        let &(from, _) = self.starts().get(place)?;
        Some(self.said_at(u32::try_from(from).expect("few phrases")))
    }

    /// The first token of a phrase.
    pub(super) fn said_at(&self, phrase: u32) -> u32 {
        self.talk.phrases[phrase as usize].first
    }

    /// The decision a link stands for.
    #[must_use]
    pub fn event(&self, link: Link) -> Option<&Event> {
        self.events.get((link as usize).checked_sub(1)?)
    }

    /// The rival a link stands for.
    #[must_use]
    pub fn rival(&self, link: Link) -> Option<&Rival> {
        self.rivals.get((link as usize).checked_sub(1)?)
    }

    /// The decisions up to a link, the first first.
    #[must_use]
    pub fn decisions(&self, link: Link) -> Vec<Link> {
        let mut out: Vec<Link> = std::iter::successors(Some(link), |&link| {
            self.event(link).map(|event| event.before)
        })
        .filter(|&link| link != 0)
        .collect();
        out.reverse();
        out
    }

    /// The moves that a phrase may mean on a board.
    pub fn choices(&mut self, node: u32, phrase: u32) -> Vec<Choice> {
        let phrase = &self.talk.phrases[phrase as usize];
        self.fitter
            .resolve_for(&mut self.tree, node, phrase.spec, phrase.cues.side)
            .to_vec()
    }

    /// Runs of phrases that begin at the same token.
    pub(super) fn starts(&self) -> Vec<(usize, usize)> {
        let mut out: Vec<(usize, usize)> = Vec::new();
        for (place, phrase) in self.talk.phrases.iter().enumerate() {
            match out.last_mut() {
                Some((from, to)) if self.talk.phrases[*from].first == phrase.first => {
                    *to = place + 1;
                }
                _ => out.push((place, place + 1)),
            }
        }
        out
    }

    pub(super) fn step(
        &mut self,
        hypothesis: &Hypothesis,
        place: usize,
        phrases: std::ops::Range<usize>,
        starts: &[(usize, usize)],
        agenda: &mut Agenda,
    ) {
        let talk = self.talk;
        let mut silence = phrases
            .clone()
            .map(|at| {
                let phrase = &talk.phrases[at];
                skip(self.weights, phrase, talk.spec(phrase), talk)
            })
            .fold(0.0, f32::max);
        let known = |at: usize| self.answers.get(&u32::try_from(at).expect("few phrases"));
        let answered = phrases
            .clone()
            .any(|at| known(at).is_some_and(|answer| !matches!(answer, Answer::Perhaps(..))));
        if answered {
            silence += 50.0;
        }
        let on_path = |at: usize| {
            let path = self.path.as_ref();
            path.map(|path| path.get(&u32::try_from(at).expect("few phrases")).copied())
        };
        let steps: Option<Vec<Option<Step>>> = phrases.clone().map(on_path).collect();
        if steps
            .as_ref()
            .is_none_or(|steps| steps.iter().all(Option::is_none))
        {
            let mut skipped = *hypothesis;
            skipped.price += silence;
            self.offer(&mut agenda[place + 1], skipped);
        }
        let first = phrases.start;
        let mut readings = Vec::new();
        for at in phrases {
            let number = u32::try_from(at).expect("few phrases");
            let answer = self.answers.get(&number);
            if answered && answer.is_none() {
                continue;
            }
            let step = steps.as_ref().map(|steps| steps[at - first]);
            if step.is_some_and(|step| step.is_none()) {
                continue;
            }
            readings.clear();
            self.read(hypothesis, number, &mut readings);
            let end = talk.phrases[at].end;
            let after = place
                + 1
                + starts[place + 1..].partition_point(|&(from, _)| talk.phrases[from].first < end);
            for &new in &readings {
                if answer.is_some_and(|answer| !self.agrees(&new, answer))
                    || step.is_some_and(|step| self.step_to(new.event) != step)
                {
                    continue;
                }
                self.bar = self.bar.min(new.price + self.weights.spread);
                if new.price <= self.bar {
                    self.offer(&mut agenda[after], new);
                }
            }
        }
    }

    /// Whether the last decision is what the teacher has answered: a move made, or gone back to.
    pub(super) fn agrees(&self, hypothesis: &Hypothesis, answer: &Answer) -> bool {
        let event = self.event(hypothesis.event);
        let of = |kinds: &[Kind]| event.filter(|event| kinds.contains(&event.kind));
        match answer {
            Answer::Perhaps(..) => true,
            Answer::OnlyTalk => of(&[Kind::Play]).is_none(),
            Answer::Move(san, ply) => of(&[Kind::Play, Kind::Goto]).is_some_and(|event| {
                let there = ply.is_none_or(|ply| self.tree.node(event.node).ply == ply);
                there && self.san(event.node) == *san
            }),
        }
    }

    /// The move that led to a board in short notation without signs of check; empty for the start.
    #[must_use]
    pub fn san(&self, node: u32) -> String {
        match (self.tree.node(node).made, self.tree.parent(node)) {
            (Some(made), Some(parent)) => {
                San::from_move(&self.tree.node(parent).board, made.mv).to_string()
            }
            _ => String::new(),
        }
    }

    /// The move that led to a board in short notation; empty for the start.
    #[must_use]
    pub fn san_with_signs(&self, node: u32) -> String {
        match (self.tree.node(node).made, self.tree.parent(node)) {
            (Some(made), Some(parent)) => {
                SanPlus::from_move(self.tree.node(parent).board.clone(), made.mv).to_string()
            }
            _ => String::new(),
        }
    }

    pub(super) fn read(&mut self, hyp: &Hypothesis, number: u32, out: &mut Vec<Hypothesis>) {
        let talk = self.talk;
        let phrase = &talk.phrases[number as usize];
        let prices = self.prices[number as usize][usize::from(hyp.mode == Mode::Shown)];
        let given = self.given(number).map(|step| step.kind);
        let wanted = |kinds: &[Kind]| given.is_none_or(|kind| kinds.contains(&kind));
        // as mere talk a clause would take the square it names with it
        let clause = phrase.form == Form::Clause && !self.answers.contains_key(&number);
        if wanted(&[Kind::Aside, Kind::Place]) && !clause {
            self.aside(hyp, number, phrase, &prices, out);
        }
        let castled = phrase.form == Form::Both && talk.spec(phrase).castling.is_some();
        let told_twice = matches!(phrase.form, Form::Trade | Form::Both) && !castled;
        if wanted(&[Kind::Echo, Kind::Goto]) && !told_twice {
            self.echoes(hyp, number, phrase, &prices, out);
        }
        let gone_back = |new: &Hypothesis| {
            let event = self.event(new.event);
            event.is_some_and(|event| event.kind == Kind::Goto && event.phrase == number)
        };
        if phrase.cues.board_of && out.iter().any(gone_back) {
            return;
        }
        if wanted(&[Kind::Play]) {
            match phrase.form {
                Form::Trade => self.trade(hyp, number, phrase, &prices, out),
                Form::Both => self.both(hyp, number, phrase, &prices, out),
                _ => self.plays(hyp, number, phrase, &prices, out),
            }
        }
    }

    /// The decision to take at a phrase, if one is given.
    pub(super) fn given(&self, number: u32) -> Option<Step> {
        self.path.as_ref()?.get(&number).copied()
    }

    pub(super) fn grown(
        &mut self,
        hyp: &Hypothesis,
        event: Event,
        stack: Stack,
        here: u32,
    ) -> Hypothesis {
        let (price, mode) = (event.price, event.mode);
        if event.kind == Kind::Play {
            let parts = self.talk.phrases[event.phrase as usize].parts;
            self.tree.dwell(event.node, parts);
        }
        let favour = self.guide.as_ref().map_or(0.0, |guide| guide.price(&event));
        self.events.push(event);
        Hypothesis {
            price: hyp.price + price + favour,
            here,
            stack,
            mode,
            event: u32::try_from(self.events.len()).expect("fewer decisions"),
            rivals: hyp.rivals,
        }
    }

    /// A decision as another hearing would take it.
    #[must_use]
    pub fn step_to(&self, link: Link) -> Option<Step> {
        let event = self.event(link)?;
        Some(Step {
            kind: event.kind,
            mode: event.mode,
            path: self.tree.node(event.node).path,
            base: self.tree.node(event.base).path,
        })
    }

    pub(super) fn decided(
        hyp: &Hypothesis,
        kind: Kind,
        phrase: u32,
        price: f32,
        node: u32,
    ) -> Event {
        Event {
            before: hyp.event,
            kind,
            phrase,
            price,
            node,
            base: 0,
            silent: ArrayVec::new(),
            extra: None,
            faults: Faults::new(),
            mode: hyp.mode,
            holds: None,
        }
    }

    pub(super) fn offer(&mut self, slot: &mut QuickMap<Key, Hypothesis>, new: Hypothesis) {
        let Some(old) = slot.get_mut(&new.key()) else {
            slot.insert(new.key(), new);
            return;
        };
        let (mut winner, loser) = if new.price < old.price {
            (new, *old)
        } else {
            (*old, new)
        };
        let gap = loser.price - winner.price;
        if gap < 2.0 {
            self.rivals.push(Rival {
                event: loser.event,
                gap,
                kept: winner.event,
                before: winner.rivals,
            });
            winner.rivals = u32::try_from(self.rivals.len()).expect("fewer rivals");
        }
        *old = winner;
    }

    /// The board that was left last for another line, 0 if none was.
    fn left_last(&self, hypothesis: &Hypothesis) -> u64 {
        let left = hypothesis.stack[..lines(&hypothesis.stack)].iter().rev();
        left.map(|&(node, _)| node)
            .find(|&node| !self.tree.on_line(node, hypothesis.here))
            .map_or(0, |node| self.tree.node(node).key)
    }

    /// The cheapest, few of them with the same board.
    ///
    /// Deep in a side line the ways that differ only in how they came there are many and near, and
    /// would crowd out another main line, of which nothing is heard until the talk comes back to it.
    /// So ways that would come back to a new board are kept besides, and take no room in the beam.
    pub(super) fn pruned(&self, waiting: QuickMap<Key, Hypothesis>) -> Vec<Hypothesis> {
        let w = self.weights;
        let mut ordered: Vec<Hypothesis> = waiting.into_values().collect();
        ordered.sort_by(|a, b| {
            a.price
                .total_cmp(&b.price)
                .then_with(|| a.key().cmp(&b.key()))
        });
        let limit = ordered[0].price + w.spread;
        let mut boards: QuickMap<u64, u32> = QuickMap::default();
        let mut ways_back: QuickMap<(u64, u64), ()> = QuickMap::default();
        let (mut kept, mut in_beam) = (Vec::new(), 0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (beam, same) = (w.beam as usize, w.same_board as u32);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let siblings = w.siblings as u32;
        let mut parents: QuickMap<Link, u32> = QuickMap::default();
        for hypothesis in ordered {
            if hypothesis.price > limit || in_beam >= beam {
                break;
            }
            let key = self.tree.node(hypothesis.here).key;
            let count = boards.entry(key).or_default();
            let before = self.event(hypothesis.event).map_or(0, |event| event.before);
            let alike = parents.entry(before).or_default();
            if *count >= same + BESIDES || *alike >= siblings {
                continue;
            }
            let left = self.left_last(&hypothesis);
            let new = ways_back.insert((key, left), ()).is_none();
            if *count < same || (new && left != 0) {
                in_beam += usize::from(*count < same);
                *count += 1;
                *alike += 1;
                kept.push(hypothesis);
            }
        }
        kept
    }
}
