//! What a talk whose moves are known teaches about the prices.
//!
//! The true way to understand the talk is followed beside a free search. Where the free search
//! would rather go astray, the place of the worst mistake is noted with what each price would have
//! to do about it, and the search goes on from the truth: one lost board early in a talk does not
//! hide what there is to learn from the rest.

use std::collections::{HashMap, HashSet};

use shakmaty::Color;

use super::guide::{Favour, Guide, Truth, moves};
use super::habits::Habits;
use super::search::{Event, Hearing, Hypothesis, Kind, NOTHING_SAID, Step};
use super::tree::Book;
use super::weights::Weights;
use super::words::Talk;
use crate::quick::QuickMap;

/// All that a hearing needs but the prices.
#[derive(Clone, Copy)]
#[allow(missing_docs)]
pub struct Setting<'a> {
    pub talk: &'a Talk,
    pub confusions: &'a [f32],
    pub book: &'a Book,
    pub theme: &'a Book,
    pub habits: &'a Habits,
    pub me: Option<Color>,
}

/// One decision of a way to understand the talk, for people to read.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct Decision {
    pub phrase: u32,
    pub kind: Kind,
    pub san: String,
    pub price: f32,
    pub wrong: bool,
    /// Whether it leaves the board at hand: a going back, or a move made from an earlier board.
    pub leaves: bool,
    /// Whether the way comes back to the board after it.
    pub parts: bool,
}

/// A place where the search prefers a mistake, or comes near it.
#[derive(Clone, Debug)]
pub struct Point {
    /// How much dearer the truth is than the mistake, the margin included.
    pub violation: f32,
    /// Wrong moves made and true ones missed.
    pub mistakes: u32,
    /// What the violation grows by with each price, in the order of [`Weights::NAMES`].
    pub slopes: Vec<f32>,
    /// The true decisions since the point before.
    pub truth: Vec<Decision>,
    /// The mistaken ones.
    pub mistaken: Vec<Decision>,
}

/// What one talk teaches.
#[derive(Clone, Debug, Default)]
pub struct Lesson {
    /// The price of the true way.
    pub price: f32,
    /// What that grows by with each price, in the order of [`Weights::NAMES`].
    pub price_slopes: Vec<f32>,
    /// Moves of the true way that the talk does not tell: nothing better was found.
    pub wrong: u32,
    /// The decisions of the true way.
    pub way: Vec<Decision>,
    /// The places, in the order of the talk.
    pub points: Vec<Point>,
}

/// A true way and a mistaken one, from one place to another.
struct Pair {
    from: usize,
    to: usize,
    violation: f32,
    mistakes: u32,
    truth: u32,
    mistaken: u32,
}

type Path = HashMap<u32, Step>;

/// How far the price is moved to see what depends on it.
const NUDGE: f32 = 0.05;
/// The truth may be this much dearer than the best before the search is set right.
const PATIENCE: f32 = 7.0;

/// The decisions of the cheapest way to understand a talk that its known moves allow.
///
/// **Cost**: one search.
#[must_use]
pub fn way(setting: &Setting, weights: &Weights, truth: &Truth) -> Vec<Decision> {
    let answers = HashMap::new();
    let mut hearing = hearing(setting, weights, &answers);
    led(&mut hearing, truth, Favour::TRUTH);
    let best = hearing.search()[0];
    told(&hearing, best.event, 0)
}

/// What a talk teaches. `margin` is how much cheaper than each mistake the truth should be.
///
/// **Cost**: three searches, and one price of each decision of the true way for every price.
#[must_use]
pub fn lesson(setting: &Setting, weights: &Weights, truth: &Truth, margin: f32) -> Lesson {
    let answers = HashMap::new();
    let mut hearing = hearing(setting, weights, &answers);
    led(&mut hearing, truth, Favour::TRUTH);
    let best = hearing.search()[0];
    let path = path_to(&hearing, best.event, 0);
    let wrong = hearing
        .decisions(best.event)
        .iter()
        .filter(|&&link| is_wrong(&hearing, link))
        .count();
    led(&mut hearing, truth, Favour::NONE);
    let golden = follow(&mut hearing, &path);
    let Some(end) = golden.last().and_then(|kept| kept.first()).copied() else {
        return Lesson::default();
    };
    let favour = Favour {
        wrong: -margin,
        slip: -margin,
        ..Favour::NONE
    };
    hearing.path = None;
    hearing.guide = Some(Guide::of(&mut hearing.tree, truth, favour));
    let pairs = compare(&mut hearing, &golden);
    let ways: Vec<Path> = pairs
        .iter()
        .map(|pair| path_to(&hearing, pair.mistaken, pair.from))
        .collect();
    let (slopes, price_slopes) = slopes(setting, weights, truth, &path, &pairs, &ways);
    let points = pairs.iter().zip(slopes).map(|(pair, slopes)| Point {
        violation: pair.violation,
        mistakes: pair.mistakes,
        slopes,
        truth: told(&hearing, pair.truth, pair.from),
        mistaken: told(&hearing, pair.mistaken, pair.from),
    });
    Lesson {
        price: end.price,
        price_slopes,
        wrong: u32::try_from(wrong).expect("few moves"),
        way: told(&hearing, end.event, 0),
        points: points.collect(),
    }
}

fn hearing<'a>(
    setting: &Setting<'a>,
    weights: &'a Weights,
    answers: &'a HashMap<u32, super::Answer>,
) -> Hearing<'a> {
    Hearing::new(
        setting.talk,
        weights,
        setting.confusions,
        setting.book,
        setting.theme.clone(),
        None,
        setting.habits,
        setting.me,
        answers,
    )
}

fn led(hearing: &mut Hearing, truth: &Truth, favour: Favour) {
    let mut guide = Guide::of(&mut hearing.tree, truth, favour);
    guide.leads = true;
    hearing.guide = Some(guide);
}

fn is_wrong(hearing: &Hearing, link: u32) -> bool {
    let guide = hearing.guide.as_ref().expect("the truth is known");
    hearing
        .event(link)
        .is_some_and(|event| guide.wrong(event) || guide.alarms(event))
}

/// The first token of a place; after the last place, no token has so high a number.
fn token(hearing: &Hearing, place: usize) -> u32 {
    hearing.first_token(place).unwrap_or(u32::MAX)
}

/// The decisions from a place on that lead to a link.
fn since(hearing: &Hearing, link: u32, from: usize) -> Vec<u32> {
    let first = token(hearing, from);
    let mut links = hearing.decisions(link);
    links.retain(|&link| {
        hearing
            .event(link)
            .is_some_and(|e| hearing.said_at(e.phrase) >= first)
    });
    links
}

fn path_to(hearing: &Hearing, link: u32, from: usize) -> Path {
    since(hearing, link, from)
        .into_iter()
        .filter_map(|link| Some((hearing.event(link)?.phrase, hearing.step_to(link)?)))
        .collect()
}

fn told(hearing: &Hearing, link: u32, from: usize) -> Vec<Decision> {
    let mut here = None;
    let mut decision = |link| {
        let event = hearing.event(link).expect("the link of a decision");
        let moved = matches!(event.kind, Kind::Play | Kind::Goto);
        let left = here.is_some_and(|here| here != event.base);
        let leaves = event.kind == Kind::Goto || (event.kind == Kind::Play && left);
        if moved {
            here = Some(event.node);
        }
        let decision = Decision {
            phrase: event.phrase,
            kind: event.kind,
            san: hearing.san(event.node),
            price: event.price,
            wrong: is_wrong(hearing, link),
            leaves,
            parts: false,
        };
        (decision, event)
    };
    let links = since(hearing, link, from);
    let mut told: Vec<(Decision, &Event)> = links.into_iter().map(&mut decision).collect();
    let mut met_again = HashSet::new();
    for (decision, event) in told.iter_mut().rev() {
        decision.parts = event.kind == Kind::Play && met_again.contains(&event.node);
        if event.kind == Kind::Goto {
            met_again.insert(event.node);
        } else if decision.leaves {
            met_again.insert(event.base);
        }
    }
    told.into_iter().map(|(decision, _)| decision).collect()
}

/// What is kept at each place, and after the last, on a given path.
fn follow(hearing: &mut Hearing, path: &Path) -> Vec<Vec<Hypothesis>> {
    let places = hearing.starts().len();
    let mut kept: Vec<Vec<Hypothesis>> = vec![Vec::new(); places + 1];
    let mut agenda = hearing.agenda();
    agenda[0].insert(NOTHING_SAID.key(), NOTHING_SAID);
    hearing.path = Some(path.clone());
    hearing.walk(&mut agenda, 0..places, &mut |_, place, now| {
        kept[place].clone_from(&now);
        now
    });
    kept[places] = agenda.pop().expect("a place").into_values().collect();
    kept[places].sort_by(|a, b| a.price.total_cmp(&b.price));
    kept
}

/// Where a free search goes astray, beside the true way.
fn compare(hearing: &mut Hearing, golden: &[Vec<Hypothesis>]) -> Vec<Pair> {
    let places = hearing.starts().len();
    let mut agenda = hearing.agenda();
    agenda[0].insert(NOTHING_SAID.key(), NOTHING_SAID);
    let mut watch = Watch::default();
    hearing.walk(&mut agenda, 0..places, &mut |hearing, place, kept| {
        watch.see(hearing, place, kept, &golden[place], false)
    });
    let mut last: Vec<Hypothesis> = agenda.pop().expect("a place").into_values().collect();
    last.sort_by(|a, b| a.price.total_cmp(&b.price));
    if last.is_empty() {
        last.push(NOTHING_SAID);
    }
    watch.see(hearing, places, last, &golden[places], true);
    watch.pairs
}

/// The worst mistake since the search was last set right.
#[derive(Default)]
struct Watch {
    from: usize,
    worst: Option<Pair>,
    pairs: Vec<Pair>,
}

impl Watch {
    fn see(
        &mut self,
        hearing: &Hearing,
        place: usize,
        kept: Vec<Hypothesis>,
        golden: &[Hypothesis],
        last: bool,
    ) -> Vec<Hypothesis> {
        let Some(truth) = golden.first() else {
            return kept;
        };
        let lost = !kept.iter().any(|other| other.key() == truth.key());
        for best in kept.iter().take(6) {
            let violation = truth.price - best.price;
            if violation <= self.worst.as_ref().map_or(0.0, |worst| worst.violation) {
                break;
            }
            let mistakes = self.mistakes(hearing, truth, best);
            if mistakes > 0 {
                self.worst = Some(Pair {
                    from: self.from,
                    to: place,
                    violation,
                    mistakes,
                    truth: truth.event,
                    mistaken: best.event,
                });
                break;
            }
        }
        let behind = truth.price - kept[0].price > PATIENCE;
        if lost || behind || last {
            self.pairs.extend(self.worst.take());
            self.from = place;
            golden.to_vec()
        } else {
            kept
        }
    }

    /// Wrong moves made, and true moves missed, since the search was set right.
    fn mistakes(&self, hearing: &Hearing, truth: &Hypothesis, other: &Hypothesis) -> u32 {
        let theirs = since(hearing, other.event, self.from);
        let wrong = theirs
            .iter()
            .filter(|&&link| is_wrong(hearing, link))
            .count();
        let made = |links: &[u32]| -> HashSet<u32> {
            let events = links.iter().filter_map(|&link| hearing.event(link));
            events.flat_map(moves).collect()
        };
        let missed = made(&since(hearing, truth.event, self.from))
            .difference(&made(&theirs))
            .count();
        u32::try_from(wrong + missed).expect("few moves")
    }
}

/// What the violation of each pair grows by with each price, and what the true way's price does.
fn slopes(
    setting: &Setting,
    weights: &Weights,
    truth: &Truth,
    path: &Path,
    pairs: &[Pair],
    ways: &[Path],
) -> (Vec<Vec<f32>>, Vec<f32>) {
    let at = |weights: &Weights| violations(setting, weights, truth, path, pairs, ways);
    let slope = |then: Option<f32>, now: Option<f32>| match (then, now) {
        (Some(then), Some(now)) => (then - now) / NUDGE,
        _ => 0.0,
    };
    let (now, price) = at(weights);
    let mut of_pairs = vec![Vec::with_capacity(Weights::NAMES.len()); pairs.len()];
    let mut of_price = Vec::with_capacity(Weights::NAMES.len());
    for place in 0..Weights::NAMES.len() {
        let (then, dearer) = at(&weights.moved(place, NUDGE));
        of_price.push(slope(dearer, price));
        for (slopes, (then, now)) in of_pairs.iter_mut().zip(then.into_iter().zip(&now)) {
            slopes.push(slope(then, *now));
        }
    }
    (of_pairs, of_price)
}

/// The price of each true way less that of the mistaken one (none where one is not found again), and
/// the price of the whole truth.
fn violations(
    setting: &Setting,
    weights: &Weights,
    truth: &Truth,
    path: &Path,
    pairs: &[Pair],
    ways: &[Path],
) -> (Vec<Option<f32>>, Option<f32>) {
    let answers = HashMap::new();
    let mut hearing = hearing(setting, weights, &answers);
    led(&mut hearing, truth, Favour::NONE);
    let golden = follow(&mut hearing, path);
    let cheapest = |kept: &mut dyn Iterator<Item = f32>| kept.reduce(f32::min);
    let mut out = Vec::new();
    for (pair, way) in pairs.iter().zip(ways) {
        let mut agenda = hearing.agenda();
        agenda[pair.from] = golden[pair.from]
            .iter()
            .map(|hyp| (hyp.key(), *hyp))
            .collect::<QuickMap<_, _>>();
        hearing.path = Some(way.clone());
        hearing.walk(&mut agenda, pair.from..pair.to, &mut |_, _, kept| kept);
        let mistaken = cheapest(&mut agenda[pair.to].values().map(|hyp| hyp.price));
        let true_one = cheapest(&mut golden[pair.to].iter().map(|hyp| hyp.price));
        out.push(
            mistaken
                .zip(true_one)
                .map(|(mistaken, truth)| truth - mistaken),
        );
    }
    let whole = golden.last().expect("a place after the last");
    (out, cheapest(&mut whole.iter().map(|hyp| hyp.price)))
}
