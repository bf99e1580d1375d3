//! Ways of saying something, found at a place in a text: many expressions, tried together.
//!
//! A wording is a regular expression over a normal form of English, in the writing of Python's `re`
//! as far as wordings use it (`expression`). Each is turned into a small program that backtracks as
//! `re` does, so that what a group holds is what a reader of `re` expects (`program`). Of more than
//! a thousand wordings few are tried on a text: those whose words all stand in it (`needed`).

mod expression;
mod needed;
mod program;
mod set;

#[cfg(test)]
mod tests;

use std::collections::HashMap;
use std::sync::OnceLock;

pub use expression::Fault;
use needed::{Firsts, Key, Vocabulary};
use program::{Program, Range};
use set::Set;

/// Names that stand in braces in a wording, each with the expression it stands for.
pub type Names = HashMap<String, String>;

/// A wording as it is told.
pub struct Told<'a> {
    /// What is said.
    pub expression: &'a str,
    /// What must not follow it; empty for nothing.
    pub guard: &'a str,
}

/// What a group holds: its name, from where to where.
pub type Held<'a> = (&'a str, usize, usize);

/// A wording that fits a text.
#[derive(Debug, PartialEq, Eq)]
pub struct Fit<'a> {
    /// Its number.
    pub wording: usize,
    /// Where it begins.
    pub begin: usize,
    /// Where it ends.
    pub end: usize,
    /// The groups that hold something, in the order in which they are written.
    pub groups: Vec<Held<'a>>,
}

struct Wording {
    /// What is said, with what its names stand for.
    expression: String,
    /// Made when it is first run, which most never are.
    program: OnceLock<Program>,
    guard: Option<Program>,
    firsts: Firsts,
    keys: Vec<Key>,
}

/// A list of wordings, numbered from 0.
pub struct Wordings {
    all: Vec<Wording>,
    vocabulary: Vocabulary,
    index: Index,
}

/// Which wordings may fit, by what is quickly seen of a text.
struct Index {
    /// By the words of their rarest key.
    by_word: Vec<Set>,
    /// Those without a key.
    always: Set,
    /// By the first character, if it is one of ASCII, or another or none.
    by_first: Vec<Set>,
}

const ASCII: usize = 128;

impl Wordings {
    /// The wordings, ready to be found.
    ///
    /// # Errors
    /// The number of the first wording that cannot be read, and why.
    pub fn new(told: &[Told], names: &Names) -> Result<Self, (usize, Fault)> {
        let mut vocabulary = Vocabulary::default();
        let mut all = Vec::with_capacity(told.len());
        for (number, one) in told.iter().enumerate() {
            let wording = Wording::new(one, names, &mut vocabulary);
            all.push(wording.map_err(|fault| (number, fault))?);
        }
        for wording in &mut all {
            vocabulary.rarest_first(&mut wording.keys);
        }
        let index = Index::of(&all, vocabulary.size());
        Ok(Wordings {
            all,
            vocabulary,
            index,
        })
    }

    /// The wordings that fit from `begin` to one of the `ends` (the last one first), by number.
    pub fn beginning(&mut self, text: &[char], begin: usize, ends: &[usize]) -> Vec<Fit<'_>> {
        self.at(text, begin, |wording| wording.longest(text, begin, ends))
    }

    /// The wordings that fit from `begin` on, each as far as it leads, by number.
    pub fn leading(&mut self, text: &[char], begin: usize) -> Vec<Fit<'_>> {
        let range = Range {
            end: text.len(),
            whole: false,
        };
        self.at(text, begin, |wording| {
            let slots = wording.program().run(text, begin, range)?;
            Some((slots.end, wording.program().held(&slots)))
        })
    }

    /// What the wordings that may begin at a place are found to be there.
    fn at<'a>(
        &'a mut self,
        text: &[char],
        begin: usize,
        find: impl Fn(&'a Wording) -> Option<(usize, Vec<Held<'a>>)>,
    ) -> Vec<Fit<'a>> {
        let present = self.vocabulary.present(&text[begin..]);
        let mut near = self.index.by_words(&present);
        near.meet(&self.index.by_first[place_of(text.get(begin))]);
        let mut found = Vec::new();
        for number in near.numbers() {
            let wording = &self.all[number];
            if wording.may_fit(&present)
                && let Some((end, groups)) = find(wording)
            {
                found.push(Fit {
                    wording: number,
                    begin,
                    end,
                    groups,
                });
            }
        }
        found
    }

    /// All places where the wordings fit, by number and then from left to right.
    pub fn anywhere(&mut self, text: &[char]) -> Vec<Fit<'_>> {
        let present = self.vocabulary.present(text);
        let mut found = Vec::new();
        for number in self.index.by_words(&present).numbers() {
            let wording = &self.all[number];
            if wording.may_fit(&present) {
                wording.each(text, |begin, end, groups| {
                    found.push(Fit {
                        wording: number,
                        begin,
                        end,
                        groups,
                    });
                });
            }
        }
        found
    }
}

impl Index {
    fn of(all: &[Wording], words: usize) -> Self {
        let none = Set::below(all.len());
        let mut index = Index {
            by_word: vec![none.clone(); words],
            always: none.clone(),
            by_first: vec![none; ASCII + 1],
        };
        for (number, wording) in all.iter().enumerate() {
            match wording.keys.first() {
                Some(key) => key.iter().for_each(|&word| index.by_word[word].add(number)),
                None => index.always.add(number),
            }
            for place in wording.firsts.places() {
                index.by_first[place].add(number);
            }
        }
        index
    }

    fn by_words(&self, present: &Set) -> Set {
        let mut near = self.always.clone();
        for word in present.numbers() {
            near.join(&self.by_word[word]);
        }
        near
    }
}

/// Where wordings that may begin with a character stand in the index.
fn place_of(first: Option<&char>) -> usize {
    let plain = first.filter(|char| char.is_ascii());
    plain.map_or(ASCII, |&char| char as usize)
}

impl Wording {
    fn new(told: &Told, names: &Names, vocabulary: &mut Vocabulary) -> Result<Self, Fault> {
        let full = expression::with_names(told.expression, names);
        let node = expression::read(&full)?.node;
        let guard = match told.guard {
            "" => None,
            guard => {
                let guard = expression::with_names(guard, names);
                Some(Program::of(&expression::read(&guard)?))
            }
        };
        Ok(Wording {
            firsts: needed::firsts(&node),
            keys: vocabulary.keys(&node),
            program: OnceLock::new(),
            expression: full,
            guard,
        })
    }

    fn program(&self) -> &Program {
        let read = || expression::read(&self.expression).expect("it was read before");
        self.program.get_or_init(|| Program::of(&read()))
    }

    fn may_fit(&self, present: &Set) -> bool {
        let stands = |key: &Key| key.iter().any(|&word| present.has(word));
        self.keys.iter().all(stands)
    }

    fn guarded(&self, text: &[char], at: usize) -> bool {
        let range = Range {
            end: text.len(),
            whole: false,
        };
        self.guard
            .as_ref()
            .is_some_and(|guard| guard.run(text, at, range).is_some())
    }

    fn longest(
        &self,
        text: &[char],
        begin: usize,
        ends: &[usize],
    ) -> Option<(usize, Vec<Held<'_>>)> {
        self.program().run(
            text,
            begin,
            Range {
                end: text.len(),
                whole: false,
            },
        )?;
        ends.iter()
            .take_while(|&&end| end > begin)
            .find_map(|&end| {
                let slots = self
                    .program()
                    .run(text, begin, Range { end, whole: true })?;
                (!self.guarded(text, end)).then(|| (end, self.program().held(&slots)))
            })
    }

    fn each<'a>(&'a self, text: &[char], mut take: impl FnMut(usize, usize, Vec<Held<'a>>)) {
        let range = Range {
            end: text.len(),
            whole: false,
        };
        let mut at = 0;
        while at <= text.len() {
            let run = || self.program().run(text, at, range);
            match self
                .firsts
                .may_be(place_of(text.get(at)))
                .then(run)
                .flatten()
            {
                Some(slots) => {
                    let end = slots.end;
                    take(at, end, self.program().held(&slots));
                    at = end.max(at + 1);
                }
                None => at += 1,
            }
        }
    }
}
