//! What a text must hold for a wording to fit: its first character, and words of it.

use std::collections::{BTreeSet, HashMap};

use super::ASCII;
use super::expression::{Class, Node};
use super::set::Set;
use crate::quick::QuickMap;

/// The characters a text may begin with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Firsts {
    /// A bit for each character of ASCII.
    plain: u128,
    /// Whether any may stand there, or none at all.
    any: bool,
}

impl Firsts {
    /// Whether it may be the character of this code; beyond ASCII, any other or none.
    pub fn may_be(self, code: usize) -> bool {
        self.any || (code < ASCII && self.plain >> code & 1 == 1)
    }

    /// The codes it may have.
    pub fn places(self) -> impl Iterator<Item = usize> {
        (0..=ASCII).filter(move |&code| self.may_be(code))
    }

    fn of_text(text: &str) -> Self {
        let first = text.bytes().next().filter(u8::is_ascii);
        Firsts {
            plain: first.map_or(0, |code| 1 << code),
            any: !text.is_ascii(),
        }
    }

    fn of_class(class: &Class) -> Self {
        let plain = (0..128u8).filter(|&code| class.has(char::from(code)));
        Firsts {
            plain: plain.fold(0, |bits, code| bits | 1 << code),
            any: !is_plain(class),
        }
    }

    fn or(self, other: Self) -> Self {
        Firsts {
            plain: self.plain | other.plain,
            any: self.any || other.any,
        }
    }
}

/// The characters a text may begin with for a part to fit it.
pub fn firsts(node: &Node) -> Firsts {
    let (found, empty) = leading(node);
    Firsts {
        any: found.any || empty,
        ..found
    }
}

/// The first characters of a part, and whether it may be empty.
fn leading(node: &Node) -> (Firsts, bool) {
    match node {
        Node::Text(text) => (Firsts::of_text(text), false),
        Node::Any => (
            Firsts {
                plain: u128::MAX,
                any: true,
            },
            false,
        ),
        Node::Class(class) => (Firsts::of_class(class), false),
        Node::Sequence(parts) => {
            let mut found = Firsts::default();
            for part in parts {
                let (first, empty) = leading(part);
                found = found.or(first);
                if !empty {
                    return (found, false);
                }
            }
            (found, true)
        }
        Node::Choice(choices) => choices.iter().map(leading).fold(
            (Firsts::default(), false),
            |(found, empty), (first, may)| (found.or(first), empty || may),
        ),
        Node::Repeat { node, least, .. } => {
            let (first, empty) = leading(node);
            (first, empty || *least == 0)
        }
        Node::Group(_, node) => leading(node),
        _ => (Firsts::default(), true),
    }
}

/// Whether all characters of a class are told one by one, in ASCII.
fn is_plain(class: &Class) -> bool {
    class.kinds.is_empty() && !class.negated && class.ranges.iter().all(|range| range.1.is_ascii())
}

/// The numbers of words (or of letters that stand for phrases) of which one must stand in a text.
pub type Key = Vec<usize>;

/// The words that wordings need, numbered; and of words seen in texts, which of them they hold.
#[derive(Default)]
pub struct Vocabulary {
    numbers: QuickMap<String, usize>,
    /// How often each stands in wordings.
    counts: Vec<usize>,
    held: HashMap<String, Vec<usize>>,
}

impl Vocabulary {
    /// The keys of a part: of each, one word must stand in any text that it fits.
    pub fn keys(&mut self, node: &Node) -> Vec<Key> {
        match node {
            Node::Text(text) => words_of(text).map(|word| vec![self.number(word)]).collect(),
            Node::Sequence(parts) => parts.iter().flat_map(|part| self.keys(part)).collect(),
            Node::Class(class) => self.letters(class).into_iter().collect(),
            Node::Choice(choices) => {
                let each = choices.iter().map(|choice| self.rarest(choice));
                let one: Option<Vec<Key>> = each.collect();
                one.map(|keys| keys.concat()).into_iter().collect()
            }
            Node::Repeat { node, least, .. } if *least > 0 => self.keys(node),
            Node::Group(_, node) => self.keys(node),
            _ => Vec::new(),
        }
    }

    /// The key of a part that fits the fewest texts, as far as is known yet.
    fn rarest(&mut self, node: &Node) -> Option<Key> {
        if let Node::Text(text) = node {
            let counted = words_of(text).map(|word| {
                let number = self.number(word);
                (self.counts[number], number)
            });
            return counted.min().map(|(_, number)| vec![number]);
        }
        let keys = self.keys(node);
        keys.into_iter().min_by_key(|key| self.how_often(key))
    }

    /// The letters of phrases, where a class has no other characters.
    fn letters(&mut self, class: &Class) -> Option<Key> {
        let mut ranges = class.ranges.iter();
        let all = ranges.all(|range| range.0 == range.1 && range.0.is_ascii_uppercase());
        let letters = class.ranges.iter().map(|range| range.0);
        (all && is_plain(class)).then(|| {
            letters
                .map(|char| self.number(char.encode_utf8(&mut [0; 4])))
                .collect()
        })
    }

    fn number(&mut self, word: &str) -> usize {
        let number = match self.numbers.get(word) {
            Some(&number) => number,
            None => {
                self.numbers.insert(word.to_owned(), self.counts.len());
                self.counts.push(0);
                self.counts.len() - 1
            }
        };
        self.counts[number] += 1;
        number
    }

    /// How often the words of a key stand in wordings.
    fn how_often(&self, key: &Key) -> usize {
        key.iter().map(|&word| self.counts[word]).sum()
    }

    /// Puts the keys that fit the fewest texts in front: those whose words few wordings need.
    pub fn rarest_first(&self, keys: &mut Vec<Key>) {
        keys.sort_by_key(|key| self.how_often(key));
        keys.dedup();
    }

    /// How many words there are.
    pub fn size(&self) -> usize {
        self.counts.len()
    }

    /// The words a text holds.
    pub fn present(&mut self, text: &[char]) -> Set {
        let mut present = Set::below(self.size());
        let words = text.split(|&char| char == ' ');
        for word in words.filter(|word| !word.is_empty()) {
            let word: String = word.iter().collect();
            let parts = || parts_of(&self.numbers, &word);
            let held = self.held.entry(word.clone()).or_insert_with(parts);
            held.iter().for_each(|&number| present.add(number));
        }
        present
    }
}

/// The numbers of the needed words that stand in a word.
fn parts_of(numbers: &QuickMap<String, usize>, word: &str) -> Vec<usize> {
    let places: Vec<usize> = word
        .char_indices()
        .map(|(at, _)| at)
        .chain([word.len()])
        .collect();
    let mut found = BTreeSet::new();
    for (n, &begin) in places.iter().enumerate() {
        found.extend(
            places[n + 1..]
                .iter()
                .filter_map(|&end| numbers.get(&word[begin..end])),
        );
    }
    found.into_iter().collect()
}

/// The words of a text that are not too short to tell much.
fn words_of(text: &str) -> impl Iterator<Item = &str> {
    let words = text.split(|char: char| !char.is_ascii_lowercase());
    words.filter(|word| word.len() >= SHORTEST)
}

/// Shorter words stand in most texts.
const SHORTEST: usize = 3;
