//! Expressions as small programs that are run over a text, going back where they fail.

use super::Held;
use super::expression::{Class, Node, Parsed, is_word};

enum Step {
    Text(Box<str>),
    Any,
    Class(Box<Class>),
    /// Goes on at the first place; at the second if that fails.
    Either(usize, usize),
    Jump(usize),
    /// Keeps the place in the text in a slot.
    Keep(usize),
    /// Leaves a loop for a place where a turn of it, begun at what a slot keeps, took nothing.
    Progress(usize, usize),
    /// Looks from so many characters before on, by the steps up to a place.
    Look {
        back: usize,
        wanted: bool,
        until: usize,
    },
    Start,
    End,
    WordEdge,
    Done,
}

/// An expression made ready.
pub struct Program {
    steps: Vec<Step>,
    names: Vec<String>,
    slots: usize,
}

/// How far a text reaches, and whether it must be matched up to there.
#[derive(Clone, Copy)]
pub struct Range {
    pub end: usize,
    pub whole: bool,
}

/// Where a run ended, and what its groups hold: two places each.
pub struct Slots {
    pub end: usize,
    kept: Vec<usize>,
}

const NOTHING: usize = usize::MAX;

impl Program {
    pub fn of(parsed: &Parsed) -> Self {
        let slots = 2 * parsed.names.len();
        let mut program = Program {
            steps: Vec::new(),
            names: parsed.names.iter().map(|&name| name.to_owned()).collect(),
            slots,
        };
        program.add(&parsed.node);
        program.steps.push(Step::Done);
        program
    }

    fn add(&mut self, node: &Node) {
        match node {
            Node::Text(text) => self.steps.push(Step::Text((*text).into())),
            Node::Any => self.steps.push(Step::Any),
            Node::Class(class) => self.steps.push(Step::Class(class.clone())),
            Node::Sequence(parts) => parts.iter().for_each(|part| self.add(part)),
            Node::Choice(choices) => self.add_choice(choices),
            Node::Repeat {
                node,
                least,
                most,
                lazy,
            } => self.add_repeat(node, *least, *most, *lazy),
            Node::Group(number, node) => {
                self.steps.push(Step::Keep(2 * number));
                self.add(node);
                self.steps.push(Step::Keep(2 * number + 1));
            }
            Node::Ahead { node, wanted } => self.add_look(node, 0, *wanted),
            Node::Behind {
                node,
                wanted,
                length,
            } => self.add_look(node, *length, *wanted),
            Node::Start => self.steps.push(Step::Start),
            Node::End => self.steps.push(Step::End),
            Node::WordEdge => self.steps.push(Step::WordEdge),
        }
    }

    /// A step that is filled in when it is known where it leads.
    fn open(&mut self) -> usize {
        self.steps.push(Step::Jump(NOTHING));
        self.steps.len() - 1
    }

    fn either(&self, first: usize, second: usize, lazy: bool) -> Step {
        if lazy {
            Step::Either(second, first)
        } else {
            Step::Either(first, second)
        }
    }

    fn add_choice(&mut self, choices: &[Node]) {
        let mut leaving = Vec::new();
        for choice in &choices[..choices.len() - 1] {
            let fork = self.open();
            self.add(choice);
            leaving.push(self.open());
            self.steps[fork] = Step::Either(fork + 1, self.steps.len());
        }
        self.add(&choices[choices.len() - 1]);
        for jump in leaving {
            self.steps[jump] = Step::Jump(self.steps.len());
        }
    }

    fn add_repeat(&mut self, node: &Node, least: usize, most: Option<usize>, lazy: bool) {
        for _ in 0..least {
            self.add(node);
        }
        let Some(most) = most else {
            return self.add_loop(node, lazy);
        };
        let mut forks = Vec::new();
        for _ in least..most {
            forks.push(self.open());
            self.add(node);
        }
        for fork in forks {
            self.steps[fork] = self.either(fork + 1, self.steps.len(), lazy);
        }
    }

    fn add_loop(&mut self, node: &Node, lazy: bool) {
        let slot = self.slots;
        self.slots += 1;
        let fork = self.open();
        self.steps.push(Step::Keep(slot));
        self.add(node);
        let progress = self.open();
        self.steps.push(Step::Jump(fork));
        let after = self.steps.len();
        self.steps[progress] = Step::Progress(slot, after);
        self.steps[fork] = self.either(fork + 1, after, lazy);
    }

    fn add_look(&mut self, node: &Node, back: usize, wanted: bool) {
        let look = self.open();
        self.add(node);
        self.steps.push(Step::Done);
        let until = self.steps.len();
        self.steps[look] = Step::Look {
            back,
            wanted,
            until,
        };
    }

    /// Runs from a place in a text; None where it does not fit.
    pub fn run(&self, text: &[char], at: usize, range: Range) -> Option<Slots> {
        let mut kept = vec![NOTHING; self.slots];
        let run = Run {
            program: self,
            text,
            range,
        };
        let end = run.from(0, at, range.whole, &mut kept)?;
        Some(Slots { end, kept })
    }

    /// The groups that hold something after a run, in the order in which they are written.
    pub fn held(&self, slots: &Slots) -> Vec<Held<'_>> {
        let pairs = slots.kept.chunks_exact(2).zip(&self.names);
        pairs
            .filter(|(pair, _)| pair[0] != NOTHING && pair[1] != NOTHING && pair[0] < pair[1])
            .map(|(pair, name)| (name.as_str(), pair[0], pair[1]))
            .collect()
    }
}

/// What to go back to.
enum Back {
    /// Another way from a step and a place.
    Way(usize, usize),
    /// What a slot kept before.
    Kept(usize, usize),
}

struct Run<'a> {
    program: &'a Program,
    text: &'a [char],
    range: Range,
}

impl Run<'_> {
    /// The place reached by the steps from one on, or None where no way leads through.
    fn from(&self, step: usize, at: usize, whole: bool, kept: &mut [usize]) -> Option<usize> {
        let mut back = vec![Back::Way(step, at)];
        while let Some(last) = back.pop() {
            match last {
                Back::Kept(slot, old) => kept[slot] = old,
                Back::Way(step, at) => {
                    let reached = self.along(step, at, whole, kept, &mut back);
                    if reached.is_some() {
                        return reached;
                    }
                }
            }
        }
        None
    }

    /// Goes one way as far as it leads.
    fn along(
        &self,
        mut step: usize,
        mut at: usize,
        whole: bool,
        kept: &mut [usize],
        back: &mut Vec<Back>,
    ) -> Option<usize> {
        loop {
            match &self.program.steps[step] {
                Step::Either(first, second) => {
                    back.push(Back::Way(*second, at));
                    step = *first;
                    continue;
                }
                Step::Jump(to) => {
                    step = *to;
                    continue;
                }
                Step::Progress(slot, out) if kept[*slot] == at => {
                    step = *out;
                    continue;
                }
                Step::Look {
                    back: length,
                    wanted,
                    until,
                } => {
                    if self.sees(step + 1, at, *length, kept) != *wanted {
                        return None;
                    }
                    step = *until;
                    continue;
                }
                Step::Keep(slot) => {
                    back.push(Back::Kept(*slot, kept[*slot]));
                    kept[*slot] = at;
                }
                Step::Done => return (!whole || at == self.range.end).then_some(at),
                Step::Start | Step::End | Step::WordEdge | Step::Progress(..) => {
                    if !self.holds(&self.program.steps[step], at) {
                        return None;
                    }
                }
                Step::Text(words) => at = self.after(words, at)?,
                taking => {
                    let next = self.next(at)?;
                    if !takes(taking, next) {
                        return None;
                    }
                    at += 1;
                }
            }
            step += 1;
        }
    }

    /// The place behind these words, if they stand there.
    fn after(&self, words: &str, mut at: usize) -> Option<usize> {
        for char in words.chars() {
            if self.next(at)? != char {
                return None;
            }
            at += 1;
        }
        Some(at)
    }

    fn next(&self, at: usize) -> Option<char> {
        (at < self.range.end).then(|| self.text[at])
    }

    /// Whether the steps of a look lead through.
    fn sees(&self, step: usize, at: usize, length: usize, kept: &mut [usize]) -> bool {
        at >= length && self.from(step, at - length, false, kept).is_some()
    }

    /// Whether something is true of a place.
    fn holds(&self, step: &Step, at: usize) -> bool {
        match step {
            Step::Start => at == 0,
            Step::End => {
                let rest = self.range.end - at;
                rest == 0 || (rest == 1 && self.text[at] == '\n')
            }
            Step::WordEdge => {
                let before = at > 0 && is_word(self.text[at - 1]);
                before != self.next(at).is_some_and(is_word)
            }
            _ => true,
        }
    }
}

fn takes(step: &Step, next: char) -> bool {
    match step {
        Step::Any => next != '\n',
        Step::Class(class) => class.has(next),
        _ => false,
    }
}
