//! Reads the expressions of wordings: the writing of Python's `re`, as far as wordings use it.

use std::fmt;

use super::Names;

/// Why an expression cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong, in a few words.
    pub what: &'static str,
    /// At which character.
    pub at: usize,
    /// The expression, with what its names stand for.
    pub expression: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} at {} of {:?}", self.what, self.at, self.expression)
    }
}

/// A part of an expression.
#[derive(Debug, Clone)]
pub enum Node<'a> {
    /// These characters.
    Text(&'a str),
    /// Any character but the end of a line.
    Any,
    Class(Box<Class>),
    Sequence(Vec<Node<'a>>),
    Choice(Vec<Node<'a>>),
    Repeat {
        node: Box<Node<'a>>,
        least: usize,
        most: Option<usize>,
        lazy: bool,
    },
    /// What is held under the name of this number.
    Group(usize, Box<Node<'a>>),
    /// A look ahead; `wanted` unless it must not stand there.
    Ahead {
        node: Box<Node<'a>>,
        wanted: bool,
    },
    /// A look back over so many characters.
    Behind {
        node: Box<Node<'a>>,
        wanted: bool,
        length: usize,
    },
    Start,
    End,
    WordEdge,
}

/// A set of characters.
#[derive(Debug, Clone, Default)]
pub struct Class {
    pub ranges: Vec<(char, char)>,
    pub kinds: Vec<Kind>,
    pub negated: bool,
}

/// Kinds of characters written with a backslash.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    Word,
    Digit,
    Space,
    NoSpace,
}

impl Class {
    pub fn has(&self, char: char) -> bool {
        let told = self
            .ranges
            .iter()
            .any(|&(first, last)| first <= char && char <= last)
            || self.kinds.iter().any(|kind| kind.has(char));
        told != self.negated
    }
}

impl Kind {
    fn has(self, char: char) -> bool {
        match self {
            Kind::Word => is_word(char),
            Kind::Digit => char.is_numeric(),
            Kind::Space => char.is_whitespace(),
            Kind::NoSpace => !char.is_whitespace(),
        }
    }
}

/// Whether a character belongs to a word.
pub fn is_word(char: char) -> bool {
    char.is_alphanumeric() || char == '_'
}

/// An expression as it was read, with the names of its groups. It borrows from the expression.
pub struct Parsed<'a> {
    pub node: Node<'a>,
    pub names: Vec<&'a str>,
}

/// Reads an expression in which no names stand for others any more.
pub fn read(full: &str) -> Result<Parsed<'_>, Fault> {
    let mut reader = Reader {
        text: full,
        at: 0,
        names: Vec::new(),
    };
    let node = reader.choice().and_then(|node| match reader.peek() {
        None => Ok(node),
        Some(_) => Err("unbalanced bracket"),
    });
    node.map(|node| Parsed {
        node,
        names: reader.names,
    })
    .map_err(|what| Fault {
        what,
        at: full[..reader.at].chars().count(),
        expression: full.to_owned(),
    })
}

/// The expression with what its names in braces stand for: `{side2}` as a group of that name.
pub fn with_names(written: &str, names: &Names) -> String {
    let mut full = String::with_capacity(2 * written.len());
    let mut rest = written;
    while let Some(open) = rest.find('{') {
        let close = rest[open..].find('}').map_or(rest.len(), |at| open + at);
        let name = &rest[open + 1..close];
        let plain = name.trim_end_matches(|c: char| c.is_ascii_digit());
        full.push_str(&rest[..open]);
        match names.get(plain).filter(|_| !plain.is_empty()) {
            Some(group) if group.starts_with('[') => {
                full.push_str(&format!("(?P<{name}>{group})"));
            }
            Some(other) => full.push_str(other),
            None => full.push_str(&rest[open..(close + 1).min(rest.len())]),
        }
        rest = rest.get(close + 1..).unwrap_or("");
    }
    full.push_str(rest);
    full
}

/// Reads from a place of a text, told in bytes.
struct Reader<'a> {
    text: &'a str,
    at: usize,
    names: Vec<&'a str>,
}

type Read<'a> = Result<Node<'a>, &'static str>;

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn next(&mut self) -> Result<char, &'static str> {
        let char = self.peek().ok_or("it ends too early")?;
        self.at += char.len_utf8();
        Ok(char)
    }

    /// The character just passed.
    fn last(&self) -> &'a str {
        let before = self.text[..self.at].char_indices().next_back();
        &self.text[before.map_or(0, |(at, _)| at)..self.at]
    }

    /// Whether these characters come next; they are passed then.
    fn takes(&mut self, words: &str) -> bool {
        let there = self.rest().starts_with(words);
        if there {
            self.at += words.len();
        }
        there
    }

    fn choice(&mut self) -> Read<'a> {
        let mut choices = vec![self.sequence()?];
        while self.takes("|") {
            choices.push(self.sequence()?);
        }
        let only = choices.len() == 1;
        Ok(if only {
            choices.remove(0)
        } else {
            Node::Choice(choices)
        })
    }

    fn sequence(&mut self) -> Read<'a> {
        let words = self.words();
        if self.at_end() && !words.is_empty() {
            return Ok(Node::Text(words)); // most are no more than that
        }
        let mut parts = match words.is_empty() {
            true => Vec::new(),
            false => vec![Node::Text(words)],
        };
        while !self.at_end() {
            let words = self.words();
            if words.is_empty() {
                let part = self.part()?;
                parts.push(self.repeated(part)?);
            } else {
                parts.push(Node::Text(words));
            }
        }
        Ok(Node::Sequence(parts))
    }

    /// Whether a sequence ends here.
    fn at_end(&self) -> bool {
        matches!(self.peek(), None | Some('|' | ')'))
    }

    /// The characters that come next and stand for themselves, each once.
    fn words(&mut self) -> &'a str {
        let rest = self.rest();
        let special = rest.find(is_special).unwrap_or(rest.len());
        let mut words = &rest[..special];
        if rest[special..].starts_with(['*', '+', '?', '{']) {
            words = words
                .char_indices()
                .next_back()
                .map_or("", |(at, _)| &words[..at]);
        }
        self.at += words.len();
        words
    }

    fn part(&mut self) -> Read<'a> {
        match self.next()? {
            '(' => self.group(),
            '[' => Ok(Node::Class(Box::new(self.class()?))),
            '.' => Ok(Node::Any),
            '^' => Ok(Node::Start),
            '$' => Ok(Node::End),
            '\\' => self.escaped(),
            '*' | '+' | '?' => Err("nothing to repeat"),
            _ => Ok(Node::Text(self.last())),
        }
    }

    fn group(&mut self) -> Read<'a> {
        let node = if self.takes("?:") {
            self.choice()?
        } else if self.takes("?=") {
            self.ahead(true)?
        } else if self.takes("?!") {
            self.ahead(false)?
        } else if self.takes("?<=") {
            self.behind(true)?
        } else if self.takes("?<!") {
            self.behind(false)?
        } else if self.takes("?P<") {
            self.named()?
        } else if self.peek() == Some('?') {
            return Err("a group of a kind wordings do not use");
        } else {
            self.choice()?
        };
        if self.takes(")") {
            Ok(node)
        } else {
            Err("a bracket is not closed")
        }
    }

    fn ahead(&mut self, wanted: bool) -> Read<'a> {
        let node = Box::new(self.choice()?);
        Ok(Node::Ahead { node, wanted })
    }

    fn behind(&mut self, wanted: bool) -> Read<'a> {
        let node = self.choice()?;
        let length = length_of(&node).ok_or("a look back over words of several lengths")?;
        Ok(Node::Behind {
            node: Box::new(node),
            wanted,
            length,
        })
    }

    fn named(&mut self) -> Read<'a> {
        let begin = self.at;
        while self.peek() != Some('>') {
            self.next()?;
        }
        let name = &self.text[begin..self.at];
        self.at += 1;
        let number = self.names.len();
        self.names.push(name);
        Ok(Node::Group(number, Box::new(self.choice()?)))
    }

    fn class(&mut self) -> Result<Class, &'static str> {
        let mut class = Class {
            negated: self.takes("^"),
            ..Class::default()
        };
        let begin = self.at;
        while self.peek() != Some(']') || self.at == begin {
            let first = self.next()?;
            if first == '\\' {
                match kind_of(self.next()?) {
                    Ok(kind) => class.kinds.push(kind),
                    Err(plain) => class.ranges.push((plain, plain)),
                }
                continue;
            }
            let ranged = self.peek() == Some('-') && !self.rest().starts_with("-]");
            let last = if ranged && self.takes("-") {
                self.next()?
            } else {
                first
            };
            class.ranges.push((first, last));
        }
        self.at += 1;
        Ok(class)
    }

    fn escaped(&mut self) -> Read<'a> {
        let char = self.next()?;
        if char == 'b' {
            return Ok(Node::WordEdge);
        }
        match kind_of(char) {
            Ok(kind) => Ok(Node::Class(Box::new(Class {
                kinds: vec![kind],
                ..Class::default()
            }))),
            Err(plain) if plain.is_alphanumeric() => Err("a backslash wordings do not use"),
            Err(_) => Ok(Node::Text(self.last())),
        }
    }

    /// A part with what may stand behind it: how often it comes.
    fn repeated(&mut self, part: Node<'a>) -> Read<'a> {
        let (least, most) = if self.takes("?") {
            (0, Some(1))
        } else if self.takes("*") {
            (0, None)
        } else if self.takes("+") {
            (1, None)
        } else if let Some(counts) = self.counts() {
            counts
        } else {
            return Ok(part);
        };
        let lazy = self.takes("?");
        if matches!(self.peek(), Some('*' | '+' | '?')) {
            return Err("more than one repetition");
        }
        Ok(Node::Repeat {
            node: Box::new(part),
            least,
            most,
            lazy,
        })
    }

    /// Counts in braces: `{2}`, `{4,}`, `{3,30}`. Other braces are read as they stand.
    fn counts(&mut self) -> Option<(usize, Option<usize>)> {
        let inside = self.rest().strip_prefix('{')?;
        let inside = &inside[..inside.find('}')?];
        let (least, most) = match inside.split_once(',') {
            Some((least, "")) => (least, None),
            Some((least, most)) => (least, Some(most.parse().ok()?)),
            None => (inside, Some(inside.parse().ok()?)),
        };
        let least = if least.is_empty() {
            0
        } else {
            least.parse().ok()?
        };
        self.at += inside.len() + "{}".len();
        Some((least, most))
    }
}

/// Whether a character means something else than itself.
fn is_special(char: char) -> bool {
    let brackets = matches!(char, '(' | ')' | '[' | ']' | '{' | '}');
    brackets || matches!(char, '|' | '.' | '^' | '$' | '*' | '+' | '?' | '\\')
}

/// The kind of characters a letter behind a backslash stands for, or the letter itself.
fn kind_of(char: char) -> Result<Kind, char> {
    match char {
        'w' => Ok(Kind::Word),
        'd' => Ok(Kind::Digit),
        's' => Ok(Kind::Space),
        'S' => Ok(Kind::NoSpace),
        plain => Err(plain),
    }
}

/// How many characters a part takes, if it is always the same number.
fn length_of(node: &Node) -> Option<usize> {
    match node {
        Node::Text(text) => Some(text.chars().count()),
        Node::Any | Node::Class(_) => Some(1),
        Node::Sequence(parts) => parts.iter().map(length_of).sum(),
        Node::Choice(choices) => {
            let mut lengths = choices.iter().map(length_of);
            let first = lengths.next()??;
            lengths.all(|length| length == Some(first)).then_some(first)
        }
        Node::Repeat {
            node, least, most, ..
        } => (*most == Some(*least))
            .then(|| length_of(node))?
            .map(|length| length * least),
        Node::Group(_, node) => length_of(node),
        Node::Ahead { .. } | Node::Behind { .. } | Node::Start | Node::End | Node::WordEdge => {
            Some(0)
        }
    }
}
