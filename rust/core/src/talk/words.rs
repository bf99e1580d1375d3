//! What stretches of a talk say of a move, as the reader of phrases found it.

use shakmaty::{Color, File, Rank, Role, Square};

/// How a phrase is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// "Nf3" as written.
    Notation,
    /// A piece and where it goes.
    Full,
    /// A piece on a square, without a verb between.
    Placed,
    /// A square alone.
    Square,
    /// With a verb of capture.
    Capture,
    /// Castling.
    Castling,
    /// One move by each side.
    Both,
    /// Two captures in one phrase.
    Trade,
    /// A move without its square.
    Vague,
    /// A clause that names no move and may tell one: "he hits it at once".
    Clause,
}

/// Which wing is castled to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wing {
    /// Not said.
    Any,
    /// Kingside.
    King,
    /// Queenside.
    Queen,
}

/// Whose move a pronoun makes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Person {
    /// No pronoun.
    #[default]
    None,
    /// "I", "we".
    Me,
    /// "he", "she", "they".
    Other,
}

/// What a move is said to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// It attacks an enemy piece.
    Attack,
    /// It defends one of the mover's.
    Support,
    /// It comes between a checking piece and the king.
    Block,
    /// It pins an enemy piece.
    Pin,
    /// It attacks two enemy pieces at once.
    Fork,
    /// It puts a rook behind or before another on its file.
    Double,
}

/// What words say of a move; empty parts are not said. Prices as for the whole search.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs, clippy::struct_excessive_bools)]
pub struct Spec {
    pub pieces: Vec<(Role, f32)>,
    pub targets: Vec<(Square, f32)>,
    pub to_file: Option<File>,
    pub to_rank: Option<Rank>,
    pub from_square: Option<Square>,
    pub from_file: Option<File>,
    pub from_rank: Option<Rank>,
    pub capture: bool,
    pub captured: Option<Role>,
    pub castling: Option<Wing>,
    pub promotion: Option<Role>,
    pub check: bool,
    pub mate: bool,
    pub ep: bool,
    pub retake: bool,
    /// "drops back to f3": a piece, and not forwards.
    pub back: bool,
    pub quiet: bool,
    pub fianchetto: bool,
    /// Any piece may be meant, though none is named.
    pub free: bool,
    /// "puts one on c8": a piece like the one that moved last.
    pub like_last: bool,
    /// "the other knight": not the one that moved last.
    pub other: bool,
    /// "does the same": the last move as the other side makes it.
    pub mirror: bool,
    /// "attacks the bishop": what the move does,
    pub deed: Option<Deed>,
    /// to which piece (one at hand, where none is named)
    pub met: Option<Role>,
    /// and where that stands.
    pub met_square: Option<Square>,
    /// How the words of a clause go with each trait of a move (log odds); empty where they say more.
    pub leaning: Vec<f32>,
}

impl Spec {
    /// Whether a square or castling is named.
    #[must_use]
    pub fn full(&self) -> bool {
        !self.targets.is_empty() || self.castling.is_some()
    }

    /// Whether a piece is among those that may be named; true where none is.
    #[must_use]
    pub fn allows(&self, role: Role) -> bool {
        self.pieces.is_empty() || self.names(role)
    }

    /// Whether a piece is among those named.
    #[must_use]
    pub fn names(&self, role: Role) -> bool {
        self.pieces.iter().any(|&(named, _)| named == role)
    }
}

/// What the words around a phrase say about it.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs, clippy::struct_excessive_bools)]
pub struct Cues {
    pub side: Option<Color>,
    pub weak_side: Option<Color>,
    pub piece_side: Option<Color>,
    pub person: Person,
    pub intent: bool,
    pub modal: bool,
    pub supposed: bool,
    pub negated: bool,
    pub infinitive: bool,
    pub gerund: bool,
    pub played: bool,
    pub standing: bool,
    pub after: bool,
    /// 1 after "instead", "also"; 2 where the talk counts ("the third retreat").
    pub alternative: u8,
    pub either: bool,
    pub instead_of: bool,
    pub reason: bool,
    /// 2 where the talk says plainly that it goes back, 1 where it may.
    pub back: u8,
    /// "Back to where White played bishop c4": the move tells a board and is not made.
    pub board_of: bool,
    pub main: bool,
    pub start: bool,
    /// The move number named, or 0.
    pub number: u32,
    pub unreal: bool,
    pub listed: bool,
    /// A square a side was just said to support or attack, perhaps by a move that was not said.
    pub hint: Option<Square>,
    pub repeated: bool,
    pub paired: bool,
    pub firm: bool,
    /// How strongly the talk breaks between the phrase before and this one: 0 to 1.
    pub begins: f32,
}

/// Tokens `first` up to `end` read in one way, at a price for the words themselves.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct Phrase {
    pub first: u32,
    pub end: u32,
    pub form: Form,
    /// Place of its [`Spec`] in the talk; equal ones share a place.
    pub spec: u32,
    pub price: f32,
    /// The log odds that it tells a move, by the words around it.
    pub told: f32,
    /// The log odds that it leaves the board at hand, by the words around it.
    pub leaves: f32,
    /// How much likelier than usual the talk comes back to the board after it (log odds).
    pub parts: f32,
    pub cues: Cues,
    /// Whether a verb of moving stands in the phrase.
    pub verb: bool,
    /// Whether a longer phrase that begins here says more.
    pub cut: bool,
    /// Whether a phrase that begins later says the same.
    pub covered: bool,
}

/// The phrases of a talk, in the order of their first tokens.
#[derive(Clone, Debug, Default)]
pub struct Talk {
    /// All different specs.
    pub specs: Vec<Spec>,
    /// Sorted by `first`.
    pub phrases: Vec<Phrase>,
    /// The recogniser's share of wrong words, as far as it can be told.
    pub noise: f32,
}

impl Talk {
    /// Whether the recogniser errs often.
    #[must_use]
    pub fn noisy(&self) -> bool {
        self.noise > 0.035
    }

    /// The recogniser's errors in units of eight wrong words in a hundred, within reason.
    #[must_use]
    pub fn rough(&self) -> f32 {
        (self.noise / 0.08).min(1.5)
    }

    /// Whether the speaker hardly ever names a piece that moves: "f3, c6, castles".
    #[must_use]
    pub fn terse(&self) -> bool {
        let (mut named, mut bare) = (0_u32, 0_u32);
        let (mut last_named, mut last_bare) = (None, None);
        for phrase in self.phrases.iter().filter(|phrase| phrase.price < 0.7) {
            let spec = self.spec(phrase);
            let piece = !spec.pieces.is_empty() && !spec.names(Role::Pawn);
            if phrase.form == Form::Full && piece && last_named != Some(phrase.first) {
                last_named = Some(phrase.first);
                named += 1;
            } else if phrase.form == Form::Square
                && spec.pieces.is_empty()
                && last_bare != Some(phrase.first)
            {
                last_bare = Some(phrase.first);
                bare += 1;
            }
        }
        bare >= 12 && named * 12 < bare
    }

    /// The words of a phrase.
    #[must_use]
    pub fn spec(&self, phrase: &Phrase) -> &Spec {
        &self.specs[phrase.spec as usize]
    }
}
