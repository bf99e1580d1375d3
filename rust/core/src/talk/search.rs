//! The beam search over the readings of a whole talk.

use std::collections::HashMap;

use arrayvec::ArrayVec;
use shakmaty::san::{San, SanPlus};
use shakmaty::{Bitboard, Board, Color, Position, Rank, Role, Square, attacks};

use super::fit::{Choice, Faults, Fitter, stands};
use super::guide::Guide;
use super::quick::QuickMap;
use super::readings::{Prices, elsewhere, leaving, prices, skip, staying};
use super::tree::{Book, Counts, Legal, Tree};
use super::weights::Weights;
use super::words::{Form, Person, Phrase, Spec, Talk};

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

/// What the teacher has answered about a phrase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It is no move.
    OnlyTalk,
    /// It is this move, in short notation.
    Move(String),
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
type Stack = [(u32, Mode); STACK];
const STACK: usize = 5;
const EMPTY: (u32, Mode) = (u32::MAX, Mode::Mentioned);

fn pushed(stack: &Stack, place: (u32, Mode)) -> Stack {
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

fn lines(stack: &Stack) -> usize {
    stack.iter().take_while(|item| **item != EMPTY).count()
}

fn cut_to(stack: &Stack, size: usize) -> Stack {
    let mut new = *stack;
    new[size..].fill(EMPTY);
    new
}

/// A way to understand the talk so far.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)]
pub struct Hypothesis {
    pub price: f32,
    pub here: u32,
    stack: Stack,
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

/// A place a move may be made from.
#[derive(Clone, Copy)]
struct Base {
    node: u32,
    price: f32,
    stack: Stack,
    mode: Mode,
    current: bool,
    /// The move of the line at hand that another one here would replace.
    instead: Option<Legal>,
}

/// A move chosen for a phrase, with the way to it.
struct Chosen<'c> {
    choice: &'c Choice,
    node: u32,
    silent: ArrayVec<u32, 3>,
    toll: f32,
}

/// The hypotheses waiting at each place of the talk.
pub(super) type Agenda = Vec<QuickMap<Key, Hypothesis>>;

/// One hearing of one talk.
pub struct Hearing<'a> {
    talk: &'a Talk,
    weights: &'a Weights,
    me: Option<Color>,
    answers: &'a HashMap<u32, Answer>,
    /// What the talk is known to tell, where the search is to be led by it.
    pub guide: Option<Guide>,
    /// The decisions to take, by phrase, where they are given; at other phrases nothing is decided.
    pub path: Option<HashMap<u32, Step>>,
    /// All boards looked at.
    pub tree: Tree<'a>,
    fitter: Fitter<'a>,
    thought: QuickMap<(u32, u32), bool>,
    events: Vec<Event>,
    rivals: Vec<Rival>,
    prices: Vec<[Prices; 2]>,
    bar: f32,
    floor: f32,
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
            tree: Tree::new(book, theme, counts, weights),
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
        seen: &mut dyn FnMut(&Self, usize, Vec<Hypothesis>) -> Vec<Hypothesis>,
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

    fn step(
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
        let answered = phrases.clone().any(|at| {
            self.answers
                .contains_key(&u32::try_from(at).expect("few phrases"))
        });
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

    /// Whether the last decision is what the teacher has answered.
    fn agrees(&self, hypothesis: &Hypothesis, answer: &Answer) -> bool {
        let event = self.event(hypothesis.event);
        let played = event.filter(|event| event.kind == Kind::Play);
        match (answer, played) {
            (Answer::OnlyTalk, played) => played.is_none(),
            (Answer::Move(_), None) => false,
            (Answer::Move(san), Some(event)) => self.san(event.node) == *san,
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

    fn read(&mut self, hyp: &Hypothesis, number: u32, out: &mut Vec<Hypothesis>) {
        let talk = self.talk;
        let phrase = &talk.phrases[number as usize];
        let prices = self.prices[number as usize][usize::from(hyp.mode == Mode::Shown)];
        let given = self.given(number).map(|step| step.kind);
        let wanted = |kinds: &[Kind]| given.is_none_or(|kind| kinds.contains(&kind));
        if wanted(&[Kind::Aside, Kind::Place]) {
            self.aside(hyp, number, phrase, &prices, out);
        }
        let told_twice = matches!(phrase.form, Form::Trade | Form::Both);
        if wanted(&[Kind::Echo, Kind::Goto]) && !told_twice {
            self.echoes(hyp, number, phrase, &prices, out);
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
    fn given(&self, number: u32) -> Option<Step> {
        self.path.as_ref()?.get(&number).copied()
    }

    fn grown(&mut self, hyp: &Hypothesis, event: Event, stack: Stack, here: u32) -> Hypothesis {
        let (price, mode) = (event.price, event.mode);
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

    fn decided(hyp: &Hypothesis, kind: Kind, phrase: u32, price: f32, node: u32) -> Event {
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

    // --- only talk ---------------------------------------------------------------------------

    fn aside(
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
    fn strangeness(&mut self, here: u32, phrase: &Phrase) -> f32 {
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
    fn thinkable(&mut self, here: u32, spec: u32) -> bool {
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
    fn truth(&self, here: u32, phrase: &Phrase) -> (f32, Option<bool>) {
        let cues = &phrase.cues;
        if cues.unreal || cues.intent || cues.negated || cues.supposed {
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

    // --- moves already made --------------------------------------------------------------------

    fn echoes(
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
        if !spec.full() && spec.pieces.is_empty() && spec.captured.is_none() {
            return;
        }
        let furthest = if cues.back > 0 { 60 } else { 24 };
        let line: Vec<u32> = self.tree.back(hyp.here).take(furthest + 1).collect();
        let mut matches = 0;
        for (age, &node) in line.iter().enumerate() {
            if !self.fitter.said(&mut self.tree, node, phrase.spec)
                || cues.side == Some(self.tree.turn(node))
            {
                continue;
            }
            #[allow(clippy::cast_precision_loss)]
            let age = age as f32;
            let mut price = prices.echo + prices.words + (w.echo_age * age).min(w.echo_age_most);
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
            if (cues.intent && cues.back == 0) || phrase.cut || price > 6.0 {
                // neither gone back to nor found again
            } else if cues.instead_of {
                out.push(self.gone(hyp, number, phrase, parent, 0.3 + 0.1 * age));
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
    fn stood(&mut self, hyp: &Hypothesis, number: u32, phrase: &Phrase, out: &mut Vec<Hypothesis>) {
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
        }
    }

    /// Whether the move to a board was not said in this understanding.
    fn unsaid(&self, hyp: &Hypothesis, node: u32) -> bool {
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
    fn playable(&mut self, here: u32, phrase: &Phrase) -> bool {
        self.fitter
            .resolve_for(&mut self.tree, here, phrase.spec, phrase.cues.side)
            .first()
            .is_some_and(|choice| choice.faults.is_empty() && choice.price < 3.5)
    }

    /// Going back to a move on a line left before.
    fn returns_to(
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
                if !self.fitter.said(&mut self.tree, other, phrase.spec)
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
                    + elsewhere(w, phrase);
                let mut event = Self::decided(hyp, Kind::Goto, number, price, place);
                event.mode = left.1;
                out.push(self.grown(hyp, event, stack, place));
                break;
            }
        }
    }

    fn gone(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        node: u32,
        toll: f32,
    ) -> Hypothesis {
        let event = Self::decided(
            hyp,
            Kind::Goto,
            number,
            toll + elsewhere(self.weights, phrase),
            node,
        );
        let stack = pushed(&hyp.stack, (hyp.here, hyp.mode));
        self.grown(hyp, event, stack, node)
    }

    // --- moves -----------------------------------------------------------------------------------

    fn plays(
        &mut self,
        hyp: &Hypothesis,
        number: u32,
        phrase: &Phrase,
        prices: &Prices,
        out: &mut Vec<Hypothesis>,
    ) {
        let limit = (prices.aside + 7.5).min(self.bar - hyp.price);
        let fits_here = self.playable(hyp.here, phrase);
        let behind = hyp.price - self.floor;
        let full = self.talk.spec(phrase).full();
        let from = self.given(number).map(|step| step.base);
        for base in self.bases(hyp, phrase) {
            if from.is_some_and(|from| from != self.tree.node(base.node).path) {
                continue;
            }
            let cost = base.price + prices.play.min(prices.branch);
            if cost > limit || (base.price > 4.2 && (fits_here || behind > 9.0)) {
                continue;
            }
            let count = if base.current { 4 } else { 2 };
            let choices =
                self.fitter
                    .resolve_for(&mut self.tree, base.node, phrase.spec, phrase.cues.side);
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

    #[allow(clippy::too_many_arguments)]
    fn played(
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

    /// What it costs that a pronoun names the other side than the one that has moved.
    fn stranger(&self, node: u32, person: Person) -> f32 {
        let Some(me) = self.me else { return 0.0 };
        let mine = self.tree.turn(node) != me;
        match person {
            Person::None => 0.0,
            Person::Me if mine => 0.0,
            Person::Other if !mine => 0.0,
            _ => self.weights.stranger,
        }
    }

    fn bases(&self, hyp: &Hypothesis, phrase: &Phrase) -> Vec<Base> {
        let w = self.weights;
        let cues = &phrase.cues;
        let mut stay = staying(w, phrase);
        if cues.either {
            stay += w.stay_either;
        } else if cues.alternative > 0 {
            stay += w.stay_alternative;
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

    fn returns(&self, hyp: &Hypothesis, phrase: &Phrase, out: &mut Vec<Base>) {
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
                price: (price + told + if cues.either { w.return_either } else { 0.0 }).max(0.1),
                stack: cut_to(&hyp.stack, size - 1 - depth),
                mode: before,
                current: false,
                instead: None,
            });
            mode = before;
        }
    }

    /// What it costs to leave a side line without saying so.
    fn leaving(&self, mode: Mode, phrase: &Phrase) -> f32 {
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
    fn earlier(&self, hyp: &Hypothesis, phrase: &Phrase, out: &mut Vec<Base>) {
        let w = self.weights;
        let cues = &phrase.cues;
        let stack = pushed(&hyp.stack, (hyp.here, hyp.mode));
        let most = if cues.begins >= 0.6 {
            w.earlier_most_break
        } else {
            w.earlier_most
        };
        let told = leaving(w, phrase);
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
            let price = (price + told).max(0.1);
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

    /// The move said, after one or two that were not.
    fn after_silence(
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
    fn silences(&mut self, node: u32, hint: Option<Square>) -> Vec<(f32, Legal)> {
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
                if self.brings_to_bear(node, &item, square) {
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
    fn tells(&self, node: u32, item: &Legal) -> bool {
        let child = self.tree.child(node, item);
        let guide = self.guide.as_ref();
        guide.is_some_and(|guide| child.is_some_and(|child| guide.tells(child)))
    }

    fn led(&self) -> bool {
        self.guide.as_ref().is_some_and(|guide| guide.leads)
    }

    /// Adds the moves that the talk is known to leave out, were they ever so unusual.
    fn add_told(&mut self, node: u32, found: &mut Vec<(f32, Legal)>) {
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

    fn brings_to_bear(&self, node: u32, item: &Legal, square: Square) -> bool {
        let board = self.tree.node(node).board.board();
        let Some(piece) = board.piece_at(item.from) else {
            return false;
        };
        let without = board.occupied().without(item.from).with(item.to);
        let before = attacks::attacks(item.from, piece, board.occupied()).contains(square);
        !before && attacks::attacks(item.to, piece, without).contains(square)
    }

    /// The legal moves of a board with how usual they are, the most usual first.
    fn usual(&mut self, node: u32) -> Vec<(f32, Legal)> {
        let legal = self.tree.legal(node);
        let prices = self.tree.usual(node);
        let mut out: Vec<(f32, Legal)> =
            prices.iter().copied().zip(legal.iter().copied()).collect();
        out.sort_by(|a, b| a.0.total_cmp(&b.0));
        out
    }

    #[allow(clippy::too_many_arguments)]
    fn after_two(
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
    fn possible(&self, node: u32, phrase: &Phrase) -> bool {
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

    /// Two captures on one square, told in one phrase.
    fn trade(
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
                if answer.to == item.to && answer.captured == Some(traded) {
                    event.node = self.tree.play(first, &answer);
                    event.extra = Some(first);
                    event.price = so_far + 0.5 * price;
                    out.push(self.grown(hyp, event.clone(), hyp.stack, event.node));
                }
            }
        }
    }

    /// The same words for one move by each side.
    fn both(
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

    // --- keeping the best ------------------------------------------------------------------------

    fn offer(&mut self, slot: &mut QuickMap<Key, Hypothesis>, new: Hypothesis) {
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

    /// The cheapest, few of them with the same board.
    fn pruned(&self, waiting: QuickMap<Key, Hypothesis>) -> Vec<Hypothesis> {
        let w = self.weights;
        let mut ordered: Vec<Hypothesis> = waiting.into_values().collect();
        ordered.sort_by(|a, b| {
            a.price
                .total_cmp(&b.price)
                .then_with(|| a.key().cmp(&b.key()))
        });
        let limit = ordered[0].price + w.spread;
        let mut boards: QuickMap<u64, u32> = QuickMap::default();
        let mut kept = Vec::new();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (beam, same) = (w.beam as usize, w.same_board as u32);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let siblings = w.siblings as u32;
        let mut parents: QuickMap<Link, u32> = QuickMap::default();
        for hypothesis in ordered {
            if hypothesis.price > limit || kept.len() >= beam {
                break;
            }
            let key = self.tree.node(hypothesis.here).key;
            let count = boards.entry(key).or_default();
            let before = self.event(hypothesis.event).map_or(0, |event| event.before);
            let alike = parents.entry(before).or_default();
            if *count < same && *alike < siblings {
                *count += 1;
                *alike += 1;
                kept.push(hypothesis);
            }
        }
        kept
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
