//! The moves that a talk is known to tell: to find out why it is misunderstood, and to learn from it.

use std::collections::{HashMap, HashSet};

use shakmaty::uci::UciMove;

use super::search::{Event, Kind};
use super::tree::Tree;

/// What a talk tells, each line as moves in UCI from the start.
#[derive(Clone, Debug, Default)]
pub struct Truth {
    /// All lines, said or not.
    pub lines: Vec<String>,
    /// The lines that phrases (by place) lead to.
    pub at: HashMap<u32, Vec<String>>,
    /// The phrases that are slips of the tongue.
    pub slips: HashSet<u32>,
}

/// What a decision gains or loses by what the talk is known to tell.
#[derive(Clone, Copy, Debug)]
pub struct Favour {
    /// A move the talk does not tell.
    pub wrong: f32,
    /// A move told by just this phrase.
    pub right: f32,
    /// A move the talk tells elsewhere.
    pub elsewhere: f32,
    /// A slip of the tongue where there is none.
    pub slip: f32,
}

impl Favour {
    /// Nothing but the truth.
    pub const TRUTH: Self = Self {
        wrong: 40.0,
        right: -8.0,
        elsewhere: 5.0,
        slip: 6.0,
    };
    /// No difference.
    pub const NONE: Self = Self {
        wrong: 0.0,
        right: 0.0,
        elsewhere: 0.0,
        slip: 0.0,
    };
}

/// Truth laid over the boards of one search.
#[derive(Clone, Debug)]
pub struct Guide {
    told: HashSet<u32>,
    at: HashMap<u32, Vec<u32>>,
    slips: HashSet<u32>,
    /// What it is worth to follow.
    pub favour: Favour,
    /// Whether moves that were not said are proposed because the talk is known to leave them out.
    pub leads: bool,
}

impl Guide {
    /// The guide for a tree; a line is read up to its first move that is not legal.
    pub fn of(tree: &mut Tree, truth: &Truth, favour: Favour) -> Self {
        let mut told = HashSet::new();
        let mut last = |line: &String| {
            let mut node = 0;
            for text in line.split_whitespace() {
                let Some(next) = after(tree, node, text) else {
                    break;
                };
                node = next;
                told.insert(node);
            }
            node
        };
        truth.lines.iter().for_each(|line| {
            last(line);
        });
        let at = truth
            .at
            .iter()
            .map(|(&phrase, lines)| (phrase, lines.iter().map(&mut last).collect()))
            .collect();
        Self {
            told,
            at,
            slips: truth.slips.clone(),
            favour,
            leads: false,
        }
    }

    /// Whether the talk tells the move to a board.
    #[must_use]
    pub fn tells(&self, node: u32) -> bool {
        self.told.contains(&node)
    }

    /// Whether a decision makes a move that the talk does not tell.
    #[must_use]
    pub fn wrong(&self, event: &Event) -> bool {
        event.kind == Kind::Play && moves(event).any(|node| !self.tells(node))
    }

    /// Whether a decision takes words for a slip that are none.
    #[must_use]
    pub fn alarms(&self, event: &Event) -> bool {
        let slip = event.faults.iter().any(|fault| !fault.misheard);
        slip && event.kind == Kind::Play && !self.slips.contains(&event.phrase)
    }

    /// What a decision gains or loses.
    #[must_use]
    pub fn price(&self, event: &Event) -> f32 {
        if event.kind != Kind::Play {
            return 0.0;
        }
        let slip = if self.alarms(event) {
            self.favour.slip
        } else {
            0.0
        };
        if self.wrong(event) {
            // a move on a board that is wrong already is no mistake of its own
            let first = event.base == 0 || self.tells(event.base);
            return slip + if first { self.favour.wrong } else { 0.0 };
        }
        let here = self.at.get(&event.phrase).map_or(&[][..], Vec::as_slice);
        slip + match moves(event).filter(|node| here.contains(node)).count() {
            0 => self.favour.elsewhere,
            1 => self.favour.right,
            _ => 2.0 * self.favour.right,
        }
    }
}

/// The boards that a decision makes moves to.
pub fn moves(event: &Event) -> impl Iterator<Item = u32> + '_ {
    let more = event.silent.iter().copied().chain(event.extra);
    more.chain([event.node])
        .filter(|_| event.kind == Kind::Play)
}

fn after(tree: &mut Tree, node: u32, text: &str) -> Option<u32> {
    let uci: UciMove = text.parse().ok()?;
    let mv = uci.to_move(&tree.node(node).board).ok()?;
    let legal = tree.legal(node);
    let item = legal.iter().find(|item| item.mv == mv)?;
    Some(tree.play(node, item))
}
