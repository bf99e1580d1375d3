//! Which reading of a whole talk makes sense on the board.
//!
//! A talk comes in as [`Phrase`]s: stretches of words with what they say of a move and what the
//! words around them hint at. [`Hearing`] searches over their readings (a move, a mention, a going
//! back, a slip of the tongue, a move after one that was not said) for the whole that costs least.
//! Every price is minus a log likelihood; [`Weights`] holds them by name.

mod asides;
mod bases;
mod doubles;
mod echoes;
mod fit;
mod guide;
mod habits;
mod learning;
mod plays;
mod readings;
mod search;
mod silence;
mod traits;
mod tree;
mod weights;
mod words;

pub use fit::{Choice, Fault, Faults, Slot};
pub use guide::{Favour, Guide, Truth};
pub use habits::{Habits, PARTS, Seen, View, seen_after};
pub use learning::{Decision, Lesson, Point, Setting, lesson, way};
pub use search::{Answer, Event, Hearing, Hypothesis, Kind, Mode, Rival};
pub use traits::{Found, TRAITS, Trait, meets, traits};
pub use tree::{Book, Counts, Legal, Tree};
pub use weights::Weights;
pub use words::{Cues, Deed, Form, Person, Phrase, Spec, Talk, Wing};
